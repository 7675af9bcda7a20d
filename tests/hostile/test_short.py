"""Short runs of what is run longer by hand (``fuzz_files``, ``kill_while``)."""

import os
from pathlib import Path

import pytest

from tests.hostile.fuzz_files import run
from tests.hostile.kill_while import DEEDS, Deed, kill, leftovers

posix = pytest.mark.skipif(os.name != "posix", reason="kill -9 and fork as POSIX has them")
QUICK = [deed for deed in DEEDS if deed.name != "exporting"]


@posix
def test_damaged_files(tmp_path: Path) -> None:
    found = run(200, 7, tmp_path)
    told = [said for said in found.failures if not said.endswith(" s")]  # a busy machine is slow
    assert not told
    assert len(found.tried) >= 14


@posix
@pytest.mark.parametrize("deed", QUICK, ids=lambda deed: str(deed.name))
def test_killed(deed: Deed, tmp_path: Path) -> None:
    kill(deed, 6, 3, tmp_path / "a")
    assert leftovers(deed, 6, 4, tmp_path) == []
