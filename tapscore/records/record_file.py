"""A class record on disc: opened with a passphrase, saved whole, two earlier versions kept.

One sitting has the file; whoever else opens it reads only.  The first save of a sitting
moves what was there to ``NAME earlier 1``, and that to ``NAME earlier 2``: the record as it
was before this sitting and before the last one that changed it.
"""

import hashlib
from collections.abc import Callable
from contextlib import suppress
from functools import reduce
from pathlib import Path
from typing import TYPE_CHECKING

from attrs import define, field

from tapscore.disc.reading import read_bounded
from tapscore.disc.reasons import reason
from tapscore.disc.whole import write_whole_bytes
from tapscore.records import sealed
from tapscore.records.data import from_json, to_json
from tapscore.records.edits import without_pupil
from tapscore.records.model import ClassRecord
from tapscore.records.sealed import Key, SealError
from tapscore.wording.catalogue import say

if TYPE_CHECKING:
    from filelock import FileLock

SUFFIX = ".classrecord"
EARLIER = (" earlier 1", " earlier 2")
"""Endings of the names of the two earlier versions, the newer first."""
MOST_BYTES = 200_000_000


class ReadOnlyError(Exception):
    """Somebody else has the record."""


class RecordChangedError(Exception):
    """Somebody else wrote the file since it was opened."""


@define(eq=False, repr=False)
class RecordFile:
    """A record that is open."""

    path: Path
    record: ClassRecord
    key: Key
    read_only: str = ""
    """Why it can't be saved; empty where it can."""
    _on_disc: bytes = b""
    """Digest of the file as it was read or written last."""
    _moved: bool = False
    """Whether the earlier versions were moved on in this sitting."""
    _saved: ClassRecord | None = None
    _forget: tuple[str, ...] = ()
    """Ids of pupils that are still to go from the earlier versions."""
    _lock: "FileLock | None" = field(default=None)

    @property
    def unsaved(self) -> bool:
        """Whether something changed since the last save."""
        changed = self._saved is not self.record and self._saved != self.record
        return changed or bool(self._forget)

    def save(self) -> tuple[str, ...]:
        """Write the record in the place of what is there.

        Gives a sentence on each earlier version that had to be deleted because a pupil is to
        go from it and it can't be opened with this passphrase.  Raises ReadOnlyError,
        RecordChangedError or OSError, with the old file whole.
        """
        if self.read_only:
            raise ReadOnlyError(self.read_only)
        now = _bytes_or_none(self.path)
        if now is not None and _digest(now) != self._on_disc:
            raise RecordChangedError
        if now is not None and not self._moved:
            one, two = (earlier(self.path, which) for which in (0, 1))
            before = _bytes_or_none(one)
            if before is not None:
                write_whole_bytes(two, before)
            write_whole_bytes(one, now)
        record = self.record
        data = sealed.seal(to_json(record), self.key)
        write_whole_bytes(self.path, data)
        self._on_disc, self._saved, self._moved = _digest(data), record, True
        if not self._forget:
            return ()
        said = self._rewrite_earlier(lambda held: reduce(without_pupil, self._forget, held))
        self._forget = ()
        return said

    def save_copy(self, path: Path) -> None:
        """Write the record elsewhere, under the same passphrase.

        Raises FileExistsError where something is there, OSError where it can't be written.
        """
        if path.exists():
            raise FileExistsError(17, say("a file of that name is there"), str(path))
        write_whole_bytes(path, sealed.seal(to_json(self.record), self.key))

    def locked_away(self) -> bytes:
        """The record sealed, for as long as the screen is locked."""
        return sealed.seal(to_json(self.record), self.key)

    def forget_pupil(self, pupil_id: str) -> tuple[str, ...]:
        """Take a pupil out of the record and of both earlier versions, and save.

        Gives and raises what ``save`` does; where it can't be saved now, the next save does it.
        """
        if self.read_only:
            raise ReadOnlyError(self.read_only)
        self.record = without_pupil(self.record, pupil_id)
        self._forget = (*self._forget, pupil_id)
        return self.save()

    def change_passphrase(self, passphrase: str) -> tuple[str, ...]:
        """Seal the record and its earlier versions with another passphrase; raises as save."""
        old, self.key = self.key, sealed.new_key(passphrase)
        try:
            self.save()
        except (ReadOnlyError, RecordChangedError, OSError):
            self.key = old
            raise
        try:
            return self._rewrite_earlier(lambda record: record, old)
        except OSError as error:
            why = reason(error)
            return (
                say(
                    "Earlier versions still have the old one ({why}): delete them by hand.", why=why
                ),
            )

    def _rewrite_earlier(
        self, change: Callable[[ClassRecord], ClassRecord], key: Key | None = None
    ) -> tuple[str, ...]:
        said: list[str] = []
        for which in (0, 1):
            path = earlier(self.path, which)
            data = _bytes_or_none(path)
            if data is None:
                continue
            try:
                record = from_json(sealed.unseal(data, key or self.key))
            except SealError:
                path.unlink()
                said.append(
                    say("{file} could not be opened with this passphrase: deleted.", file=path.name)
                )
                continue
            write_whole_bytes(path, sealed.seal(to_json(change(record)), self.key))
        return tuple(said)

    def close(self) -> None:
        """Let others have it; what is not saved is gone."""
        if self._lock is not None:
            self._lock.release()
            self._lock = None


