"""Shaping spoken sound: rate, silence at the ends, length, level and where it begins to ring."""

import numpy as np
from numpy.typing import NDArray

from tapscore.exports.audio.filters import with_rate
from tapscore.exports.audio.levels import LoudnessMeter
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ, Sound, amplitude, frames

SPEECH_LUFS = -12.0
"""Loudness of a line's sound before its gain: that of a very loud tap's loudest moment."""
_SILENCE_DB = -42.0
_WINDOW_SEC = 0.01
_EDGE_SEC = 0.004
_BEAT_SEARCH_SEC = 0.3
_BEAT_SHARE = 0.5
_HIGHEST = 4.0


def resampled(samples: NDArray[np.float32], rate_hz: int) -> Sound:
    """Samples of shape ``(frames,)`` at the one rate of all sounds."""
    return with_rate(samples, rate_hz, SAMPLE_RATE_HZ)


def envelope(sound: Sound) -> NDArray[np.float64]:
    """Root mean square of each hundredth of a second."""
    size = frames(_WINDOW_SEC)
    count = -(-len(sound) // size)
    padded = np.zeros(count * size)
    padded[: len(sound)] = sound
    rms: NDArray[np.float64] = np.sqrt(np.square(padded).reshape(count, size).mean(axis=1))
    return rms


def trimmed(sound: Sound, silence_db: float = _SILENCE_DB) -> Sound:
    """Without the silence at both ends (against its loudest moment), edges softened.

    Empty if all is silent.
    """
    loud = envelope(sound)
    most = float(loud.max(initial=0.0))
    if most <= amplitude(-80.0):
        return sound[:0]
    heard = np.flatnonzero(loud > most * amplitude(silence_db))
    size = frames(_WINDOW_SEC)
    first, last = max(int(heard[0]) - 1, 0) * size, (int(heard[-1]) + 2) * size
    cut = sound[first:last].copy()
    soften(cut)
    return cut


def soften(sound: Sound) -> None:
    """Fade the very ends of a sound in its place, so that no cut clicks."""
    count = min(frames(_EDGE_SEC), len(sound) // 2)
    ramp = np.linspace(0, 1, count, endpoint=False, dtype=np.float32)
    sound[:count] *= ramp
    sound[len(sound) - count :] *= ramp[::-1]


def stretched(sound: Sound, count: int) -> Sound:
    """The same sound, at the same pitch, in just ``count`` frames."""
    if count <= 0 or not len(sound) or count == len(sound):
        return sound[: max(count, 0)]
    from python_stretch.Signalsmith import Stretch

    machine = Stretch(1)
    machine.preset(1, SAMPLE_RATE_HZ)
    machine.setTimeFactor(len(sound) / count)
    made = np.asarray(machine.process(sound[np.newaxis].astype(np.float32)), np.float32)[0]
    out: Sound = np.zeros(count, np.float32)
    out[: min(count, len(made))] = made[:count]
    return out


def levelled(sound: Sound) -> Sound:
    """Scaled to the loudness of all speech (integrated, ITU-R BS.1770); silence stays so."""
    meter = LoudnessMeter(1)
    shortest = frames(0.5)
    padded = np.pad(sound, (0, max(shortest - len(sound), 0)))
    meter.add(padded[np.newaxis].astype(np.float32))
    found = meter.levels()
    if found.integrated_lufs == -np.inf:
        return sound
    gain = amplitude(SPEECH_LUFS - found.integrated_lufs)
    peak = amplitude(found.true_peak_dbtp)
    made: Sound = (sound * np.float32(min(gain, _HIGHEST / peak))).astype(np.float32)
    return made


def beat_frame(sound: Sound) -> int:
    """Where speech is felt to begin: the first vowel's rise, after what leads in to it.

    The first moment within three tenths of a second at which the sound below 1.5 kHz
    reaches half of its highest there (a common approximation of the perceptual centre).
    """
    head = sound[: frames(_BEAT_SEARCH_SEC)]
    if not head.any():
        return 0
    kernel = np.hanning(34)
    low = np.convolve(head, kernel / kernel.sum(), mode="same").astype(np.float32)
    loud = envelope(low)
    return int(np.flatnonzero(loud >= loud.max() * _BEAT_SHARE)[0]) * frames(_WINDOW_SEC)
