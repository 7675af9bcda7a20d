"""Loudness and true peak against ITU-R BS.1770, EBU Tech 3341 and pyloudnorm."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from tapscore.exports.audio.levels import Levels, LoudnessMeter, PeakMeter, safe_gain_db

RATE = 48_000
Signal = NDArray[np.float32]


def _measured(signal: Signal, block: int = 65_536) -> Levels:
    meter = LoudnessMeter(signal.shape[0])
    for start in range(0, signal.shape[1], block):
        meter.add(signal[:, start : start + block])
    return meter.levels()


def _sine(hz: float, dbfs: float, seconds: float, channels: int = 2, phase: float = 0) -> Signal:
    t = np.arange(round(seconds * RATE)) / RATE
    wave = 10 ** (dbfs / 20) * np.sin(2 * np.pi * hz * t + math.radians(phase))
    return np.tile(wave, (channels, 1)).astype(np.float32)


def test_sine_of_997_hz_at_full_scale_in_one_channel() -> None:
    # ITU-R BS.1770, Annex 1: 0 dB FS, 997 Hz, one channel gives -3.01 LKFS.
    assert _measured(_sine(997, 0, 20, channels=1)).integrated_lufs == pytest.approx(
        -3.01, abs=0.01
    )


# EBU Tech 3341, table 1: stereo 1 kHz sine, dBFS and seconds, expected within 0.1 LU.
# (As quoted by other test suites; the original was not at hand.)
@pytest.mark.parametrize(
    ("parts", "expected"),
    [
        ([(-23, 20)], -23.0),
        ([(-33, 20)], -33.0),
        ([(-36, 10), (-23, 60), (-36, 10)], -23.0),
        ([(-72, 10), (-36, 10), (-23, 60), (-36, 10), (-72, 10)], -23.0),
        ([(-26, 20), (-20, 20.1), (-26, 20)], -23.0),
    ],
)
def test_ebu_tech_3341_loudness(parts: list[tuple[float, float]], expected: float) -> None:
    signal = np.concatenate([_sine(1000, db, sec) for db, sec in parts], axis=1)
    assert _measured(signal).integrated_lufs == pytest.approx(expected, abs=0.1)


def test_what_is_below_the_absolute_gate_does_not_count() -> None:
    # ITU-R BS.1770, Annex 1: blocks at or below -70 LKFS are left out before the relative
    # gate is set; without that, the quiet minute would drag this to about -67.
    signal = np.concatenate([_sine(1000, -75, 60), _sine(1000, -60, 10)], axis=1)
    assert _measured(signal).integrated_lufs == pytest.approx(-60, abs=0.1)
    assert _measured(_sine(1000, -72, 5)).integrated_lufs == -math.inf
    assert _measured(_sine(1000, -69.5, 5)).integrated_lufs == pytest.approx(-69.5, abs=0.1)


# EBU Tech 3341, cases 15 to 19: frequency as a part of the sample rate, phase, amplitude;
# expected +0.2/-0.4 dB.
@pytest.mark.parametrize(
    ("part", "phase", "amplitude", "expected"),
    [
        (4, 0.0, 0.5, -6.0),
        (4, 45.0, 0.5, -6.0),
        (6, 60.0, 0.5, -6.0),
        (8, 67.5, 0.5, -6.0),
        (4, 45.0, 1.41, 3.0),
    ],
)
def test_ebu_tech_3341_true_peak(
    part: int, phase: float, amplitude: float, expected: float
) -> None:
    signal = _sine(RATE / part, 20 * math.log10(amplitude), 1, phase=phase)
    ramp = np.minimum(np.arange(signal.shape[1]) / 480, 1)[::-1] * np.minimum(
        np.arange(signal.shape[1]) / 480, 1
    )
    peak = _measured((signal * ramp).astype(np.float32)).true_peak_dbtp
    assert expected - 0.4 <= peak <= expected + 0.2


def test_loudness_agrees_with_pyloudnorm() -> None:
    import pyloudnorm  # type: ignore[import-untyped]

    rng = np.random.default_rng(3)
    t = np.arange(30 * RATE) / RATE
    swelling = (0.02 + 0.2 * np.sin(0.4 * t) ** 2) * rng.standard_normal((2, len(t)))
    signal = swelling.astype(np.float32)
    theirs = pyloudnorm.Meter(RATE).integrated_loudness(signal.T.astype(np.float64))
    assert _measured(signal).integrated_lufs == pytest.approx(theirs, abs=0.1)


@settings(max_examples=25, deadline=None)
@given(st.integers(1, 70_000), st.integers(0, 2**31))
def test_blocks_make_no_difference(block: int, seed: int) -> None:
    rng = np.random.default_rng(seed)
    shape = (2, 60_000)
    bursts = rng.standard_normal(shape) * (rng.random(shape) > 0.98)
    signal = (0.3 * bursts).astype(np.float32)
    whole, parts = _measured(signal), _measured(signal, max(block, 500))
    assert parts.integrated_lufs == pytest.approx(whole.integrated_lufs, abs=1e-9)
    assert parts.true_peak_dbtp == pytest.approx(whole.true_peak_dbtp, abs=1e-4)


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 2**31))
def test_oversampling_only_near_peaks_misses_nothing(seed: int) -> None:
    from scipy.signal import resample_poly  # type: ignore[import-untyped]

    rng = np.random.default_rng(seed)
    signal = np.zeros((2, 6_000), np.float32)
    signal[:, 100:5_900] = rng.standard_normal((2, 5_800)) * rng.choice([0.1, 1.0], (1, 5_800))
    between = np.abs(resample_poly(signal.astype(np.float64), 4, 1, axis=1)).max()
    exact = 20 * math.log10(max(between, np.abs(signal).max()))  # no sample is above its peak
    assert _measured(signal, 700).true_peak_dbtp == pytest.approx(exact, abs=0.01)


def test_silence_and_a_very_short_sound_have_no_loudness() -> None:
    silent = _measured(np.zeros((2, RATE), np.float32))
    assert silent == Levels(-math.inf, -math.inf)
    assert safe_gain_db(silent, lossy=False) == 0
    short = _measured(_sine(1000, -20, 0.3))
    assert short.integrated_lufs == -math.inf
    assert safe_gain_db(short, lossy=False) == pytest.approx(19, abs=0.1)
    assert _measured(np.zeros((2, 0), np.float32)) == Levels(-math.inf, -math.inf)


def test_the_smaller_gain_wins() -> None:
    assert safe_gain_db(Levels(-30, -20), lossy=False) == 12
    assert safe_gain_db(Levels(-30, -8), lossy=False) == 7
    assert safe_gain_db(Levels(-30, -8), lossy=True) == 6
    assert safe_gain_db(Levels(-10, -3), lossy=False) == -8


def test_a_peak_no_higher_than_another_counts_as_that() -> None:
    signal = _sine(997.0, -6.0, 1.0)
    for at_least, peak in ((0.0, 0.501), (0.4, 0.501), (0.6, 0.6)):
        meter = PeakMeter(signal.shape[0], at_least)
        meter.add(signal)
        assert meter.peak() == pytest.approx(peak, rel=0.01)


@pytest.mark.parametrize("cut", range(600, 640))
def test_a_peak_between_samples_is_found_wherever_blocks_meet(cut: int) -> None:
    """Two samples at full scale: half way between them a wave is 4 over pi as high, 2.1 dB.

    And a burst that is cut in its middle: that it goes on is not known yet, no edge is heard.
    """
    two, burst = np.zeros((2, 1_500), np.float32), np.zeros((2, 1_500), np.float32)
    two[0, 620:622] = 1
    burst[1, 614:626] = _sine(RATE / 4, 0, 12 / RATE, channels=1, phase=45)[0]
    for signal, peak_db in ((two, 20 * math.log10(4 / math.pi)), (burst, 0.1)):
        meter = LoudnessMeter(2)
        meter.add(signal[:, :cut])
        meter.add(signal[:, cut:])
        assert meter.levels().true_peak_dbtp == pytest.approx(peak_db, abs=0.1)


@pytest.mark.parametrize("size", [7, 40, 63, 64, 65, 97, 128, 151, 300])
def test_a_peak_is_found_in_any_part_of_a_block(size: int) -> None:
    """First, last or where two meet: of blocks of any size, whole or cut short at the end."""
    for at in range(90, 235, 3):
        signal = np.zeros((1, 300), np.float32)
        signal[0, at : at + 2] = 0.5
        whole, parts = PeakMeter(1), PeakMeter(1)
        whole.add(np.pad(signal, ((0, 0), (0, 500))))
        for start in range(0, signal.shape[1], size):
            parts.add(signal[:, start : start + size])
        assert parts.peak() == pytest.approx(whole.peak(), abs=1e-6)
        assert whole.peak() == pytest.approx(0.5 * 4 / math.pi, rel=0.01)


@pytest.mark.parametrize(("above_db", "expected"), [(20.17, -30.5), (21.27, -18.73)])
def test_what_is_ten_below_the_mean_does_not_count(above_db: float, expected: float) -> None:
    """ITU-R BS.1770, Annex 1: half a minute at -40 and a twelfth of that louder.

    20.17 dB is 104 times: the mean is (30 + 2.5 * 104) / 32.5 = 8.9 times the quiet part, 9.5 dB
    above it, which so counts; 21.27 dB is 134 times, the mean 10.5 dB above, and it does not.
    """
    parts = [_sine(1000, -40, 30), _sine(1000, -40 + above_db, 2.5)]
    found = _measured(np.concatenate(parts, axis=1)).integrated_lufs
    assert found == pytest.approx(expected, abs=0.3)


def test_a_block_is_four_tenths_of_a_second() -> None:
    assert _measured(_sine(1000, -20, 0.3999)).integrated_lufs == -math.inf
    assert _measured(_sine(1000, -20, 0.4001)).integrated_lufs == pytest.approx(-20, abs=0.1)
    # three of four tenths sound in the loudest block: 1.2 dB less
    quarter = np.concatenate([np.zeros((2, RATE // 10), np.float32), _sine(1000, -20, 0.3)], axis=1)
    assert _measured(quarter).integrated_lufs == pytest.approx(-21.25, abs=0.1)


def test_a_sine_at_full_scale_peaks_there_and_a_tenth_of_it_20_db_lower() -> None:
    for scale, peak_dbtp in ((1.0, 0.0), (0.1, -20.0)):
        meter = LoudnessMeter(1)
        meter.add(scale * _sine(1000, 0, 0.05, channels=1))
        assert meter.peak() == pytest.approx(scale, rel=0.002)
        assert meter.levels().true_peak_dbtp == pytest.approx(peak_dbtp, abs=0.02)
