"""Sounds as arrays: mono float32 at one sample rate, brought to equal loudness."""

from fractions import Fraction
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

SAMPLE_RATE_HZ = 48_000

Sound = NDArray[np.float32]
"""Samples of one channel, shape ``(frames,)``."""

_LOUDEST_WINDOW_SEC = 0.1
_REFERENCE = 0.25

# ITU-R BS.1770-5, Annex 1, tables 1 and 2: coefficients for 48 kHz.
SHELF_B = (1.53512485958697, -2.69169618940638, 1.19839281085285)
SHELF_A = (1.0, -1.69065929318241, 0.73248077421585)
HIGH_PASS_B = (1.0, -2.0, 1.0)
HIGH_PASS_A = (1.0, -1.99004745483398, 0.99007225036621)


def frames(seconds: float | Fraction) -> int:
    """The nearest whole number of frames."""
    return round(seconds * SAMPLE_RATE_HZ)


def times_sec(count: int) -> NDArray[np.float64]:
    """Seconds of ``count`` frames from 0."""
    return np.arange(count) / SAMPLE_RATE_HZ


def amplitude(gain_db: float) -> float:
    """The factor for a gain in dB."""
    return float(10 ** (gain_db / 20))


def faded(samples: NDArray[np.float64], fade_sec: float) -> NDArray[np.float64]:
    """Samples whose end falls smoothly to nothing."""
    count = min(frames(fade_sec), len(samples))
    out = samples.copy()
    out[len(out) - count :] *= np.cos(np.linspace(0, np.pi / 2, count)) ** 2
    return out


def level(samples: NDArray[np.float64]) -> NDArray[np.float64]:
    """Samples scaled so that all sounds are equally loud in their loudest tenth of a second.

    Loudness is energy after the frequency weighting of ITU-R BS.1770.  Silence stays so.
    """
    count = len(samples)
    spectrum = np.fft.rfft(samples, 2 * count) * _weighting(2 * count)
    energy = np.cumsum(np.append(0.0, np.square(np.fft.irfft(spectrum, 2 * count))))
    window = min(frames(_LOUDEST_WINDOW_SEC), count)
    most = float(np.max(energy[window:] - energy[:-window]))
    if most <= 0:
        return samples
    return samples * float(_REFERENCE / np.sqrt(most / frames(_LOUDEST_WINDOW_SEC)))


@lru_cache(maxsize=2)
def _weighting(count: int) -> NDArray[np.complex128]:
    z = np.exp(-2j * np.pi * np.fft.rfftfreq(count))
    gain = np.ones(len(z), np.complex128)
    for b, a in ((SHELF_B, SHELF_A), (HIGH_PASS_B, HIGH_PASS_A)):
        gain *= np.polyval(b[::-1], z) / np.polyval(a[::-1], z)
    return gain