def create_record(
    path: Path, passphrase: str, record: ClassRecord, *, log2_n: int | None = None
) -> RecordFile:
    """Make a record file and keep it open.

    Raises FileExistsError where something is there, ValueError for a passphrase that is too
    weak, OSError where it can't be written.
    """
    _leave_no_dump()
    trouble = sealed.passphrase_trouble(passphrase)
    if trouble:
        raise ValueError(trouble)
    if path.exists():
        raise FileExistsError(17, say("a file of that name is there"), str(path))
    path.parent.mkdir(parents=True, exist_ok=True)
    lock, why = _locked(path)
    made = RecordFile(path, record, sealed.new_key(passphrase, log2_n=log2_n), why, lock=lock)
    try:
        made.save()
    except BaseException:
        made.close()
        raise
    return made


def open_record(path: Path, passphrase: str) -> RecordFile:
    """Open a record file; read-only where somebody has it or it can't be written.

    Raises SealError if it can't be opened with this passphrase, OSError if it can't be read.
    """
    _leave_no_dump()
    lock, why = _locked(path)
    try:
        data = read_bounded(path, MOST_BYTES)
        key = sealed.key_for(data, passphrase)
        record = from_json(sealed.unseal(data, key))
    except BaseException:
        if lock is not None:
            lock.release()
        raise
    return RecordFile(path, record, key, why, _digest(data), saved=record, lock=lock)


def look_at(path: Path) -> None:
    """Raise SealError or OSError where there is no record to ask a passphrase for."""
    sealed.check_whole(read_bounded(path, MOST_BYTES))


def earlier(path: Path, which: int) -> Path:
    """Where an earlier version is: 0 is the newer, 1 the older."""
    return path.with_name(f"{path.stem}{EARLIER[which]}{path.suffix}")


def record_path(path: Path) -> Path:
    """The name with the ending by which records are found."""
    return path if path.suffix == SUFFIX else path.with_name(f"{path.name}{SUFFIX}")


def usual_folder() -> Path:
    """Where records are, if the user says nothing else."""
    import platformdirs

    return platformdirs.user_data_path("tapscore", appauthor=False) / "class records"


def records_in(folder: Path) -> tuple[Path, ...]:
    """The records in a folder, without their earlier versions."""
    found = sorted(folder.glob(f"*{SUFFIX}")) if folder.is_dir() else []
    return tuple(path for path in found if not path.stem.endswith(EARLIER))


def _locked(path: Path) -> tuple["FileLock | None", str]:
    """The lock of a record, or why it can't be had."""
    from filelock import FileLock, Timeout

    lock = FileLock(path.with_name(f".{path.name}.lock"), thread_local=False)
    try:
        lock.acquire(timeout=0)
    except Timeout:
        return None, say("Another window or another computer has this record open: read only.")
    except (OSError, NotImplementedError):
        return None, say("Nothing can be written in its folder: read only.")
    return lock, ""


def _leave_no_dump() -> None:
    """From now on a crash of this program writes no memory to disc (setrlimit, POSIX)."""
    try:
        import resource
    except ImportError:  # not there on Windows, which asks the user
        return
    with suppress(ValueError, OSError):
        resource.setrlimit(resource.RLIMIT_CORE, (0, resource.getrlimit(resource.RLIMIT_CORE)[1]))


def _bytes_or_none(path: Path) -> bytes | None:
    with suppress(FileNotFoundError):
        return read_bounded(path, MOST_BYTES)
    return None


def _digest(data: bytes) -> bytes:
    return hashlib.sha256(data).digest()
