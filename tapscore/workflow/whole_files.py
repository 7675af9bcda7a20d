"""Files written whole or not at all, and never over somebody else's."""

import hashlib
import json
import os
import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path

_RECORD = ".tapscore-made.json"


def write_whole(path: Path, write: Callable[[Path], None]) -> None:
    """Let ``write`` fill a new file, then put it in ``path``'s place in one step.

    Raises OSError, with nothing changed, if any of it fails.
    """
    handle, name = tempfile.mkstemp(
        prefix=f".{path.stem[:40]}-", suffix=path.suffix, dir=path.parent
    )
    os.close(handle)
    unfinished = Path(name)
    try:
        write(unfinished)
        with unfinished.open("rb+") as file:
            os.fsync(file.fileno())
        unfinished.chmod(_usual_mode(path))
        unfinished.replace(path)
    finally:
        unfinished.unlink(missing_ok=True)
    _sync_folder(path.parent)


def write_whole_folder(path: Path, write: Callable[[Path], None]) -> None:
    """Let ``write`` fill a new folder, then put it in ``path``'s place.

    A folder that was there is moved aside first and deleted when the new one stands.
    Raises OSError, with nothing changed, if any of it fails.
    """
    holder = Path(tempfile.mkdtemp(prefix=f".{path.name[:40]}-", dir=path.parent))
    unfinished, before = holder / "new", holder / "before"
    try:
        unfinished.mkdir()
        write(unfinished)
        for file in _files_in(unfinished):
            with file.open("rb+") as opened:
                os.fsync(opened.fileno())
            _sync_folder(file.parent)
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
    _sync_folder(path.parent)


def write_whole_bytes(path: Path, data: bytes) -> None:
    """Put ``data`` in ``path``'s place in one step."""
    write_whole(path, lambda unfinished: _fill(unfinished, data))


def _fill(path: Path, data: bytes) -> None:
    path.write_bytes(data)


def _usual_mode(path: Path) -> int:
    if path.exists():
        return path.stat().st_mode & 0o777
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _sync_folder(folder: Path) -> None:
    if os.name != "posix":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    except OSError:
        pass
    finally:
        os.close(handle)


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
        text = json.dumps({"made by tapscore": self._made}, indent=1, sort_keys=True)
        write_whole_bytes(self._record, text.encode())

    def _load(self) -> dict[str, str]:
        try:
            loaded = json.loads(self._record.read_text(encoding="utf-8"))
            made = loaded["made by tapscore"]
            return {str(name): str(digest) for name, digest in made.items()}
        except (OSError, ValueError, KeyError, TypeError, AttributeError):
            return {}


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
