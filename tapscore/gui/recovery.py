"""Unsaved work kept beside the file, so that a crash or power cut loses nothing."""

import hashlib
import json
import os
from pathlib import Path

from attrs import frozen

from tapscore.disc.whole import write_whole_bytes


@frozen
class Recovered:
    """Unsaved work of a run that ended without saving."""

    text: str
    path: Path | None
    """The story's own file, None if it never had one."""
    kept_in: Path


class RecoveryFolder:
    """A folder with one file for every window that has unsaved work."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def keep(self, key: str, path: Path | None, text: str) -> None:
        """Keep the text of a window; raises OSError if it can't be."""
        self._folder.mkdir(parents=True, exist_ok=True)
        data = {"pid": os.getpid(), "path": str(path.resolve()) if path else None, "text": text}
        write_whole_bytes(self._file(key), json.dumps(data, ensure_ascii=False).encode())

    def forget(self, key: str) -> None:
        """The work of a window is saved, or thrown away on purpose."""
        self._file(key).unlink(missing_ok=True)

    def left_behind(self) -> tuple[Recovered, ...]:
        """Work of runs that are no longer there."""
        found: list[Recovered] = []
        for file in sorted(self._folder.glob("*.json")) if self._folder.is_dir() else []:
            try:
                data = json.loads(file.read_text(encoding="utf-8"))
                pid, path, text = int(data["pid"]), data["path"], str(data["text"])
            except (OSError, ValueError, KeyError, TypeError):
                continue
            if pid == os.getpid() or not _runs(pid):
                found.append(Recovered(text, Path(path) if path else None, file))
        return tuple(found)

    def _file(self, key: str) -> Path:
        return self._folder / f"{os.getpid()}-{hashlib.sha256(key.encode()).hexdigest()[:16]}.json"


def _runs(pid: int) -> bool:
    if os.name != "posix":
        return False
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    except PermissionError:
        return True
    return True
