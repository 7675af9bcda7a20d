"""Arrays kept between runs in the platform's cache folder, named by what they came from.

A file that is missing, broken or not ours is made again; a folder that cannot be written
is done without.
"""

import os
from collections.abc import Callable, Mapping
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import Any

from numpy.typing import NDArray

from tapscore.disc.ours import read_arrays, write_arrays
from tapscore.disc.whole import sweep

MODEL_VERSION = 2
"""Raise it whenever the same board would give other figures."""
MOST_BYTES = 200_000_000

Arrays = dict[str, NDArray[Any]]


def cache_folder() -> Path:
    """Where the files are: ``TAPSCORE_BOARD_CACHE`` if set, else the platform's place."""
    chosen = os.environ.get("TAPSCORE_BOARD_CACHE")
    if chosen:
        return Path(chosen)
    from platformdirs import user_cache_path

    return user_cache_path("tapscore", appauthor=False) / "board"


def kept(
    kind: str, made_from: object, make: Callable[[], Arrays], shapes: Mapping[str, int]
) -> Arrays:
    """Give the arrays of an earlier run, or make and keep them.

    ``made_from`` is told apart by its ``repr``, which must say all that matters.  ``shapes``
    names each array and its number of dimensions, as a last check of what was read.
    """
    written = f"{MODEL_VERSION} {kind} {made_from!r}"
    path = cache_folder() / f"{kind}-{sha256(written.encode()).hexdigest()[:40]}.npz"
    arrays = _read(path, shapes)
    if arrays is None:
        arrays = make()
        _write(path, arrays)
    return arrays


def _read(path: Path, shapes: Mapping[str, int]) -> Arrays | None:
    arrays = read_arrays(path, shapes)
    if arrays is not None:
        with suppress(OSError):
            os.utime(path)
    return arrays


def _write(path: Path, arrays: Arrays) -> None:
    with suppress(OSError):
        write_arrays(path, arrays)
        _prune(path.parent)


def _prune(folder: Path) -> None:
    """Leave the files used last, and nothing unfinished."""
    sweep(folder)
    room = MOST_BYTES
    stats = [(path.stat(), path) for path in folder.glob("[!.]*.npz")]
    for stat, path in sorted(stats, key=lambda pair: -pair[0].st_mtime):
        room -= stat.st_size
        if room < 0:
            path.unlink(missing_ok=True)
