"""Files of others, read with a bound: no pipe is waited for, nothing endless is taken in."""

import errno
import os
import stat
from pathlib import Path

from tapscore.wording.catalogue import say

USUAL_MOST_BYTES = 64_000_000


class NotAFileError(OSError):
    """What stands under a name is a pipe, a device or the like."""


class TooLargeError(OSError):
    """A file holds more than anything of its kind does."""


def begins_as_utf_16(data: bytes) -> bool:
    """Whether a file's bytes begin with the mark of UTF-16."""
    return data.startswith((b"\xff\xfe", b"\xfe\xff"))


def text_of(data: bytes, errors: str = "strict") -> str:
    """The text in a file's bytes: UTF-8, or UTF-16 where it begins as that does.

    ``errors`` as in ``bytes.decode``.  Raises UnicodeDecodeError where that is strict.
    """
    return data.decode("utf-16" if begins_as_utf_16(data) else "utf-8-sig", errors)


def read_bounded(path: Path, most_bytes: int = USUAL_MOST_BYTES) -> bytes:
    """The bytes of a regular file.

    Raises OSError where it can't be read: NotAFileError for a pipe or device (which is not
    waited for), TooLargeError for more than ``most_bytes``.
    """
    flags = os.O_RDONLY | getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)
    # a named pipe that nobody writes to would hold up a usual open() for ever
    handle = os.open(path, flags | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0))
    try:
        mode = os.fstat(handle).st_mode
        if stat.S_ISDIR(mode):  # asked first: a folder can be opened, but not as a file of Python
            raise IsADirectoryError(errno.EISDIR, say("it is a folder"), str(path))
        if not stat.S_ISREG(mode):
            raise NotAFileError(
                errno.EINVAL, say("it is a pipe or a device, not a file"), str(path)
            )
        with os.fdopen(handle, "rb", closefd=False) as file:
            data = file.read(most_bytes + 1)
    finally:
        os.close(handle)
    if len(data) > most_bytes:
        said = say("it is larger than {most:,} bytes", most=most_bytes)
        if most_bytes >= 1e6:
            said = say("it is larger than {most:,.0f} MB", most=most_bytes / 1e6)
        raise TooLargeError(errno.EFBIG, said, str(path))
    return data
