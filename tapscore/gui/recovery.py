"""Unsaved work kept in the user's own folder, so that a crash or power cut loses nothing.

Every run of the program holds a lock file as long as it runs; what a run kept is offered only
when its lock is gone or stands for a program that is no more.  What can't be read, or was
never looked at, is never deleted.
"""

import hashlib
import secrets
from contextlib import suppress
from datetime import datetime
from itertools import chain, count
from pathlib import Path

from attrs import frozen
from PySide6.QtCore import QLockFile

from tapscore.disc.ours import read_record, write_record
from tapscore.disc.whole import write_whole_bytes
from tapscore.workflow.keeping.save_story import Seen
from tapscore.workflow.names import STORY_ENDINGS

AWAY = "put away"
"""A folder for kept work that the user has decided about, or that can't be read."""
MOST_PUT_AWAY = 50


@frozen
class Recovered:
    """Unsaved work of a run that ended without saving."""

    kept_in: Path
    text: str | None
    """None where the kept file can't be read."""
    path: Path | None = None
    """The story's own file, None if it never had one."""
    when: datetime | None = None
    """When it was kept (local time)."""
    seen: Seen | None = None
    """What was in the story's file when this work was based on it."""


class RecoveryFolder:
    """A folder with one file for every window that has unsaved work."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._run = secrets.token_hex(8)
        self._lock: QLockFile | None = None

    @property
    def folder(self) -> Path:
        """Where it is."""
        return self._folder

    def keep(self, key: str, path: Path | None, text: str, seen: Seen) -> None:
        """Keep the text of a window; raises OSError if it can't be."""
        self._folder.mkdir(parents=True, exist_ok=True)
        if self._lock is None:
            self._lock = _lock(self._lock_file(self._run))
            self._lock.tryLock(0)
        write_record(
            self._file(key),
            {
                "path": str(path.absolute()) if path else None,
                "when": datetime.now().isoformat(),
                "seen": seen.digest.hex() if seen.digest is not None else None,
                "text": text,
            },
        )

    def forget(self, key: str) -> None:
        """The work of a window is saved, or thrown away on purpose."""
        with suppress(OSError):
            self._file(key).unlink()

    def let_go(self) -> None:
        """This run ends, or counts as ended."""
        if self._lock is not None:
            self._lock.unlock()
            self._lock = None

    def left_behind(self) -> tuple[Recovered, ...]:
        """Work of runs that are no longer there, the newest first; damaged files last."""
        found: list[Recovered] = []
        with suppress(OSError):
            for file in sorted(self._folder.glob("[!.]*.json")):
                run = file.stem.split("-")[0]
                if not self._still_runs(run):
                    found.append(_read(file))
        return tuple(sorted(found, key=lambda left: left.when or datetime.min, reverse=True))

    def take_over(self, left: Recovered) -> None:
        """The work is in a window of this run now, and kept there."""
        with suppress(OSError):
            left.kept_in.unlink()

    def put_away(self, left: Recovered, name: str) -> Path:
        """Ask no more about it; where it is from now on.

        That is a story file called ``name``, which opens like any; what is damaged stays as it
        is.  Raises OSError and UnicodeEncodeError, and then it is asked about again.
        """
        away = self._folder / AWAY
        away.mkdir(exist_ok=True)
        if left.text is None:
            kept = away / left.kept_in.name
            left.kept_in.replace(kept)
            return kept
        ending = STORY_ENDINGS[0]
        name += f" {left.when:%Y-%m-%d %H.%M}" if left.when else ""
        names = chain([name], (f"{name} {again}" for again in count(2)))
        places = (away / f"{each}{ending}" for each in names)
        kept = next(place for place in places if not place.exists())
        write_whole_bytes(kept, left.text.encode())
        left.kept_in.unlink()
        others = [file for file in away.glob(f"[!.]*{ending}") if file != kept]
        others.sort(key=lambda file: file.stat().st_mtime)
        for old in others[: 1 - MOST_PUT_AWAY]:
            old.unlink(missing_ok=True)
        return kept

    def _still_runs(self, run: str) -> bool:
        if run == self._run:
            return True
        lock = _lock(self._lock_file(run))
        if not lock.tryLock(0):
            # QLockFile gives a lock of a dead program away; one that can't be told is left
            return lock.error() == QLockFile.LockError.LockFailedError
        lock.unlock()
        return False

    def _file(self, key: str) -> Path:
        return self._folder / f"{self._run}-{hashlib.sha256(key.encode()).hexdigest()[:16]}.json"

    def _lock_file(self, run: str) -> Path:
        return self._folder / f"{run}.lock"


def _lock(file: Path) -> QLockFile:
    lock = QLockFile(str(file))
    lock.setStaleLockTime(0)  # however long a program runs, its lock holds
    return lock


def _read(file: Path) -> Recovered:
    said = read_record(file)
    text, path, when, seen = (said.get(name) for name in ("text", "path", "when", "seen"))
    if not isinstance(text, str):
        return Recovered(file, None)
    digest: bytes | None = None
    with suppress(ValueError, TypeError):
        digest = bytes.fromhex(seen) if seen is not None else None
    kept_at: datetime | None = None
    with suppress(ValueError, TypeError, OSError):
        kept_at = datetime.fromisoformat(when) if isinstance(when, str) else _time_of(file)
    story_file = Path(path) if isinstance(path, str) and "\0" not in path else None
    if kept_at is not None:
        kept_at = kept_at.replace(tzinfo=None)
    return Recovered(file, text, story_file, kept_at, Seen(digest))


def _time_of(file: Path) -> datetime:
    return datetime.fromtimestamp(file.stat().st_mtime)
