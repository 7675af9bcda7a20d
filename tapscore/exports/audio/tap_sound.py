"""What a tap sounds like, made by rule: a stated default until a board is known.

A struck tap is a force in two or more parts (the touch and its rebound, or the parts of
a hand arriving one after another) on a thin sheet that answers with modes decaying over
80 to 220 ms.  A louder tap touches for a shorter time, and so is brighter as well.  A
scratch or a sweep is noise in a band that moves, and lasts as long as the tap.
"""

from fractions import Fraction
from functools import lru_cache

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.exports.audio.sound import (
    SAMPLE_RATE_HZ,
    Sound,
    amplitude,
    faded,
    frames,
    level,
    times_sec,
)
from tapscore.model.strokes import Stroke

COLOURS_PER_STEP = 4
"""Shades of sound between one step of loudness and the next."""
ACCENT_COLOURS = 2
MOST_PLACES = 8
"""Places on the sheet that sound different; further adults share them."""
_BRIGHTEST = 4 * COLOURS_PER_STEP + ACCENT_COLOURS

_STRUCK_SEC = 0.32
_SHORTEST_RUB_SEC = 0.08
_LONGEST_RUB_SEC = 6.0
_RUB_STEP_SEC = 0.01
_RUB_GAIN_DB = -4.0
"""A rub goes on and so is heard as louder than a blow of the same level."""

_MODE_COUNT = 26
_LOWEST_HZ, _HIGHEST_HZ = 110.0, 3600.0
_LONGEST_DECAY_SEC, _SHORTEST_DECAY_SEC = 0.22, 0.08
"""Times to fall by 60 dB, for the lowest and the highest mode."""
_ROUNDING = 2.0
"""Each sound's highest peaks are rounded off, at every loudness alike, so that a phone
can play quiet taps loudly enough beside loud ones.
"""
_RADIATION = 1.1
"""High modes are heard better than low ones; most of a phone's sound is above 300 Hz."""


@frozen
class _Touch:
    """Contact times (softest and loudest) and the parts of the force."""

    softest_ms: float
    loudest_ms: float
    parts: tuple[tuple[float, float, float], ...]
    """(delay in ms, share of the force, contact time as a factor)."""


_TOUCHES = {
    Stroke.FINGERTIPS: _Touch(1.7, 0.7, ((0, 1.0, 1.0), (1.1, 0.5, 1.0), (6.5, 0.15, 1.3))),
    Stroke.FLAT_HAND: _Touch(
        2.6, 1.1, ((0, 0.7, 0.8), (1.6, 1.0, 1.2), (3.4, 0.6, 1.0), (9.0, 0.2, 1.5))
    ),
    Stroke.KNUCKLES: _Touch(0.7, 0.3, ((0, 1.0, 1.0), (4.0, 0.3, 1.2))),
    Stroke.HEEL_OF_HAND: _Touch(3.6, 1.5, ((0, 1.0, 1.0), (7.0, 0.35, 1.4))),
}


@frozen
class _Rub:
    """A moving band of noise."""

    from_hz: float
    to_hz: float
    octaves: float
    """Width of the band."""
    grain_hz: float
    """How often nails catch, 0 for a smooth hand."""


_RUBS = {
    Stroke.SCRATCH: _Rub(1500, 3000, 0.9, 46),
    Stroke.SWEEP: _Rub(420, 1100, 1.1, 0),
}


def tap_sound(
    stroke: Stroke, loudness: Fraction, *, accent: bool, length_sec: float, place: int = 0
) -> Sound:
    """One tap, equally loud for every loudness (its gain is applied when mixing).

    ``loudness`` from 0 to 4 chooses the colour.  ``length_sec`` matters to scratches and
    sweeps alone.  ``place`` counts the adults, who touch different parts of the sheet and
    so sound a little unlike.  The same array is given again for the same sound: do not change it.
    """
    bounded = min(max(loudness, Fraction(0)), Fraction(4))
    colour = round(bounded * COLOURS_PER_STEP) + (ACCENT_COLOURS if accent else 0)
    if stroke in _RUBS:
        bounded_sec = min(max(length_sec, _SHORTEST_RUB_SEC), _LONGEST_RUB_SEC)
        return _rubbed(stroke, colour, round(bounded_sec / _RUB_STEP_SEC), place)
    return _struck(stroke, colour, place)


