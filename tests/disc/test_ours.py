"""Whatever is wrong with a file of ours, it counts as not there."""

import io
import json
import zipfile
from pathlib import Path
from random import Random
from typing import IO

import numpy as np
import pytest

from tapscore.disc import ours
from tapscore.disc.ours import (
    a_number,
    damaged,
    read_arrays,
    read_record,
    write_arrays,
    write_record,
)

NESTED = b'{"a": ' + b"[" * 100_000 + b"]" * 100_000 + b"}"


@pytest.mark.parametrize(
    "data",
    [b"", b"{", b"[]", b"3", b"\xff\xfe", NESTED, b'{"a": NaN}', b'{"a": Infinity}', b"{}" * 2],
)
def test_a_damaged_record_is_none_and_told_once(tmp_path: Path, data: bytes) -> None:
    damaged()
    (tmp_path / "a.json").write_bytes(data)
    assert read_record(tmp_path / "a.json") == {}
    assert read_record(tmp_path / "a.json") == {}
    assert damaged() == (tmp_path / "a.json",)
    assert damaged() == ()


def test_a_record_that_is_not_there_is_no_damage(tmp_path: Path) -> None:
    damaged()
    assert read_record(tmp_path / "a.json") == {}
    assert damaged() == ()


def test_names_that_are_no_unicode_come_back(tmp_path: Path) -> None:
    said = {"path": "a\udcff.yaml", "text": "ä 木 \ud800"}
    write_record(tmp_path / "new" / "a.json", said)
    assert read_record(tmp_path / "new" / "a.json") == said
    with pytest.raises(ValueError, match="JSON"):
        write_record(tmp_path / "a.json", {"a": float("nan")})


def test_a_large_record_is_left(tmp_path: Path) -> None:
    (tmp_path / "a.json").write_text(json.dumps({"a": "x" * 1000}))
    assert read_record(tmp_path / "a.json", 100) == {}


@pytest.mark.parametrize(
    "value", [float("nan"), float("inf"), "3", None, True, [], 10**400, -float("inf")]
)
def test_what_is_no_number(value: object) -> None:
    assert a_number(value, 1, 2, 1.5) == 1.5


def test_a_number_stays_within_its_bounds() -> None:
    assert (a_number(9, 1, 2, 1), a_number(-9, 1, 2, 1), a_number(1.5, 1, 2, 1)) == (2, 1, 1.5)


SHAPES = {"a": 1, "b": 2}


def _arrays(path: Path) -> bytes:
    write_arrays(path, {"a": np.arange(50), "b": np.ones((4, 5), np.float32)})
    return path.read_bytes()


def test_arrays_leave_nothing_unfinished(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "kept"
    _arrays(folder / "a.npz")

    def full(file: IO[bytes], **_: object) -> None:
        file.write(b"half")
        raise OSError("the disc is full")

    monkeypatch.setattr(np, "savez", full)
    with pytest.raises(OSError, match="full"):
        write_arrays(folder / "a.npz", {"a": np.ones(3)})
    assert [each.name for each in folder.iterdir()] == ["a.npz"]
    assert read_arrays(folder / "a.npz", SHAPES) is not None


def test_a_part_that_is_no_array_is_damage(tmp_path: Path) -> None:
    path = tmp_path / "a.npz"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr("a.npy", b"not an array")
    assert read_arrays(path, {"a": 1}) is None
    assert read_arrays(path, {"a": 0}) is None


def test_arrays_come_back(tmp_path: Path) -> None:
    _arrays(tmp_path / "a.npz")
    found = read_arrays(tmp_path / "a.npz", SHAPES)
    assert found is not None
    assert found["b"].shape == (4, 5)
    assert read_arrays(tmp_path / "a.npz", {"a": 1}) is None
    assert read_arrays(tmp_path / "a.npz", {"a": 2, "b": 2}) is None
    assert read_arrays(tmp_path / "a.npz", SHAPES, 100) is None


def test_cut_and_changed_arrays(tmp_path: Path) -> None:
    whole = _arrays(tmp_path / "a.npz")
    rng = Random(5)
    for _ in range(300):
        data = bytearray(whole)
        if rng.random() < 0.3:
            del data[rng.randrange(len(data)) :]
        for _ in range(rng.randint(1, 4)):
            if data:
                data[rng.randrange(len(data))] = rng.randrange(256)
        (tmp_path / "b.npz").write_bytes(data)
        found = read_arrays(tmp_path / "b.npz", SHAPES)
        assert found is None or {name: found[name].ndim for name in found} == SHAPES


def test_encrypted_endless_and_foreign_arrays(tmp_path: Path) -> None:
    whole = bytearray(_arrays(tmp_path / "a.npz"))
    for start in (b"PK\x03\x04", b"PK\x01\x02"):
        at = whole.index(start)
        whole[at + (6 if start == b"PK\x03\x04" else 8)] |= 1  # 'encrypted', in both headers
    (tmp_path / "a.npz").write_bytes(whole)
    assert read_arrays(tmp_path / "a.npz", SHAPES) is None
    write_arrays(tmp_path / "a.npz", {"a": np.array([np.nan]), "b": np.ones((1, 1))})
    assert read_arrays(tmp_path / "a.npz", SHAPES) is None
    header = io.BytesIO()
    np.lib.format.write_array_header_1_0(
        header, {"descr": "<f8", "fortran_order": False, "shape": (10**15,)}
    )
    with zipfile.ZipFile(tmp_path / "a.npz", "w") as archive:
        archive.writestr("a.npy", header.getvalue())
        archive.writestr("b.npy", header.getvalue())
    assert read_arrays(tmp_path / "a.npz", SHAPES) is None


class _Acts:
    """What does something when it is unpickled."""

    def __init__(self, path: Path) -> None:
        self.path = path

    def __reduce__(self) -> tuple[object, ...]:
        return Path.touch, (self.path,)


def test_nothing_that_lies_in_arrays_is_run(tmp_path: Path) -> None:
    """numpy's own format can hold pickled objects, which do anything when they are read."""
    made = tmp_path / "made"
    held = np.array([_Acts(made)], dtype=object)
    np.savez(tmp_path / "a.npz", a=held, b=np.ones((1, 1)))
    assert read_arrays(tmp_path / "a.npz", SHAPES) is None
    assert not made.exists()
    with np.load(tmp_path / "a.npz", allow_pickle=True) as loaded:
        assert len(loaded["a"]) == 1
    assert made.exists(), "it would have acted"


def test_numbers_within_bounds_and_beyond_all() -> None:
    cases = ((2, 2.0), (0, 1.0), (9, 5.0), (1, 1.0), (5, 5.0), (-7.5, 1.0), (ours._BEYOND, 3.0))
    for value, number in (*cases, (-ours._BEYOND, 3.0), (ours._BEYOND / 2, 5.0)):
        assert a_number(value, 1.0, 5.0, 3.0) == number
