"""Files written whole or not at all, in the place and with the rights they had.

A new file is filled beside the old one, read back, and put in its place in one step (POSIX
``rename``; its name is made durable by an ``fsync`` of the folder).  Where that would change
what the file is to others - a second name (hard link), an owner, group or access list that
may not be given away, a folder nothing new may stand in - it is written over in place
instead, with both texts laid beside it until it is done, so that a power cut can be mended.
"""

import errno
import os
import re
import stat
import time
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from tapscore.disc.reading import NotAFileError
from tapscore.wording.catalogue import say

_PART = ".tapscore-part"
_LEFT = re.compile(r"\..*\.([0-9a-f]{6})-(\d+)-[0-9a-f]{8}\.tapscore-part(\..*)?")
_BEFORE, _AFTER = ".tapscore-before", ".tapscore-after"
_NEW_MODE = 0o666
_YESTERDAY_SEC = 86_400
_BLOCK = 1 << 20
_HELD_OPEN = os.name == "nt"
"""Whether a file that another program has open can't be replaced: so on Windows."""
_LET_GO_SEC = (0.05, 0.1, 0.2, 0.4, 0.8)
"""Waits for a program that only looks at a new file for a moment, as virus scanners do."""
_ANYBODYS_RIGHT = stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH


class NotKeptError(OSError):
    """The disc did not keep what was written."""


def write_whole(
    path: Path, write: Callable[[Path], None], *, check: Callable[[Path], None] | None = None
) -> None:
    """Let ``write`` fill a new file, then let it take ``path``'s place.

    A link stays a link: the file it leads to is written.  Mode, owner, group and access list
    stay.  ``check`` looks at the finished file before it takes the place, and raises if it is
    not as it should be.  Raises OSError, with nothing changed, if any of it fails; a file
    that is write-protected, or no file at all, is left alone.
    """
    target = followed(path)
    before = _replaceable(target)
    sweep(target.parent)
    finish_interrupted(target)
    with _part_file(target, before) as (unfinished, may_take_place):
        write(unfinished)
        _settle(unfinished)
        if check is not None:
            check(unfinished)
        if before is None or (may_take_place and _dressed_like(unfinished, target, before)):
            _take_place(unfinished, target)
        else:
            _write_over(target, unfinished)
    sync_folder(target.parent)


def _take_place(unfinished: Path, target: Path) -> None:
    """Put a finished file in its place, once nobody holds open what is there.

    Raises PermissionError, with both files as they were, if somebody goes on holding it.
    """
    if not _HELD_OPEN:
        unfinished.replace(target)
        return
    for pause_sec in (*_LET_GO_SEC, None):
        try:
            unfinished.replace(target)
        except PermissionError as error:
            if pause_sec is None:
                why = say("another program has it open: close it there, and try again")
                raise PermissionError(errno.EACCES, why, str(target)) from error
            time.sleep(pause_sec)
        else:
            return


def write_whole_bytes(path: Path, data: bytes) -> None:
    """Put ``data`` in ``path``'s place, once it was read back from the disc."""

    def same(unfinished: Path) -> None:
        if _fresh_bytes(unfinished) != data:
            raise NotKeptError(errno.EIO, say("the disc does not give back what was written"))

    write_whole(path, lambda unfinished: _fill(unfinished, data), check=same)


def followed(path: Path) -> Path:
    """Where a link leads to, though nothing be there yet; the path itself if it is none.

    Raises OSError for links that lead in a circle.
    """
    seen = 0
    while path.is_symlink():
        path = path.parent / path.readlink()
        seen += 1
        if seen > 40:  # as many as Linux follows
            raise OSError(errno.ELOOP, say("the link leads in a circle"), str(path))
    return path


def finish_interrupted(path: Path) -> bool:
    """Finish a writing over that a power cut broke off; whether there was one to finish.

    Nothing is touched if somebody wrote the file since.
    """
    target = followed(path)
    before, after = (_beside(target, end) for end in (_BEFORE, _AFTER))
    if not after.exists():
        return False
    with suppress(OSError):
        now, old, new = target.read_bytes(), before.read_bytes(), after.read_bytes()
        torn = now != new and _torn(now, old, new)
        if torn:
            _pour(after, target)
        for each in (after, before):
            each.unlink(missing_ok=True)
        return torn
    return False


def sweep(folder: Path) -> None:
    """Take away unfinished files of programs that were killed."""
    with suppress(OSError), os.scandir(folder) as entries:
        for entry in entries:
            found = _LEFT.fullmatch(entry.name)
            if found is None or not _is_left(found, entry):
                continue
            with suppress(OSError):
                if entry.is_dir(follow_symlinks=False):
                    import shutil

                    shutil.rmtree(entry.path)
                else:
                    Path(entry.path).unlink()


def part_name(name: str) -> str:
    """A hidden name for something unfinished that will be called ``name``."""
    stem, suffix = os.path.splitext(name)  # noqa: PTH122 - of a bare name
    hidden = os.fsdecode(os.fsencode(stem)[:60])
    return f".{hidden}.{_host()}-{os.getpid()}-{os.urandom(4).hex()}{_PART}{suffix}"


def sync_folder(folder: Path) -> None:
    """Make the names in a folder durable, where the system can."""
    if os.name != "posix":
        return
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _replaceable(target: Path) -> os.stat_result | None:
    """What stands at the target now, if it may be replaced; None where nothing does."""
    try:
        before = target.stat()
    except FileNotFoundError:
        return None
    if stat.S_ISDIR(before.st_mode):
        raise IsADirectoryError(errno.EISDIR, say("a folder has this name"), str(target))
    if not stat.S_ISREG(before.st_mode):
        raise NotAFileError(errno.EINVAL, say("it is a pipe or a device, not a file"), str(target))
    if not before.st_mode & _ANYBODYS_RIGHT or not os.access(target, os.W_OK):
        raise PermissionError(errno.EACCES, say("the file is write-protected"), str(target))
    return before


