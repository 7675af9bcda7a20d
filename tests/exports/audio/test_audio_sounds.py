"""Taps, tones and clicks: loud enough apart, unlike one another, the same each time."""

from fractions import Fraction
from itertools import combinations, pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from tapscore.exports.audio.click_sound import BEAT_GAIN_DB, DOWNBEAT_GAIN_DB, click_sound
from tapscore.exports.audio.cue_tones import CUE_GAIN_DB, TONES, cue_tone
from tapscore.exports.audio.cues import CueKind
from tapscore.exports.audio.sound import Sound, frames
from tapscore.exports.audio.tap_gain import STEP_DB, tap_gain_db
from tapscore.exports.audio.tap_sound import MOST_PLACES, made_sound, tap_asked, tap_sound
from tapscore.model.loudness import Loudness
from tapscore.model.strokes import Stroke

STRUCK = (Stroke.FINGERTIPS, Stroke.FLAT_HAND, Stroke.KNUCKLES, Stroke.HEEL_OF_HAND)
RUBBED = (Stroke.SCRATCH, Stroke.SWEEP)


def _tap(stroke: Stroke, loudness: int = 2, *, accent: bool = False, sec: float = 0.4) -> Sound:
    return tap_sound(tap_asked(stroke, Fraction(loudness), accent=accent, length_sec=sec))


def _spectrum(sound: Sound) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    power = np.abs(np.fft.rfft(sound.astype(np.float64), 96_000)) ** 2
    return np.arange(len(power)) / 2.0, power


def _centroid_hz(sound: Sound) -> float:
    hz, power = _spectrum(sound)
    return float((hz * power).sum() / power.sum())


def _likeness(one: Sound, other: Sound) -> float:
    """The highest of their correlation at any shift, from 0 to 1 for the same sound."""
    first, second = (sound.astype(np.float64) for sound in (one, other))
    size = len(first) + len(second)
    crossed = np.fft.rfft(first, size) * np.fft.rfft(second, size).conj()
    highest = np.abs(np.fft.irfft(crossed, size)).max()
    return float(highest / np.linalg.norm(first) / np.linalg.norm(second))


def _fallen_sec(sound: Sound, by_db: float) -> float:
    """When the smoothed sound is last within ``by_db`` of its highest."""
    smooth = np.sqrt(np.convolve(np.square(sound.astype(np.float64)), np.ones(480) / 480, "same"))
    near = np.flatnonzero(smooth > smooth.max() * 10 ** (-by_db / 20))
    return float(near[-1]) / 48_000


@pytest.mark.parametrize("stroke", Stroke)
def test_louder_is_brighter(stroke: Stroke) -> None:
    for place in range(MOST_PLACES):
        colours = [
            _centroid_hz(
                tap_sound(tap_asked(stroke, Fraction(n), accent=False, length_sec=0.4, place=place))
            )
            for n in Loudness
        ]
        assert all(low * 1.01 < high for low, high in pairwise(colours))
        # One step in 192 is as small as 1.8 % (the heel of a hand beside a nodal line); the whole
        # way from very quiet to very loud is a quarter at least, everywhere.
        assert colours[0] * 1.25 < colours[-1]


@pytest.mark.parametrize("stroke", Stroke)
def test_an_accent_is_brighter_than_none(stroke: Stroke) -> None:
    assert _centroid_hz(_tap(stroke, accent=True)) > _centroid_hz(_tap(stroke))


def test_gain_steps() -> None:
    plain = [tap_gain_db(Fraction(level)) for level in Loudness]
    accented = [tap_gain_db(Fraction(level), accent=True) for level in Loudness]
    assert np.diff(plain) == pytest.approx([STEP_DB] * 4)
    assert all(a < nxt for a, nxt in zip(accented, plain[1:], strict=False))
    assert tap_gain_db(Fraction(5, 2)) == pytest.approx((plain[2] + plain[3]) / 2)
    assert tap_gain_db(Fraction(99)) == plain[4]


def test_all_taps_are_equally_loud_before_their_gain() -> None:
    # Loudness of a tap by pyloudnorm in a 0.4 s block; a rubbed tap fills the whole block.
    import pyloudnorm  # type: ignore[import-untyped]

    meter = pyloudnorm.Meter(48_000)
    for strokes in (STRUCK, RUBBED):
        heard = []
        for stroke in strokes:
            for loudness in Loudness:
                padded = np.zeros(frames(0.4))
                sound = _tap(stroke, loudness)[: len(padded)]
                padded[: len(sound)] = sound
                heard.append(meter.integrated_loudness(padded))
        assert max(heard) - min(heard) < 2.0


