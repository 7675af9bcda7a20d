"""The teacher's recordings of a story's lines: which there are, keeping, bringing in.

An earlier recording of a line is never lost: it goes into the folder ``earlier``.
"""

import re
import shutil
from collections.abc import Callable
from functools import partial
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from attrs import evolve, frozen

from tapscore.disc.ours import one_at_a_time
from tapscore.disc.whole import write_whole, write_whole_bytes
from tapscore.model.story import Story
from tapscore.wording.catalogue import say
from tapscore.workflow.of_one_name import RECORDINGS, lying_at, take_apart

if TYPE_CHECKING:
    from tapscore.exports.audio.sound import Sound

EARLIER = "earlier"


@frozen
class LineToRecord:
    """A line, and its recording if there is one."""

    name: str
    """As its file is called: ``03`` or ``row home 1``."""
    words: str
    length_sec: float
    """How long the line lasts in the story."""
    file: Path | None = None
    other_words: str | None = None
    """What a file of this name says, where the line has other words by now."""

    @property
    def short_name(self) -> str:
        """Its number, or the refrain's name and its number there."""
        return str(int(self.name)) if self.name.isdigit() else self.name

    @property
    def title(self) -> str:
        """What it is called on the screen."""
        return (
            say("Line {number}", number=self.short_name)
            if self.name.isdigit()
            else say("Refrain {name}", name=self.short_name)
        )


def lines_to_record(story: Story, folder: Path | None) -> tuple[LineToRecord, ...]:
    """Every line with words, in order of first hearing."""
    from tapscore.exports.audio.voice.line_names import spoken_lines
    from tapscore.exports.audio.voice.recordings import find_recordings
    from tapscore.rhythm.perform import perform

    spoken = spoken_lines(perform(story))
    lying = None if folder is None else lying_at(folder, RECORDINGS)
    found = find_recordings(lying, {line.name: line.words for line in spoken})
    return tuple(
        LineToRecord(
            line.name,
            line.words,
            line.length_sec,
            found.files.get(line.name),
            found.other_words.get(line.name),
        )
        for line in spoken
        if line.words
    )


def keep_take(folder: Path, line: LineToRecord, sound: "Sound", rate_hz: int) -> Path:
    """Write a take as the line's recording (WAV, 16 bits), the folder too if need be.

    Raises OSError, with the earlier recording still in its place, if it cannot.
    """
    import soundfile  # type: ignore[import-untyped]

    made = BytesIO()  # libsndfile doesn't say why a disc took nothing
    soundfile.write(made, sound, rate_hz, subtype="PCM_16", format="WAV")

    def write(path: Path) -> None:
        path.write_bytes(made.getvalue())

    return _put(folder, line, ".wav", write)


def bring_in(folder: Path, line: LineToRecord, source: Path) -> tuple[Path, tuple[str, ...]]:
    """Copy a sound file as the line's recording; the copy, and remarks on it.

    What has an ending that recordings are not looked for by is kept as WAV instead.  Raises
    RecordingUnusable where there is nothing to hear in it, OSError if it cannot be written.
    """
    from tapscore.exports.audio.voice.decode import read_recording, whole_recording
    from tapscore.exports.audio.voice.recordings import RECORDED_SUFFIXES, VIDEO_SUFFIXES

    recorded = read_recording(source)
    suffix = source.suffix.lower()
    if suffix in (*RECORDED_SUFFIXES, *VIDEO_SUFFIXES):
        path = _put(folder, line, suffix, lambda path: _copy(source, path))
    else:
        path = keep_take(folder, line, *whole_recording(source))
    return path, recorded.remarks


def take_away(folder: Path, line: LineToRecord) -> Path:
    """Put a line's recording aside; gives where it lies now.  Raises OSError if it cannot."""
    assert line.file is not None
    file = take_apart(folder, RECORDINGS) / line.file.name
    aside = _aside(folder, file)
    file.replace(aside)
    _note(folder, remove=file.name)
    return aside


def _put(folder: Path, line: LineToRecord, suffix: str, write: Callable[[Path], None]) -> Path:
    with one_at_a_time(folder):
        return _put_alone(folder, line, suffix, write)


def _put_alone(
    folder: Path, line: LineToRecord, suffix: str, write: Callable[[Path], None]
) -> Path:
    take_apart(folder, RECORDINGS).mkdir(exist_ok=True)
    if line.file is not None:
        line = evolve(line, file=folder / line.file.name)
    path = _free_path(folder, line, suffix)
    aside = None
    try:
        if line.file is not None and line.file.exists():
            aside = _aside(folder, line.file)
            write_whole(aside, partial(_copy_of, line.file))
        write_whole(path, write)
    except OSError:
        if aside is not None:
            aside.unlink(missing_ok=True)
        for each in (folder / EARLIER, folder):
            if each.is_dir() and not any(each.iterdir()):
                each.rmdir()
        raise
    if aside is not None and line.file != path:
        assert line.file is not None
        line.file.unlink()
        _note(folder, remove=line.file.name)
    _note(folder, add=(path.name, line.words))
    return path


def _free_path(folder: Path, line: LineToRecord, suffix: str) -> Path:
    """The line's own file name, or one with a number where another line's recording has it."""
    stem = re.sub(r'[<>:"/\\|?*\x00-\x1f]', "-", line.name).strip(" .") or "line"
    for number in range(1, 1000):
        path = folder / (f"{stem}{suffix}" if number == 1 else f"{stem} ({number}){suffix}")
        if path == line.file or not path.exists():
            return path
    raise FileExistsError(
        say(
            "There are too many recordings called {stem} in {folder}.",
            stem=stem,
            folder=folder.name,
        )
    )


def _aside(folder: Path, file: Path) -> Path:
    earlier = folder / EARLIER
    earlier.mkdir(exist_ok=True)
    numbers = range(1, 10_000)
    paths = (earlier / f"{file.stem} ({number}){file.suffix}" for number in numbers)
    return next(path for path in paths if not path.exists())


def _copy_of(file: Path, path: Path) -> None:
    shutil.copy2(file, path)


def _copy(source: Path, path: Path) -> None:
    shutil.copyfile(source, path)


def _note(folder: Path, *, add: tuple[str, str] | None = None, remove: str = "") -> None:
    from tapscore.exports.audio.voice.recordings import WORDS_FILE, recorded_words, words_note

    with one_at_a_time(folder / WORDS_FILE):
        words = {name: said for name, said in recorded_words(folder).items() if name != remove}
        if add is not None:
            words[add[0]] = " ".join(add[1].split())
        write_whole_bytes(folder / WORDS_FILE, words_note(words).encode("utf-8", "surrogateescape"))
