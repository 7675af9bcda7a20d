"""Trimming, stretching and levelling of spoken sound."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.exports.audio.sound import SAMPLE_RATE_HZ
from tapscore.exports.audio.voice.shaping import (
    beat_frame,
    levelled,
    resampled,
    stretched,
    trimmed,
)
from tests.exports.audio.voice.voices import tone


@settings(max_examples=20)
@given(st.floats(0.55, 2.0))
def test_stretching_gives_the_length_asked_and_keeps_places_and_pitch(share: float) -> None:
    clicks_sec = (0.3, 1.0, 1.7)
    sound = np.zeros(2 * SAMPLE_RATE_HZ, np.float32)
    for second in clicks_sec:
        start = round(second * SAMPLE_RATE_HZ)
        sound[start : start + 40] = np.hanning(40)
    count = round(len(sound) * share)
    out = stretched(sound, count)
    assert len(out) == count
    for second in clicks_sec:
        centre = round(second * share * SAMPLE_RATE_HZ)
        window = np.abs(out[centre - 4_000 : centre + 4_000])
        assert abs(int(window.argmax()) - 4_000) / SAMPLE_RATE_HZ < 0.002
    hum = stretched(tone(1.0), round(2 * SAMPLE_RATE_HZ * share))
    spectrum = np.abs(np.fft.rfft(hum))
    heard_hz = spectrum.argmax() * SAMPLE_RATE_HZ / len(hum)
    assert heard_hz == pytest.approx(220, abs=3)


@pytest.mark.parametrize("rate_hz", [8_000, 22_050, 44_100, 48_000, 96_000])
def test_any_rate_comes_to_one_rate_at_the_same_pitch(rate_hz: int) -> None:
    out = resampled(tone(1.0, rate_hz), rate_hz)
    assert len(out) == pytest.approx(2 * SAMPLE_RATE_HZ, abs=8)
    spectrum = np.abs(np.fft.rfft(out))
    assert spectrum.argmax() * SAMPLE_RATE_HZ / len(out) == pytest.approx(220, abs=1)


def test_resampling_lets_nothing_through_above_half_the_rate() -> None:
    """18 kHz at 96 kHz stays; 30 kHz must not come back as another tone (aliasing)."""
    t = np.arange(96_000) / 96_000
    out = resampled(np.sin(2 * np.pi * 30_000 * t).astype(np.float32), 96_000)
    assert 20 * np.log10(np.abs(out[2_000:-2_000]).max() + 1e-12) < -50


def test_trimming_takes_the_silence_and_no_more() -> None:
    out = trimmed(tone(1.0))
    assert len(out) / SAMPLE_RATE_HZ == pytest.approx(1.0, abs=0.04)
    assert len(trimmed(np.zeros(9_000, np.float32))) == 0
    assert len(trimmed(np.zeros(0, np.float32))) == 0


@pytest.mark.parametrize("peak", [0.001, 0.05, 0.9])
def test_speech_is_equally_loud_by_another_meter(peak: float) -> None:
    """pyloudnorm is the oracle (ITU-R BS.1770)."""
    import pyloudnorm  # type: ignore[import-untyped]

    out = levelled(trimmed(tone(2.0, peak=peak)))
    meter = pyloudnorm.Meter(SAMPLE_RATE_HZ)
    assert meter.integrated_loudness(out.astype(np.float64)) == pytest.approx(-12, abs=0.2)


def test_the_beat_is_where_the_vowel_rises() -> None:
    hiss = np.random.default_rng(1).standard_normal(4_800) * 0.1
    hiss = np.diff(np.diff(hiss, prepend=0), prepend=0)  # high, as an s
    t = np.arange(12_000) / SAMPLE_RATE_HZ
    sound = np.concatenate((hiss, np.sin(2 * np.pi * 180 * t))).astype(np.float32)
    assert beat_frame(sound) / SAMPLE_RATE_HZ == pytest.approx(0.1, abs=0.015)
    assert beat_frame(np.zeros(0, np.float32)) == 0
    assert beat_frame(np.zeros(900, np.float32)) == 0
