"""The program's own files: settings, notes, kept work, arrays made before.

Whatever is wrong with one, it counts as not there: everything in them can be made again or
chosen again.  ``damaged`` names those that were there and could not be read, so that whom it
matters to can say so once.
"""

import json
import os
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tapscore.disc.reading import TooLargeError, read_bounded
from tapscore.disc.whole import part_name, write_whole_bytes

if TYPE_CHECKING:
    from numpy.typing import NDArray

MOST_RECORD_BYTES = 16_000_000
MOST_ARRAYS_BYTES = 400_000_000
_BEYOND = 1e300
_BUSY_SEC, _BUSY_ROUNDS = 0.02, 250
_damaged: list[Path] = []


def read_record(path: Path, most_bytes: int = MOST_RECORD_BYTES) -> dict[str, Any]:
    """What a JSON file of ours says; nothing where it is missing or damaged."""
    try:
        data = read_bounded(path, most_bytes)
        said = json.loads(data.decode("utf-8-sig"), parse_constant=_no_number)
    except TooLargeError:
        _note(path)
        return {}
    except OSError:
        return {}
    except (ValueError, RecursionError):
        _note(path)
        return {}
    if not isinstance(said, dict):
        _note(path)
        return {}
    return said


def write_record(path: Path, record: Mapping[str, Any]) -> None:
    """Write a JSON file of ours whole; raises OSError.

    It is written in ASCII, so that names which are no Unicode come back as they were.
    """
    text = json.dumps(dict(record), indent=1, sort_keys=True, allow_nan=False)
    path.parent.mkdir(parents=True, exist_ok=True)
    write_whole_bytes(path, text.encode("ascii"))


def read_arrays(
    path: Path, dimensions: Mapping[str, int], most_bytes: int = MOST_ARRAYS_BYTES
) -> "dict[str, NDArray[Any]] | None":
    """The arrays of an ``.npz`` of ours: just these, with so many dimensions, all finite.

    None where it is missing, damaged, not ours, or larger than ``most_bytes`` unpacked.
    """
    import zipfile

    import numpy as np

    try:
        with zipfile.ZipFile(path) as archive:
            if sum(each.file_size for each in archive.infolist()) > most_bytes:
                return None
        with np.load(path, allow_pickle=False) as loaded:
            if set(loaded.files) != set(dimensions):
                return None
            arrays = {name: loaded[name] for name in dimensions}
    except Exception:
        return None
    # A part that is no array comes out as its bytes.
    if any(np.ndim(array) != dimensions[name] for name, array in arrays.items()):
        return None
    return arrays if all(_finite(array) for array in arrays.values()) else None


def write_arrays(path: Path, arrays: "Mapping[str, NDArray[Any]]") -> None:
    """Write arrays for ``read_arrays``; raises OSError.

    Nobody waits for the disc: what a power cut leaves unfinished is damaged, and so not there.
    What a killed program leaves is for whoever keeps the folder small (``sweep``).
    """
    import numpy as np

    path.parent.mkdir(parents=True, exist_ok=True)
    unfinished = path.with_name(part_name(path.name))
    try:
        with unfinished.open("wb") as file:
            np.savez(file, **arrays)  # type: ignore[arg-type]
        unfinished.replace(path)
    except BaseException:
        unfinished.unlink(missing_ok=True)
        raise


@contextmanager
def one_at_a_time(path: Path) -> Iterator[None]:
    """While it lasts, nobody else who asks so reads a small file of ours and writes it anew.

    A hidden file beside it says so.  Where that can't be, or it stays longer than any writing
    takes (a program was killed), it is passed over.
    """
    busy = path.with_name(f".{path.name}.tapscore-busy")
    for _ in range(_BUSY_ROUNDS):
        try:
            os.close(os.open(busy, os.O_CREAT | os.O_EXCL | os.O_WRONLY))
            break
        except FileExistsError:
            time.sleep(_BUSY_SEC)
        except OSError as error:
            if os.name != "nt" or not isinstance(error, PermissionError):
                break
            time.sleep(_BUSY_SEC)  # so says Windows of a file that is being deleted
    try:
        yield
    finally:
        with suppress(OSError):
            busy.unlink(missing_ok=True)


def a_number(value: object, low: float, high: float, otherwise: float) -> float:
    """A number of ours within bounds; ``otherwise`` where it is none."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return otherwise
    if not abs(value) < _BEYOND:  # a NaN compares with nothing; an endless int is no float
        return otherwise
    return min(max(float(value), low), high)


def damaged() -> tuple[Path, ...]:
    """Files of ours that could not be read, each told once."""
    found = tuple(dict.fromkeys(_damaged))
    _damaged.clear()
    return found


def _finite(array: object) -> bool:
    import numpy as np

    if not isinstance(array, np.ndarray):
        return False
    return array.dtype.kind in "fciub" and bool(np.isfinite(array).all())


def _no_number(name: str) -> float:
    raise ValueError(f"{name} is no number")


def _note(path: Path) -> None:
    _damaged.append(path)