@lru_cache(maxsize=256)
def _struck(stroke: Stroke, colour: int, place: int) -> Sound:
    touch = _TOUCHES[stroke]
    contact_ms = touch.softest_ms * (touch.loudest_ms / touch.softest_ms) ** (colour / _BRIGHTEST)
    force = _force(contact_ms, touch)
    answer = np.convolve(_sheet(place), force)[: frames(_STRUCK_SEC)]
    answer = np.tanh(_ROUNDING * answer / np.abs(answer).max())
    return _finished(answer, 0.06, 0.0)


def _force(contact_ms: float, touch: _Touch) -> NDArray[np.float64]:
    force = np.zeros(frames(0.03))
    for delay_ms, share, factor in touch.parts:
        count = max(frames(contact_ms * factor / 1000), 3)
        start = frames(delay_ms / 1000)
        push = np.sin(np.pi * (np.arange(count) + 0.5) / count)
        force[start : start + count] += share * push / push.sum()
    return force


@lru_cache(maxsize=MOST_PLACES)
def _sheet(place: int) -> NDArray[np.float64]:
    """The sheet's answer to the shortest push: modes, each touched at another part."""
    t = times_sec(frames(_STRUCK_SEC))
    height = (np.arange(_MODE_COUNT) + 0.35 * np.sin(2.4 * np.arange(_MODE_COUNT))) / _MODE_COUNT
    hz = _LOWEST_HZ * (_HIGHEST_HZ / _LOWEST_HZ) ** height
    decay_sec = _LONGEST_DECAY_SEC * (_SHORTEST_DECAY_SEC / _LONGEST_DECAY_SEC) ** height
    share = np.sin((1.7 + 0.11 * place) * np.arange(_MODE_COUNT) + 0.9) * hz**_RADIATION
    modes = share[:, None] * np.exp(-6.91 * t / decay_sec[:, None])
    answer: NDArray[np.float64] = (modes * np.sin(2 * np.pi * hz[:, None] * t)).sum(axis=0)
    return answer


@lru_cache(maxsize=64)
def _rubbed(stroke: Stroke, colour: int, steps: int, place: int) -> Sound:
    rub = _RUBS[stroke]
    count = frames(steps * _RUB_STEP_SEC)
    brighter = 0.6 * colour / _BRIGHTEST
    noise = _moving_noise(rub, count, brighter, place)
    t = times_sec(count)
    if rub.grain_hz:
        catch = rub.grain_hz * (1 + brighter) * t
        noise *= 0.35 + 0.65 * np.exp(-5 * (catch % 1.0))
    rise_sec = 0.002 if rub.grain_hz else 0.006
    body = noise * np.minimum(t / rise_sec, 1) * (1 - 0.45 * t / t[-1])
    touch = np.zeros(count)
    landing = _struck(Stroke.FINGERTIPS, colour // 2, place)[:count]
    touch[: len(landing)] = landing
    fade_sec = min(0.04, steps * _RUB_STEP_SEC / 3)
    return _finished(level(body) + 0.35 * touch, fade_sec, _RUB_GAIN_DB)


def _moving_noise(rub: _Rub, count: int, octaves_up: float, place: int) -> NDArray[np.float64]:
    """Noise shaped frame by frame with overlapping windows, the same at every call."""
    size, hop = 1024, 256
    noise = np.random.default_rng(20 + place).standard_normal(count + 2 * size)
    window = np.hanning(size + 1)[:size]
    starts = np.arange(0, count + size, hop)
    spectra = np.fft.rfft(noise[starts[:, None] + np.arange(size)] * window, axis=1)
    hz = np.maximum(np.fft.rfftfreq(size, 1 / SAMPLE_RATE_HZ), 1.0)
    way = np.clip((starts - size / 2) / count, 0, 1)
    centre_hz = rub.from_hz * (rub.to_hz / rub.from_hz) ** way * 2**octaves_up
    band = np.exp(-0.5 * (np.log2(hz / centre_hz[:, None]) / (rub.octaves / 2)) ** 2)
    pieces = np.fft.irfft(spectra * band, size, axis=1)
    out = np.zeros(starts[-1] + size)
    for start, piece in zip(starts, pieces, strict=True):
        out[start : start + size] += piece * window
    return out[size : size + count]


def _finished(samples: NDArray[np.float64], fade_sec: float, gain_db: float) -> Sound:
    finished = faded(level(samples), fade_sec) * amplitude(gain_db)
    sound: Sound = finished.astype(np.float32)
    sound.setflags(write=False)
    return sound