@contextmanager
def _part_file(target: Path, before: os.stat_result | None) -> Iterator[tuple[Path, bool]]:
    """An empty file to fill, and whether it lies where it could take the target's place."""
    mode = _NEW_MODE if before is None else stat.S_IMODE(before.st_mode) | stat.S_IWUSR
    part, may_take_place = target.with_name(part_name(target.name)), True
    try:
        _create(part, mode)
    except (PermissionError, OSError) as error:
        if before is None or error.errno not in (errno.EACCES, errno.EPERM, errno.EROFS):
            raise
        # the file may be written though nothing new may stand in its folder
        import tempfile

        part, may_take_place = Path(tempfile.gettempdir(), part_name(target.name)), False
        _create(part, stat.S_IRUSR | stat.S_IWUSR)
    try:
        yield part, may_take_place
    finally:
        part.unlink(missing_ok=True)


def _create(path: Path, mode: int) -> None:
    flags = os.O_CREAT | os.O_EXCL | os.O_WRONLY | getattr(os, "O_CLOEXEC", 0)
    os.close(os.open(path, flags, mode))


def _dressed_like(unfinished: Path, target: Path, before: os.stat_result) -> bool:
    """Give a new file what the old one has; False where it would not be the same to others."""
    if os.name != "posix":
        return True
    if before.st_nlink > 1:
        return False
    now = unfinished.stat()
    try:
        if (now.st_uid, now.st_gid) != (before.st_uid, before.st_gid):
            os.chown(unfinished, before.st_uid, before.st_gid)
        for name in _attributes(target):
            os.setxattr(unfinished, name, os.getxattr(target, name))
    except OSError:
        return False
    if stat.S_IMODE(now.st_mode) != stat.S_IMODE(before.st_mode):
        with suppress(OSError):  # some discs know no modes and refuse
            unfinished.chmod(stat.S_IMODE(before.st_mode))
    return stat.S_IMODE(unfinished.stat().st_mode) == stat.S_IMODE(before.st_mode)


def _attributes(path: Path) -> list[str]:
    """Extended attributes, access lists among them; none where there are none to be had."""
    if not hasattr(os, "listxattr"):
        return []
    try:
        return [name for name in os.listxattr(path) if not name.startswith("security.")]
    except OSError:
        return []


def _write_over(target: Path, unfinished: Path) -> None:
    """Put what is in ``unfinished`` into the target itself; its old content if that fails."""
    old = target.read_bytes()
    notes = _beside(target, _BEFORE), _beside(target, _AFTER)
    try:
        with suppress(OSError):  # where nothing new may stand, a power cut can't be mended
            _fill(notes[0], old)
            _settle(notes[0])
            import shutil

            shutil.copyfile(unfinished, notes[1])
            _settle(notes[1])
            sync_folder(target.parent)
        try:
            _pour(unfinished, target)
        except OSError:
            with suppress(OSError), target.open("rb+") as file:
                file.write(old)
                file.truncate()
            raise
    finally:
        for note in reversed(notes):
            with suppress(OSError):
                note.unlink(missing_ok=True)


def _pour(source: Path, target: Path) -> None:
    """Write over a file from its beginning; it is cut only when all of the new stands."""
    with source.open("rb") as new, target.open("rb+") as file:
        while block := new.read(_BLOCK):
            file.write(block)
        file.truncate()
        file.flush()
        os.fsync(file.fileno())
    if _digest(source) != _digest(target):
        raise NotKeptError(
            errno.EIO, say("the disc does not give back what was written"), str(target)
        )


def _torn(now: bytes, old: bytes, new: bytes) -> bool:
    """Whether ``now`` is the new text up to some place and the old one from there."""
    same, beyond = 0, min(len(now), len(new)) + 1
    while beyond - same > 1:
        middle = (same + beyond) // 2
        same, beyond = (middle, beyond) if now[:middle] == new[:middle] else (same, middle)
    return now[same:] == old[same:]


def _beside(target: Path, end: str) -> Path:
    name = os.fsencode(target.name)
    return target.with_name(f".{os.fsdecode(name[:60])}.{zlib.crc32(name):08x}{end}")


def _fill(path: Path, data: bytes) -> None:
    path.write_bytes(data)


def _settle(path: Path) -> None:
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def _fresh_bytes(path: Path) -> bytes:
    """A file's bytes from the disc rather than from memory, where the system can."""
    with path.open("rb") as file:
        if hasattr(os, "posix_fadvise"):
            with suppress(OSError):
                os.posix_fadvise(file.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)
        return file.read()


def _digest(path: Path) -> bytes:
    import hashlib

    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").digest()


def _host() -> str:
    import hashlib
    import socket  # whoever only reads a story waits for neither

    return hashlib.sha256(socket.gethostname().encode()).hexdigest()[:6]


def _is_left(found: re.Match[str], entry: os.DirEntry[str]) -> bool:
    if found[1] == _host() and os.name == "posix":
        return not runs(int(found[2]))
    with suppress(OSError):
        return entry.stat(follow_symlinks=False).st_mtime < time.time() - _YESTERDAY_SEC
    return False


def runs(pid: int) -> bool:
    """Whether a process of this number runs here (POSIX)."""
    try:
        os.kill(pid, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except PermissionError:
        return True
    return True