@pytest.mark.parametrize("stroke", STRUCK)
def test_a_struck_tap_rings_as_a_thin_sheet_does(stroke: Stroke) -> None:
    # 80 to 220 ms to fall by 60 dB (common practice, no source) is 27 to 73 ms for 20 dB,
    # and a little more as the highest peaks are rounded off.
    for loudness in Loudness:
        sound = _tap(stroke, loudness)
        assert 0.02 < _fallen_sec(sound, 20) < 0.11
        assert _fallen_sec(sound, 60) < 0.32
        assert len(sound) == len(_tap(stroke, loudness, sec=3.0))


@pytest.mark.parametrize("stroke", RUBBED)
@pytest.mark.parametrize("sec", [0.2, 0.5, 1.7])
def test_a_rubbed_tap_lasts_as_long_as_the_tap(stroke: Stroke, sec: float) -> None:
    sound = _tap(stroke, sec=sec)
    assert len(sound) == frames(sec)
    assert _fallen_sec(sound, 25) > sec - 0.06
    half = len(sound) // 2
    assert _centroid_hz(sound[half:]) > 1.15 * _centroid_hz(sound[2000:half])


@pytest.mark.parametrize("stroke", RUBBED)
def test_lengths_out_of_reason_are_bounded(stroke: Stroke) -> None:
    assert len(_tap(stroke, sec=0.0)) == frames(0.08)
    assert len(_tap(stroke, sec=1000.0)) == frames(6)


def test_strokes_differ() -> None:
    for one, other in combinations(Stroke, 2):
        assert _likeness(*(_tap(stroke)[: frames(0.3)] for stroke in (one, other))) < 0.9
    colour = {stroke: _centroid_hz(_tap(stroke)) for stroke in STRUCK}
    assert colour[Stroke.HEEL_OF_HAND] < colour[Stroke.FLAT_HAND] < colour[Stroke.KNUCKLES]


@pytest.mark.parametrize("stroke", Stroke)
def test_adults_sound_a_little_unlike(stroke: Stroke) -> None:
    sounds = [
        tap_sound(tap_asked(stroke, Fraction(2), accent=False, length_sec=0.3, place=place))
        for place in range(MOST_PLACES)
    ]
    assert _likeness(sounds[0], sounds[0]) == pytest.approx(1)
    for first, second in combinations(sounds, 2):
        assert _likeness(first, second) < 0.97
    colours = [_centroid_hz(sound) for sound in sounds]
    assert max(colours) < 1.8 * min(colours)


def test_a_tap_begins_at_once() -> None:
    for stroke in Stroke:
        for loudness in Loudness:
            sound = np.abs(_tap(stroke, loudness))
            assert np.flatnonzero(sound > 0.1 * sound.max())[0] < frames(0.002)


def test_a_phone_can_play_most_of_a_tap() -> None:
    # A phone's speaker gives little below 300 Hz (common practice, no source).
    for stroke in STRUCK[:3]:
        hz, power = _spectrum(_tap(stroke))
        assert power[hz > 300].sum() > 0.6 * power.sum()


def test_the_same_sound_each_time_and_never_changed() -> None:
    asked = tap_asked(Stroke.SWEEP, Fraction(2), accent=False, length_sec=0.5)
    first = tap_sound(asked)
    assert tap_sound(asked) is first
    assert np.array_equal(made_sound(asked), first)
    with pytest.raises(ValueError, match="read-only"):
        _tap(Stroke.SWEEP)[0] = 1


def test_cue_tones_are_soft_and_unlike_one_another() -> None:
    loud_peak = np.abs(_tap(Stroke.KNUCKLES, 4)).max()
    for kind in TONES:
        tone = cue_tone(kind)
        assert np.isfinite(tone).all()
        assert abs(tone[-1]) < 1e-3
        assert np.abs(tone).max() * 10 ** (CUE_GAIN_DB / 20) < loud_peak / 4
    for one, other in combinations(TONES, 2):
        assert _likeness(cue_tone(one)[::4], cue_tone(other)[::4]) < 0.85


def test_the_wait_begins_softly() -> None:
    tone = np.abs(cue_tone(CueKind.WAIT))
    assert tone[: frames(0.01)].max() < 0.1 * tone.max()


def test_the_downbeat_is_higher_and_louder() -> None:
    assert _centroid_hz(click_sound(downbeat=True)) > 1.2 * _centroid_hz(
        click_sound(downbeat=False)
    )
    assert DOWNBEAT_GAIN_DB > BEAT_GAIN_DB
