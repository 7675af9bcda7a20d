"""Forces as they are heard: the spectrum of a blow, the noise of a rub."""

from functools import lru_cache
from math import pi

import numpy as np
from numpy.typing import NDArray

from tapscore.board.hands import HANDS, RUBS
from tapscore.board.pulses import CLICK_MS, LOUDEST, PULSES, RUB_SOUNDS
from tapscore.board.radiation import PERIOD_SEC
from tapscore.model.strokes import Stroke

DEEPEST_HZ = 120.0
"""What a phone or a small speaker cannot play is left out, so that the rest can be louder."""


@lru_cache(maxsize=128)
def pulse_spectrum(stroke: Stroke, loudness: float, rate_hz: int) -> NDArray[np.complex64]:
    """Spectrum (N s) of a blow of ``loudness`` (0 to 4.4), every hertz to half the rate."""
    count = round(PERIOD_SEC * rate_hz)
    pulse, hand = PULSES[stroke], HANDS[stroke]
    contact_sec, push_sec, share, click_share = pulse.at(loudness)
    force = _bump(count, 0.0, push_sec, rate_hz)
    sizes = sum(size for _, size in pulse.parts)
    for delay_ms, size in pulse.parts:
        force += share * size / sizes * _bump(count, delay_ms / 1000, contact_sec, rate_hz)
        click = share * click_share * size / sizes
        force += click * _bump(count, delay_ms / 1000, CLICK_MS / 1000, rate_hz)
    momentum = hand.mass_kg * hand.speed_at(min(loudness, LOUDEST))
    spectrum = np.fft.rfft(momentum * force) / rate_hz
    return np.asarray(spectrum * _high_pass(count, rate_hz), np.complex64)


def _bump(count: int, start_sec: float, length_sec: float, rate_hz: int) -> NDArray[np.float64]:
    """A raised cosine of unit area."""
    way = (np.arange(count) / rate_hz - start_sec) / length_sec
    bump = np.where((way > 0) & (way < 1), np.sin(pi * way) ** 2, 0.0)
    return np.asarray(bump / bump.sum() * rate_hz)


def _high_pass(count: int, rate_hz: int) -> NDArray[np.complex128]:
    """Two Butterworth stages of second order."""
    s = 1j * np.arange(count // 2 + 1) * rate_hz / count / DEEPEST_HZ
    return np.asarray((s**2 / (1 + s * 2**0.5 + s**2)) ** 2)


def moving_noise(stroke: Stroke, count: int, loudness: float, rate_hz: int) -> NDArray[np.float32]:
    """A noise force (N) of ``count`` frames, shaped frame by frame, the same at every call."""
    rub = RUB_SOUNDS[stroke]
    size, hop = 1024, 256
    brighter = 0.8 * loudness / LOUDEST
    noise = np.random.default_rng(7).standard_normal(count + 2 * size)
    window = np.hanning(size + 1)[:size]
    starts = np.arange(0, count + size, hop)
    spectra = np.fft.rfft(noise[starts[:, None] + np.arange(size)] * window, axis=1)
    hz = np.maximum(np.fft.rfftfreq(size, 1 / rate_hz), 1.0)
    way = np.clip((starts - size / 2) / count, 0, 1)
    centre_hz = rub.from_hz * (rub.to_hz / rub.from_hz) ** way * 2**brighter
    band = np.exp(-0.5 * (np.log2(hz / centre_hz[:, None]) / (rub.octaves / 2)) ** 2)
    pieces = np.fft.irfft(spectra * band, size, axis=1)
    out = np.zeros(starts[-1] + size)
    for start, piece in zip(starts, pieces, strict=True):
        out[start : start + size] += piece * window
    force = out[size : size + count]
    t = np.arange(count) / rate_hz
    if rub.grain_hz:
        force *= 0.3 + 0.7 * np.exp(-5 * ((rub.grain_hz * (1 + brighter) * t) % 1.0))
    force *= np.minimum(t / 0.006, 1) * (1 - 0.45 * t / t[-1])
    rms = float(np.sqrt(np.mean(force**2)))
    return np.asarray(force * RUBS[stroke].rms_at(loudness) / rms, np.float32)
