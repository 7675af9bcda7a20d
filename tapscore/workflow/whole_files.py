"""Folders written whole or not at all, and nothing over what somebody else made."""

import hashlib
import os
import shutil
from collections.abc import Callable
from pathlib import Path

from tapscore.disc.ours import read_record, write_record
from tapscore.disc.whole import part_name, sweep, sync_folder, write_whole

_RECORD = ".tapscore-made.json"


def write_whole_folder(
    path: Path, write: Callable[[Path], None], *, check: Callable[[Path], None] | None = None
) -> None:
    """Let ``write`` fill a new folder, then put it in ``path``'s place; ``check`` sees it before.

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
        if check is not None:
            check(unfinished)
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
    """Remembers, in a small hidden file, what tapscore made in a folder.

    What is about to take a file's place is noted before it does, so that a program killed in
    between knows it again.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._record = folder / _RECORD
        said = read_record(self._record)
        self._made = _digests(said.get("made by tapscore"))
        self._coming = _digests(said.get("about to be made"))
        self._meant = _digests(said.get("made for"))
        self._unwritten = False

    def may_replace(self, path: Path) -> bool:
        """Whether ``path`` is free, or just as tapscore left it."""
        if not path.exists():
            return True
        known = {each[path.name] for each in (self._made, self._coming) if path.name in each}
        return bool(known) and _digest(path) in known

    def meant_for(self, path: Path) -> str:
        """What a file was made for, as ``make`` was told; empty if it was not."""
        return self._meant.get(path.name, "")

    def take_away(self, path: Path) -> None:
        """Delete a file that ``may_replace`` allowed, and forget it.  Raises OSError."""
        path.unlink(missing_ok=True)
        for noted in (self._made, self._coming, self._meant):
            noted.pop(path.name, None)
        self._write()

    def make(
        self,
        path: Path,
        write: Callable[[Path], None],
        *,
        is_folder: bool = False,
        meant_for: str = "",
        more: bool = False,
    ) -> None:
        """Write a file or folder whole and remember it.  Raises OSError.

        Where ``more`` files follow, the note of this one goes to the disc with the next one's, or
        with ``note``: until then the disc says that it was about to be made, which is as good.
        """
        if meant_for:
            self._meant[path.name] = meant_for
        put = write_whole_folder if is_folder else write_whole
        put(path, write, check=lambda unfinished: self.expect(path.name, unfinished))
        self.remember(path, more=more)

    def expect(self, name: str, unfinished: Path) -> None:
        """Note what is about to get this name.  Raises OSError."""
        self._coming[name] = _digest(unfinished)
        self._write()

    def remember(self, path: Path, *, more: bool = False) -> None:
        """Note that ``path`` is now what was expected, or else as it is.  Raises OSError."""
        self._made[path.name] = self._coming.pop(path.name, "") or _digest(path)
        if more:
            self._unwritten = True
        else:
            self._write()

    def note(self) -> None:
        """Write down what was made and is not noted on the disc yet.  Raises OSError."""
        if self._unwritten:
            self._write()

    def _write(self) -> None:
        said = {"made by tapscore": self._made}
        if self._coming:
            said["about to be made"] = self._coming
        if self._meant:
            said["made for"] = self._meant
        write_record(self._record, said)
        self._unwritten = False


def _digests(said: object) -> dict[str, str]:
    if not isinstance(said, dict):
        return {}
    return {str(name): str(digest) for name, digest in said.items()}


def _digest(path: Path) -> str:
    if not path.is_dir():
        with path.open("rb") as opened:  # a long guide is hundreds of megabytes
            return hashlib.file_digest(opened, "sha256").hexdigest()
    whole = hashlib.sha256()
    for file in _files_in(path):
        name = file.relative_to(path).as_posix()
        whole.update(f"{name}\0{_digest(file)}\n".encode("utf-8", "surrogateescape"))
    return whole.hexdigest()


def _files_in(folder: Path) -> list[Path]:
    return sorted(path for path in folder.rglob("*") if path.is_file())
