"""Folders written whole or not at all, and nothing over what somebody else made."""

import hashlib
import os
import shutil
from collections.abc import Callable
from pathlib import Path

from tapscore.disc.ours import read_record, write_record
from tapscore.disc.whole import part_name, sweep, sync_folder

_RECORD = ".tapscore-made.json"


def write_whole_folder(path: Path, write: Callable[[Path], None]) -> None:
    """Let ``write`` fill a new folder, then put it in ``path``'s place.

    A folder that was there is moved aside first and deleted when the new one stands.
    Raises OSError, with nothing changed, if any of it fails.
    """
    sweep(path.parent)
    holder = path.with_name(part_name(path.name))
    holder.mkdir()
    unfinished, before = holder / "new", holder / "before"
    try:
        unfinished.mkdir()
        write(unfinished)
        for file in _files_in(unfinished):
            with file.open("rb+") as opened:
                os.fsync(opened.fileno())
            sync_folder(file.parent)
        if path.exists():
            path.replace(before)
        try:
            unfinished.replace(path)
        except OSError:
            if before.exists():
                before.replace(path)
            raise
    finally:
        shutil.rmtree(holder, ignore_errors=True)
    sync_folder(path.parent)


class MadeFiles:
    """Remembers, in a small hidden file, what tapscore made in a folder."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._record = folder / _RECORD
        self._made = self._load()

    def may_replace(self, path: Path) -> bool:
        """Whether ``path`` is free, or just as tapscore left it."""
        return not path.exists() or self._made.get(path.name) == _digest(path)

    def remember(self, path: Path) -> None:
        """Note that tapscore made ``path`` as it is now."""
        self._made[path.name] = _digest(path)
        write_record(self._record, {"made by tapscore": self._made})

    def _load(self) -> dict[str, str]:
        made = read_record(self._record).get("made by tapscore")
        if not isinstance(made, dict):
            return {}
        return {str(name): str(digest) for name, digest in made.items()}


def _digest(path: Path) -> str:
    if not path.is_dir():
        return hashlib.sha256(path.read_bytes()).hexdigest()
    whole = hashlib.sha256()
    for file in _files_in(path):
        name = file.relative_to(path).as_posix()
        whole.update(f"{name}\0{_digest(file)}\n".encode("utf-8", "surrogateescape"))
    return whole.hexdigest()


def _files_in(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*") if path.is_file())
