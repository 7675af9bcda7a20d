"""The story to hear at home: one page with its sound inside, and each sound as a file, too."""

from collections.abc import Callable
from pathlib import Path

from attrs import evolve

from tapscore.exports.audio.cover import cover_png, tapped_line
from tapscore.exports.audio.encode import AudioFormat
from tapscore.exports.audio.heard import AS_WRITTEN, TapsHeard
from tapscore.exports.audio.home.page import PAGE_NAME, home_page
from tapscore.exports.audio.home.pieces import home_story, sounding
from tapscore.exports.audio.sound_file import look_for_program, without_program
from tapscore.exports.audio.story_taps import TapsAside
from tapscore.exports.audio.tags import Tags
from tapscore.exports.audio.versions.mixing import PLANNED, Job, Look, mix_all
from tapscore.exports.audio.versions.sounds import version_sounds
from tapscore.exports.audio.voice.telling import teller
from tapscore.exports.own_pictures import NO_PICTURES, OwnPictures
from tapscore.model.finding import Finding
from tapscore.model.loudness import Loudness
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.wording.catalogue import say

SOUND_FOLDER = "pieces"
FOR_PHONES: tuple[AudioFormat, ...] = ("mp3", "m4a")
"""What every phone plays; not every one plays Ogg or FLAC (from memory)."""
LOUDEST_AT_HOME = Loudness.MEDIUM
"""A phone gives no warning and sees nobody: louder taps are heard at this, common practice,
no source."""


def home_sound(
    story: Story,
    folder: Path,
    *,
    format: AudioFormat = "mp3",
    recordings: Path | None = None,
    heard: TapsHeard = AS_WRITTEN,
    pictures: OwnPictures = NO_PICTURES,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> tuple[Finding, ...]:
    """Fill an empty ``folder``; gives what could not be spoken or shown.

    Formats that a family's phone may not play are made as MP3.  Raises as ``rehearsal_set``.
    """
    format = format if format in FOR_PHONES else "mp3"
    look_for_program(format)
    look = Look(progress or (lambda _share: None), cancelled or (lambda: False))
    if heard.loudest is None or heard.loudest > LOUDEST_AT_HOME:
        heard = evolve(heard, loudest=LOUDEST_AT_HOME)
    told = home_story(story)
    performance = perform(story)
    speaker = teller(performance, story.language, recordings)
    cover = cover_png(story, tapped_line(performance), say("at home"), pictures.of(story.picture))
    taps = TapsAside(story, heard)
    jobs: list[Job] = []
    every = sounding(told)
    for track, version in enumerate(every, 1):
        look.at(PLANNED * track / len(every))
        sounds = version_sounds(version, speaker, heard, taps)
        title = f"{story.title}: {track}, {version.title}"
        tags = Tags(title, story.title, track=track, cover_png=cover)
        jobs.append(Job(sounds.sounds, sounds.length_frames, tags, f"{version.stem}.{format}"))
    # the longest first, as its loudness is the surest
    jobs.sort(key=lambda job: -job.length_frames)
    (folder / SOUND_FOLDER).mkdir()
    mix_all(jobs, folder / SOUND_FOLDER, format, look)
    files = {each: folder / SOUND_FOLDER / f"{each.stem}.{format}" for each in every}
    with (folder / PAGE_NAME).open("w", encoding="utf-8") as page:
        page.writelines(home_page(story, told, files, pictures))
    look.at(1.0)
    return (*speaker.findings, *without_program(format))
