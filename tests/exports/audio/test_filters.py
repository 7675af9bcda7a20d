"""Filters held against scipy's signal package, which is loaded here alone."""

from itertools import pairwise

import numpy as np
import pytest
from scipy import signal  # type: ignore[import-untyped]

from tapscore.exports.audio.filters import RecursiveFilter, low_pass, with_rate
from tapscore.exports.audio.sound import HIGH_PASS_A, HIGH_PASS_B, SHELF_A, SHELF_B

SECTIONS = ((*SHELF_B, *SHELF_A[1:]), (*HIGH_PASS_B, *HIGH_PASS_A[1:]))


@pytest.mark.parametrize("sizes", [(4096,), (1, 31, 32, 33, 700, 0, 5), (65_536, 4_464)])
def test_a_recursive_filter_in_any_blocks(sizes: tuple[int, ...]) -> None:
    noise = np.random.default_rng(3).normal(size=(2, sum(sizes))).astype(np.float32)
    filtered = RecursiveFilter(SECTIONS, 2)
    cuts = np.cumsum((0, *sizes))
    ours = np.concatenate([filtered(noise[:, a:b]) for a, b in pairwise(cuts)], axis=1)
    sections = np.array([[*SHELF_B, *SHELF_A], [*HIGH_PASS_B, *HIGH_PASS_A]])
    theirs = signal.sosfilt(sections, noise.astype(np.float64), axis=1)
    assert np.abs(ours - theirs).max() < 1e-9


def test_what_rings_on_in_silence_ends() -> None:
    filtered = RecursiveFilter(SECTIONS, 1)
    filtered(np.ones((1, 4096), np.float32))
    for _ in range(40):
        rung = filtered(np.zeros((1, 65_536), np.float32))
    assert not rung.any()


def test_the_low_pass_is_the_one_of_the_package() -> None:
    theirs = signal.firwin(81, 0.25, window=("kaiser", 5.0))
    assert np.abs(low_pass(81, 0.25) - theirs).max() < 1e-12


@pytest.mark.parametrize(
    ("from_hz", "to_hz", "count"),
    [(22_050, 48_000, 9_001), (16_000, 48_000, 777), (48_000, 16_000, 5_000), (44_100, 48_000, 3)],
)
def test_another_rate(from_hz: int, to_hz: int, count: int) -> None:
    noise = np.random.default_rng(5).normal(size=count).astype(np.float32)
    ours = with_rate(noise, from_hz, to_hz)
    common = np.gcd(from_hz, to_hz)
    theirs = signal.resample_poly(noise, to_hz // common, from_hz // common)
    assert len(ours) == len(theirs)
    assert np.abs(ours - theirs).max() < 2e-5


@pytest.mark.parametrize(
    ("from_hz", "to_hz"), [(48_000, 44_100), (44_100, 48_000), (48_000, 8_000)]
)
def test_another_rate_has_a_sample_for_every_moment_however_long_it_is(
    from_hz: int, to_hz: int
) -> None:
    for count in (0, *range(1, 330), 48_000):
        made = with_rate(np.ones(count, np.float32), from_hz, to_hz)
        assert len(made) == -(-count * to_hz // from_hz)
