"""Sounds put aside on the disc until they are mixed.

Five minutes of speech take 60 MB; a guide of any length needs no more memory than one of its
lines if each is read as the mix comes to it.
"""

from os import SEEK_END
from tempfile import TemporaryFile
from threading import Lock
from typing import IO
from weakref import finalize

import numpy as np
from attrs import frozen

from tapscore.exports.audio.sound import Sound
from tapscore.wording.catalogue import say


class Spool:
    """An unnamed file of sounds, gone with the last of them.  Several threads may read it."""

    def __init__(self) -> None:
        self._file: IO[bytes] | None = None
        self._lock = Lock()

    def put(self, sound: Sound) -> "PutAside":
        """Write a sound.  Raises OSError where the disc is full."""
        rest = memoryview(sound.astype(np.float32, copy=False).tobytes())
        with self._lock:
            if self._file is None:
                self._file = TemporaryFile(prefix="tapscore-", buffering=0)  # noqa: SIM115
                finalize(self, self._file.close)
            start = self._file.seek(0, SEEK_END)
            while rest:
                rest = rest[self._file.write(rest) :]
        return PutAside(self, start, len(sound))

    def get(self, start: int, count: int) -> Sound:
        """Read a sound again.  Raises OSError where that fails."""
        read = b""
        with self._lock:
            assert self._file is not None
            self._file.seek(start)
            while len(read) < 4 * count:
                more = self._file.read(4 * count - len(read))
                if not more:
                    raise OSError(say("a sound that was put aside is gone"))
                read += more
        return np.frombuffer(read, np.float32)


@frozen(eq=False)
class PutAside:
    """A sound that is read when it is wanted."""

    _spool: Spool
    _start: int
    _count: int

    def __len__(self) -> int:
        return self._count

    @property
    def samples(self) -> Sound:
        """It, read anew each time."""
        return self._spool.get(self._start, self._count)
