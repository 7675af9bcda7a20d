"""What is put aside comes back as it was, to several readers, and leaves nothing behind."""

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from tempfile import TemporaryFile
from typing import IO, Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.exports.audio.spool import Spool


@given(st.lists(st.integers(0, 9_000), max_size=8), st.integers(0, 1_000))
def test_sounds_come_back_as_they_were(lengths: list[int], seed: int) -> None:
    random = np.random.default_rng(seed)
    sounds = [random.standard_normal(length).astype(np.float32) for length in lengths]
    spool = Spool()
    aside = [spool.put(sound) for sound in sounds]
    assert [len(each) for each in aside] == lengths
    for each, sound in reversed(list(zip(aside, sounds, strict=True))):
        assert each.samples.dtype == np.float32
        assert np.array_equal(each.samples, sound)


def test_two_threads_read_at_once_while_a_third_writes() -> None:
    spool = Spool()
    sounds = [np.full(20_000 + n, n, np.float32) for n in range(40)]
    aside = [spool.put(sound) for sound in sounds]

    def read(at: int) -> bool:
        if at % 3 == 0:
            spool.put(sounds[0])
        return np.array_equal(aside[at % 40].samples, sounds[at % 40])

    with ThreadPoolExecutor(3) as pool:
        assert all(pool.map(read, range(400)))


class Halting:
    """A file that takes and gives little at a time, as a system may."""

    def __init__(self, file: IO[bytes]) -> None:
        self._file = file
        self.seek, self.close = file.seek, file.close

    def write(self, data: memoryview) -> int:
        return self._file.write(data[:1000])

    def read(self, count: int) -> bytes:
        return self._file.read(min(count, 700))


def test_a_sound_is_whole_where_the_system_takes_little_at_a_time(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def halting(**kind: Any) -> Halting:
        return Halting(TemporaryFile(**kind))

    monkeypatch.setattr("tapscore.exports.audio.spool.TemporaryFile", halting)
    spool = Spool()
    sounds = [np.arange(1_234, dtype=np.float32), np.arange(500, 0, -1, dtype=np.float32)]
    aside = [spool.put(sound) for sound in sounds]
    for each, sound in zip(aside, sounds, strict=True):
        assert np.array_equal(each.samples, sound)


def test_nothing_is_left_in_the_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    spool = Spool()
    aside = spool.put(np.ones(100, np.float32))
    del spool
    assert aside.samples.sum() == 100
    del aside
    assert list(tmp_path.iterdir()) == []
