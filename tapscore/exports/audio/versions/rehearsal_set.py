"""The whole set of versions of a story, written into a folder with a page to play them."""

from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import partial
from pathlib import Path

from attrs import frozen

from tapscore.exports.audio.cover import cover_png, tapped_line
from tapscore.exports.audio.encode import AudioFormat
from tapscore.exports.audio.heard import AS_WRITTEN, TapsHeard
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ
from tapscore.exports.audio.sound_file import (
    look_for_program,
    without_program,
)
from tapscore.exports.audio.story_taps import TapsAside
from tapscore.exports.audio.tags import Tags, chapters
from tapscore.exports.audio.versions.mixing import PLANNED, Job, Look, mix_all
from tapscore.exports.audio.versions.page import PageEntry, index_page, page_entry
from tapscore.exports.audio.versions.sounds import VersionSounds, version_sounds
from tapscore.exports.audio.versions.version import SoundVersion, VersionKind, versions
from tapscore.exports.audio.voice.telling import teller
from tapscore.exports.own_pictures import OwnPicture
from tapscore.model.finding import Finding
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.wording.catalogue import say

SOUND_FOLDER = "sound"
PAGE_NAME = "index.html"


@frozen
class SetReport:
    """What was written."""

    files: tuple[str, ...]
    """Names of the sound files, in order."""
    length_sec: float
    """Of all files together."""
    gain_db: float
    integrated_lufs: float
    """Of the whole story."""
    true_peak_dbtp: float
    """The highest of all files, before any lossy encoding."""
    findings: tuple[Finding, ...]


def rehearsal_set(
    story: Story,
    folder: Path,
    *,
    format: AudioFormat = "mp3",
    recordings: Path | None = None,
    longest_offer_sec: Fraction | None = None,
    heard: TapsHeard = AS_WRITTEN,
    own_cover: OwnPicture | None = None,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> SetReport:
    """Fill an empty ``folder`` with sound files and the page that plays them.

    Waits and turns last as written unless ``longest_offer_sec`` shortens turns.
    ``recordings`` is the folder of recorded lines, ``own_cover`` the story's own picture for
    the files' covers.  ``progress`` is called with 0 to 1 and
    ``cancelled`` asked, both from the thread this is called in; if it says yes,
    GuideCancelled is raised once nothing is being written any more.  After any error what
    is in the folder is of no use: the caller deletes it.

    Raises EncoderMissing for M4A without ffmpeg, GuideUnfit where a sound would be missing,
    and OSError where files can't be written.
    """
    look_for_program(format)
    look = Look(progress or (lambda _share: None), cancelled or (lambda: False))
    told = teller(perform(story), story.language, recordings)
    taps = TapsAside(story, heard)
    entries: list[PageEntry] = []
    every = versions(story, longest_offer_sec=longest_offer_sec)

    def planned() -> Iterator[Job]:
        for track, version in enumerate(every, 1):
            look.at(PLANNED * track / len(every))
            sounds = version_sounds(version, told, heard, taps)
            job = _job(story, version, sounds, track, format, own_cover)
            entries.append(_entry(version, sounds, job.file_name))
            yield job

    (folder / SOUND_FOLDER).mkdir()
    mixed = mix_all(planned(), folder / SOUND_FOLDER, format, look)
    page = index_page(story, entries)
    (folder / PAGE_NAME).write_text(page, encoding="utf-8")
    look.at(1.0)
    return SetReport(
        tuple(job.file_name for job in mixed.jobs),
        sum(job.length_frames for job in mixed.jobs) / SAMPLE_RATE_HZ,
        mixed.gain_db,
        mixed.levels.integrated_lufs + mixed.gain_db,
        mixed.levels.true_peak_dbtp + mixed.gain_db,
        (*told.findings, *without_program(format)),
    )


def _job(
    story: Story,
    version: SoundVersion,
    sounds: VersionSounds,
    track: int,
    format: AudioFormat,
    own_cover: OwnPicture | None,
) -> Job:
    length_sec = sounds.length_frames / SAMPLE_RATE_HZ
    tags = Tags(
        title=f"{story.title}: {_called(version)}",
        story=story.title,
        role=version.role or "",
        track=track,
        chapters=()
        if version.kind is VersionKind.LINE
        else chapters(sounds.performance, length_sec),
    )
    # of the performance no more than that: it would be kept until the file is written
    cover = partial(cover_png, story, tapped_line(sounds.performance), version.title, own_cover)
    return Job(sounds.sounds, sounds.length_frames, tags, f"{version.stem}.{format}", cover)


def _called(version: SoundVersion) -> str:
    if version.kind is VersionKind.LINE:
        return (
            say("line {number}", number=version.title) if version.title.isdigit() else version.title
        )
    if version.kind is VersionKind.WHOLE:
        return say("whole, {version}", version=f"{version.title[:1].lower()}{version.title[1:]}")
    return version.title


def _entry(version: SoundVersion, sounds: VersionSounds, file_name: str) -> PageEntry:
    length_sec = sounds.length_frames / SAMPLE_RATE_HZ
    return page_entry(version, sounds.performance, f"{SOUND_FOLDER}/{file_name}", length_sec)
