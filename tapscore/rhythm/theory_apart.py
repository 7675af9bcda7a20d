"""music21 in a process of its own, which takes its 30 MB along when it has counted.

The window's process would keep them, and typing would wait for Python's one lock.
"""

import json
import subprocess
import sys
from functools import lru_cache
from tempfile import TemporaryFile

from tapscore.disc.programs import NO_CONSOLE, outside, packed
from tapscore.rhythm import theory
from tapscore.rhythm.theory import Asked, Counted, asked_as_data, counted_of

COUNT = "--count-the-metre"
"""What the app without Python is told to be this."""
_MOST_AHEAD = 4
_ahead: "dict[Asked, subprocess.Popen[bytes]]" = {}


def ask_ahead(asked: Asked) -> None:
    """Begin to count, so that ``counted`` need not wait as long."""
    if _loaded() or asked in _ahead or len(_ahead) >= _MOST_AHEAD:
        return
    started = _started(asked)
    if started is not None:
        _ahead[asked] = started


@lru_cache(maxsize=1)
def counted(asked: Asked) -> Counted:
    """What music21 counts; in this process if it is loaded here, or where no other can be had."""
    running = _ahead.pop(asked, None)
    if running is None and not _loaded():
        running = _started(asked)
    if running is not None:
        said, _ = running.communicate()
        if running.returncode == 0:
            return counted_of(json.loads(said))
    return theory.count(asked)


def _loaded() -> bool:
    return "music21" in sys.modules


def _started(asked: Asked) -> "subprocess.Popen[bytes] | None":
    command = [COUNT] if packed() else ["-P", "-m", theory.__name__]
    try:
        # a file and no pipe: the other process may read while this one goes on
        with TemporaryFile(prefix="tapscore-") as told:
            told.write(json.dumps(asked_as_data(asked)).encode())
            told.seek(0)
            return subprocess.Popen(
                [sys.executable, *command],
                stdin=told,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                env=outside(),
                creationflags=NO_CONSOLE,
            )
    except OSError:
        return None
