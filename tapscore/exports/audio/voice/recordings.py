"""Recorded lines in a folder beside the story, found by the words they say or by their names.

A small text file in the folder notes which words each recording says.  So recordings stay
with their words when lines are put in above them, and none is used for other words.
"""

import re
import unicodedata
from collections.abc import Iterable, Mapping
from pathlib import Path

from attrs import field, frozen

from tapscore.disc.reading import read_bounded

RECORDED_SUFFIXES = (".wav", ".mp3", ".m4a", ".ogg", ".flac", ".opus", ".aac")
VIDEO_SUFFIXES = (".mp4", ".mov", ".webm", ".mkv", ".avi", ".3gp")
_MOST_NOTE_BYTES = 4_000_000
WORDS_FILE = "words recorded.txt"
"""A recording's file name, a tab, and its words; a line each."""


@frozen
class Recordings:
    """Which line has which file."""

    files: dict[str, Path]
    """By the line's name."""
    missing: tuple[str, ...]
    """Names of lines without a file."""
    unmatched: tuple[str, ...]
    """Names of sound files that no line has."""
    other_words: dict[str, str] = field(factory=dict)
    """Files called like a line but recorded for other words: name of the line, and these."""


def find_recordings(folder: Path | None, lines: Mapping[str, str]) -> Recordings:
    """Match the folder's sound files with lines (name: words); a missing folder has none.

    A file whose words are noted goes to the line with these words.  Others go by name:
    ``3.wav`` and ``03.wav`` are the same, and so are capitals and small letters.  If two
    files are for one line the first by name is taken.
    """
    by_name = {_key(name): name for name in lines}
    noted = recorded_words(folder)
    files: dict[str, Path] = {}
    others: list[Path] = []
    other_words: dict[str, str] = {}
    for path in _sound_files(folder):
        said = noted.get(path.name)
        named = by_name.get(_key(path.stem))
        if said is None:
            others.append(path)
            continue
        line = _line_of(said, named, lines, files)
        if line is not None:
            files[line] = path
        elif named is not None:
            other_words[named] = said
        else:
            others.append(path)
    unmatched = []
    for path in others:
        named = by_name.get(_key(path.stem))
        if named is None or path.name in noted:
            unmatched.append(path.name)
        else:
            files.setdefault(named, path)
    missing = tuple(name for name in lines if name not in files)
    changed = {name: said for name, said in other_words.items() if name not in files}
    return Recordings(files, missing, tuple(unmatched), changed)


def recorded_words(folder: Path | None) -> dict[str, str]:
    """The words noted for each file name; nothing where there is no note."""
    if folder is None:
        return {}
    try:
        text = read_bounded(folder / WORDS_FILE, _MOST_NOTE_BYTES)
    except OSError:
        return {}
    # whatever its bytes are, the next note writes them back as they stood
    said = text.decode("utf-8", "surrogateescape").split("\n")
    pairs = (line.partition("\t") for line in said)
    return {name.strip(): words.strip() for name, tab, words in pairs if tab}


def words_note(words: Mapping[str, str]) -> str:
    """The text of the note, in order of file name."""
    return "".join(f"{name}\t{said}\n" for name, said in sorted(words.items()))


def _line_of(
    said: str, named: str | None, lines: Mapping[str, str], taken: Iterable[str]
) -> str | None:
    """The line that says these words: the one the file is called after, or the first free."""
    same = [name for name, words in lines.items() if _plain(words) == _plain(said)]
    if named in same:
        same.insert(0, named)
    return next((name for name in same if name not in taken), None)


def _sound_files(folder: Path | None) -> list[Path]:
    if folder is None or not folder.is_dir():
        return []
    suffixes = (*RECORDED_SUFFIXES, *VIDEO_SUFFIXES)
    return sorted(
        path
        for path in folder.iterdir()
        if path.suffix.lower() in suffixes and path.is_file() and not path.name.startswith(".")
    )


def _key(name: str) -> str:
    plain = unicodedata.normalize("NFC", name).casefold()
    words = re.sub(r"[\s_\-]+", " ", plain).strip()
    return re.sub(r"\d+", lambda match: str(int(match[0])), words)


def _plain(words: str) -> str:
    return "".join(c for c in unicodedata.normalize("NFC", words).casefold() if c.isalnum())
