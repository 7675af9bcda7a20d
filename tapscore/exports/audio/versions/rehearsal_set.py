"""The whole set of versions of a story, written into a folder with a page to play them.

Every version is mixed twice: once to find the one gain that all of them are given, so
that quiet and loud keep their distance from file to file, and once to be written.  Two
are worked on at a time, each with an encoder in a process of its own.
"""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from fractions import Fraction
from math import inf
from pathlib import Path
from threading import Event

from attrs import frozen

from tapscore.exports.audio.cover import cover_png
from tapscore.exports.audio.encode import AudioFormat, lossy, to_frames
from tapscore.exports.audio.guide import GuideCancelled
from tapscore.exports.audio.heard import AS_WRITTEN, Heard
from tapscore.exports.audio.levels import LevelMeter, Levels, safe_gain_db
from tapscore.exports.audio.mix import CHANNELS, mixed_blocks
from tapscore.exports.audio.proof import Proof
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ, amplitude
from tapscore.exports.audio.sound_file import (
    look_for_program,
    open_sound_file,
    without_program,
)
from tapscore.exports.audio.tags import Tags, chapters
from tapscore.exports.audio.versions.page import PageEntry, index_page, page_entry
from tapscore.exports.audio.versions.sounds import VersionSounds, version_sounds
from tapscore.exports.audio.versions.version import Kind, Version, versions
from tapscore.exports.audio.voice.telling import teller
from tapscore.exports.own_pictures import OwnPicture
from tapscore.model.finding import Finding
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform

SOUND_FOLDER = "sound"
PAGE_NAME = "index.html"
AT_A_TIME = 2
_PLANNED, _MEASURED = 0.15, 0.4


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


@frozen(eq=False)
class _Job:
    version: Version
    sounds: VersionSounds
    tags: Tags
    file_name: str


def rehearsal_set(
    story: Story,
    folder: Path,
    *,
    format: AudioFormat = "mp3",
    recordings: Path | None = None,
    longest_offer_sec: Fraction | None = None,
    heard: Heard = AS_WRITTEN,
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
    look = _Look(progress or (lambda _share: None), cancelled or (lambda: False))
    told = teller(perform(story), story.language, recordings)
    jobs: list[_Job] = []
    every = versions(story, longest_offer_sec=longest_offer_sec)
    for track, version in enumerate(every, 1):
        look.at(_PLANNED * track / len(every))
        sounds = version_sounds(version, told, heard)
        jobs.append(_job(story, version, sounds, track, format, own_cover))
    levels = _measured(jobs, look)
    gain_db = _one_gain_db(levels, lossy=lossy(format))
    (folder / SOUND_FOLDER).mkdir()
    _write_all(jobs, folder / SOUND_FOLDER, format, gain_db, look)
    entries = [_entry(job) for job in jobs]
    page = index_page(story, entries)
    (folder / PAGE_NAME).write_text(page, encoding="utf-8")
    look.at(1.0)
    return SetReport(
        tuple(job.file_name for job in jobs),
        sum(job.sounds.length_frames for job in jobs) / SAMPLE_RATE_HZ,
        gain_db,
        levels[0].integrated_lufs + gain_db,
        max(level.true_peak_dbtp for level in levels) + gain_db,
        (*told.findings, *without_program(format)),
    )


def _job(
    story: Story,
    version: Version,
    sounds: VersionSounds,
    track: int,
    format: AudioFormat,
    own_cover: OwnPicture | None,
) -> _Job:
    length_sec = sounds.length_frames / SAMPLE_RATE_HZ
    below = version.role or version.title
    tags = Tags(
        title=f"{story.title}: {_called(version)}",
        story=story.title,
        role=version.role or "",
        track=track,
        chapters=() if version.kind is Kind.LINE else chapters(sounds.performance, length_sec),
        cover_png=cover_png(story, sounds.performance, below, own_cover),
    )
    return _Job(version, sounds, tags, f"{version.stem}.{format}")


def _called(version: Version) -> str:
    if version.kind is Kind.LINE:
        return f"line {version.title}" if version.title.isdigit() else version.title
    if version.kind is Kind.WHOLE:
        return f"whole, {version.title[:1].lower()}{version.title[1:]}"
    return version.title


def _entry(job: _Job) -> PageEntry:
    length_sec = job.sounds.length_frames / SAMPLE_RATE_HZ
    source = f"{SOUND_FOLDER}/{job.file_name}"
    return page_entry(job.version, job.sounds.performance, source, length_sec)


def _one_gain_db(levels: Sequence[Levels], *, lossy: bool) -> float:
    """The whole story to its loudness, or less where any version would go too high."""
    highest = max((level.true_peak_dbtp for level in levels), default=-inf)
    return safe_gain_db(Levels(levels[0].integrated_lufs, highest), lossy=lossy)


@frozen
class _Look:
    progress: Callable[[float], None]
    cancelled: Callable[[], bool]

    def at(self, share: float) -> None:
        if self.cancelled():
            raise GuideCancelled
        self.progress(share)


@frozen
class _Done:
    """Frames that are finished, counted by both threads."""

    counts: list[int]
    stop: Event

    def add(self, index: int, count: int) -> None:
        self.counts[index] += count
        if self.stop.is_set():
            raise GuideCancelled


def _measured(jobs: Sequence[_Job], look: _Look) -> list[Levels]:
    def measure(index: int, done: _Done) -> Levels:
        meter = LevelMeter(CHANNELS)
        sounds = jobs[index].sounds
        for block in mixed_blocks(sounds.sounds, sounds.length_frames):
            meter.add(block)
            done.add(index, block.shape[1])
        return meter.levels()

    return list(_two_at_a_time(jobs, measure, look, _PLANNED, _MEASURED))


def _write_all(
    jobs: Sequence[_Job], folder: Path, format: AudioFormat, gain_db: float, look: _Look
) -> None:
    factor = amplitude(gain_db)

    def write(index: int, done: _Done) -> Levels:
        job = jobs[index]
        proof = Proof(job.sounds.sounds)
        with open_sound_file(folder / job.file_name, format, job.tags) as put:
            for block in mixed_blocks(job.sounds.sounds, job.sounds.length_frames):
                put(proof.add(to_frames(block, factor)))
                done.add(index, block.shape[1])
        proof.end()
        return Levels(-inf, -inf)

    for _ in _two_at_a_time(jobs, write, look, _MEASURED, 1.0):
        pass


def _two_at_a_time(
    jobs: Sequence[_Job],
    work: Callable[[int, _Done], Levels],
    look: _Look,
    begin: float,
    end: float,
) -> Iterator[Levels]:
    """Do ``work`` for every job, the longest first; results in the order of the jobs.

    At the first error, or if cancelled, the other work is stopped before it is passed on.
    """
    total = sum(job.sounds.length_frames for job in jobs)
    done = _Done([0] * len(jobs), Event())
    longest_first = sorted(range(len(jobs)), key=lambda i: -jobs[i].sounds.length_frames)
    with ThreadPoolExecutor(AT_A_TIME, thread_name_prefix="rehearsal") as pool:
        coming: dict[int, Future[Levels]] = {i: pool.submit(work, i, done) for i in longest_first}
        try:
            pending = set(coming.values())
            while pending:
                finished, pending = wait(pending, timeout=0.1, return_when=FIRST_COMPLETED)
                for future in finished:
                    future.result()
                look.at(begin + (end - begin) * min(sum(done.counts) / total, 1.0))
        except BaseException:
            done.stop.set()
            pool.shutdown(wait=True, cancel_futures=True)
            raise
    for index in range(len(jobs)):
        yield coming[index].result()
