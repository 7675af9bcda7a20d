"""Recorded lines in a folder beside the story, found by their files' names."""

import re
import unicodedata
from collections.abc import Iterable
from pathlib import Path

from attrs import frozen

RECORDED_SUFFIXES = (".wav", ".mp3", ".m4a", ".ogg", ".flac", ".opus", ".aac")
VIDEO_SUFFIXES = (".mp4", ".mov", ".webm", ".mkv", ".avi", ".3gp")


@frozen
class Recordings:
    """Which line has which file."""

    files: dict[str, Path]
    """By the line's name."""
    missing: tuple[str, ...]
    """Names of lines without a file."""
    unmatched: tuple[str, ...]
    """Names of sound files that no line has."""


def recordings_folder(story_file: Path) -> Path:
    """Where recordings of a story are looked for: ``<story name> recordings`` beside it."""
    return story_file.with_name(f"{story_file.stem} recordings")


def find_recordings(folder: Path | None, names: Iterable[str]) -> Recordings:
    """Match the folder's sound files with the lines' names; a missing folder has none.

    ``3.wav`` and ``03.wav`` are the same, and so are capitals and small letters.  If two
    files are for one line the first by name is taken.
    """
    wanted = {_key(name): name for name in names}
    files: dict[str, Path] = {}
    unmatched: list[str] = []
    for path in _sound_files(folder):
        name = wanted.get(_key(path.stem))
        if name is None:
            unmatched.append(path.name)
        else:
            files.setdefault(name, path)
    missing = tuple(name for name in wanted.values() if name not in files)
    return Recordings(files, missing, tuple(unmatched))


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
