"""Levels of a sound, and the moments in it that may be taps."""

import mir_eval  # type: ignore[import-untyped]
import numpy as np
import pyloudnorm  # type: ignore[import-untyped]
import pytest

from tapscore.rehearsal.bands import HOP_SEC, RATE_HZ, levels_of
from tapscore.rehearsal.candidates import candidates_in
from tapscore.rehearsal.detector import learned_detector
from tests.rehearsal.rehearsals import levels, rehearsed
from tests.rehearsal.simulated.wood import board_of


def _tone(amplitude: float, sec: float = 2.0) -> np.ndarray:
    return amplitude * np.sin(2 * np.pi * 800 * np.arange(round(sec * RATE_HZ)) / RATE_HZ)


def test_twice_the_amplitude_is_six_decibels_as_loudness_is_measured() -> None:
    """ITU-R BS.1770 by pyloudnorm, on the same signal."""
    meter = pyloudnorm.Meter(RATE_HZ)
    for quiet, loud in ((0.05, 0.1), (0.02, 0.3)):
        soft, hard = (levels(_tone(each)).db[100:300, 3].mean() for each in (quiet, loud))
        said = meter.integrated_loudness(_tone(loud)) - meter.integrated_loudness(_tone(quiet))
        assert hard - soft == pytest.approx(said, abs=0.1)


def test_blocks_of_any_length_give_the_same_levels() -> None:
    sound = np.random.default_rng(1).normal(0, 0.1, 5 * RATE_HZ).astype(np.float32)
    whole = levels_of([sound[None]])
    for size in (7_001, 16_000):
        parts = levels_of(sound[None, at : at + size] for at in range(0, len(sound), size))
        assert np.allclose(parts.db, whole.db, atol=1e-3)
    assert whole.length_sec == pytest.approx(5.0)
    assert len(whole.db) == pytest.approx(5.0 / HOP_SEC, abs=4)


def test_a_dead_side_and_sides_that_cancel_cost_nothing() -> None:
    sound = rehearsed("the-rainy-walk", "L0", 3).sound[: 20 * RATE_HZ].astype(np.float32)
    one = candidates_in(levels_of([sound[None]])).sec
    for other in (np.zeros_like(sound), -sound):
        both = candidates_in(levels_of([np.stack([sound, other])])).sec
        assert len(both) == len(one)
        assert np.abs(both - one).max() < 0.003


def test_taps_are_found_where_they_were_made() -> None:
    """Onsets by the measure of mir_eval (50 ms), on taps without words."""
    for kind in ("deep", "knuckles", "slap"):
        rng = np.random.default_rng(5)
        strike, sound = board_of(kind, rng), rng.normal(0, 1e-4, 30 * RATE_HZ)
        times = np.cumsum(rng.uniform(0.25, 0.9, 40)) + 0.5
        times = times[times < 29]
        for sec in times:
            made, at = strike("middle", "fingertips"), round(sec * RATE_HZ)
            sound[at : at + len(made)] += 0.3 * made[: len(sound) - at]
        found = candidates_in(levels(sound))
        likely = found.sec[np.argsort(learned_detector().log_odds(found.features))[-len(times) :]]
        score, _, _ = mir_eval.onset.f_measure(times, np.sort(likely), window=0.05)
        assert score > 0.97
        off = np.abs(found.sec[:, None] - times[None]).min(axis=0)
        assert np.median(off) < 0.008


def test_silence_has_no_moments() -> None:
    assert len(candidates_in(levels(np.zeros(5 * RATE_HZ)))) == 0
    assert len(candidates_in(levels(np.zeros(100)))) == 0


def test_clipping_is_measured() -> None:
    loud = np.clip(3 * _tone(1.0), -1, 1)
    assert levels(loud).clipped > 0.5
    assert levels(_tone(0.5)).clipped == 0
