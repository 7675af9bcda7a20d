"""Kept arrays: found again, made again when broken, done without where nothing may be written."""

import os
from pathlib import Path

import numpy as np
import pytest

from tapscore.board import cache
from tapscore.board.cache import Arrays, cache_folder, kept
from tapscore.disc.whole import part_name


class Maker:
    def __init__(self) -> None:
        self.calls = 0

    def __call__(self) -> Arrays:
        self.calls += 1
        return {"a": np.arange(6.0).reshape(2, 3), "b": np.ones(4, np.float32)}


SHAPES = {"a": 2, "b": 1}


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TAPSCORE_BOARD_CACHE", str(tmp_path / "kept"))
    return tmp_path / "kept"


def the_file(folder: Path) -> Path:
    (path,) = folder.glob("*.npz")
    return path


def test_made_once_and_found_again(folder: Path) -> None:
    maker = Maker()
    first, second = kept("x", (1, "a"), maker, SHAPES), kept("x", (1, "a"), maker, SHAPES)
    assert maker.calls == 1
    assert all((first[name] == second[name]).all() for name in SHAPES)
    assert [path.suffix for path in folder.iterdir()] == [".npz"]


def test_another_board_is_not_mistaken_for_it() -> None:
    maker = Maker()
    for made_from in ((1, "a"), (2, "a"), (1, "b")):
        kept("x", made_from, maker, SHAPES)
    kept("y", (1, "a"), maker, SHAPES)
    assert maker.calls == 4


@pytest.mark.parametrize("share", [0.0, 0.3, 0.7, 0.99])
def test_cut_file_is_made_again(folder: Path, share: float) -> None:
    maker = Maker()
    kept("x", 1, maker, SHAPES)
    path = the_file(folder)
    data = path.read_bytes()
    path.write_bytes(data[: int(len(data) * share)])
    found = kept("x", 1, maker, SHAPES)
    assert maker.calls == 2
    assert found["a"][1, 2] == 5
    assert path.read_bytes() == data


def test_every_changed_byte_is_harmless(folder: Path) -> None:
    kept("x", 1, Maker(), SHAPES)
    path = the_file(folder)
    data = path.read_bytes()
    for position in range(0, len(data), 7):
        path.write_bytes(data[:position] + bytes([data[position] ^ 0xFF]) + data[position + 1 :])
        found = kept("x", 1, Maker(), SHAPES)
        assert (found["a"] == np.arange(6.0).reshape(2, 3)).all()
        assert (found["b"] == 1).all()


def test_somebody_elses_file_is_made_again(folder: Path) -> None:
    maker = Maker()
    kept("x", 1, maker, SHAPES)
    path = the_file(folder)
    np.savez(path, a=np.full((2, 3), np.nan), b=np.ones(4))
    assert np.isfinite(kept("x", 1, maker, SHAPES)["a"]).all()
    np.savez(path, a=np.zeros(3), b=np.ones(4))
    assert kept("x", 1, maker, SHAPES)["a"].shape == (2, 3)
    np.savez(path, a=np.array([object()], object))
    assert kept("x", 1, maker, SHAPES)["a"].shape == (2, 3)
    assert maker.calls == 4


def test_folder_that_cannot_be_used(folder: Path) -> None:
    folder.write_text("a file stands in the way")
    maker = Maker()
    for _ in range(2):
        assert kept("x", 1, maker, SHAPES)["b"].sum() == 4
    assert maker.calls == 2


def test_old_files_go(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    kept("x", 0, Maker(), SHAPES)
    monkeypatch.setattr(cache, "MOST_BYTES", 3.5 * the_file(folder).stat().st_size)
    new = part_name("x.npz")
    (folder / new.replace(f"-{os.getpid()}-", "-999999999-")).write_text("of a run that was killed")
    (folder / new).write_text("another run is at it")
    for i in range(1, 5):
        for path in folder.glob("[!.]*.npz"):
            os.utime(path, (path.stat().st_atime - 10, path.stat().st_mtime - 10))
        kept("x", i, Maker(), SHAPES)
    assert len(list(folder.glob("[!.]*.npz"))) == 3
    assert [path.name for path in folder.glob(".*")] == [new]
    maker = Maker()
    kept("x", 4, maker, SHAPES)
    assert maker.calls == 0


def test_usual_folder_is_the_platforms(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("TAPSCORE_BOARD_CACHE")
    assert cache_folder().name == "board"
    assert "tapscore" in cache_folder().parts
