"""A voice for tests that needs no program, and made-up recordings."""

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from tapscore.exports.audio.voice.program import SpokenSound

RATE_HZ = 22_050


def spoken(text: str, words_a_minute: int) -> SpokenSound:
    """A hum whose length follows the rate, as speech does, with silence round it."""
    syllables = max(len(text.split()), 1) * 1.3
    count = round(syllables * 60 / (words_a_minute * 1.3) * RATE_HZ)
    hum = 9_000 * np.sin(2 * np.pi * 150 * np.arange(count) / RATE_HZ)
    silence = np.zeros(RATE_HZ // 20)
    return SpokenSound(np.concatenate((silence, hum, silence)).astype(np.int16), RATE_HZ)


def tone(length_sec: float, rate_hz: int = 48_000, peak: float = 0.3) -> NDArray[np.float32]:
    """A hum with half a second of silence at each end."""
    t = np.arange(round(length_sec * rate_hz)) / rate_hz
    silence = np.zeros(rate_hz // 2)
    hum = peak * np.sin(2 * np.pi * 220 * t) * np.minimum(1, 50 * t)
    whole: NDArray[np.float32] = np.concatenate((silence, hum, silence)).astype(np.float32)
    return whole


def write(path: Path, samples: NDArray[np.float32], rate_hz: int, subtype: str = "PCM_16") -> None:
    """A sound file of any kind soundfile writes."""
    import soundfile  # type: ignore[import-untyped]

    soundfile.write(path, samples, rate_hz, subtype=subtype)


def rise_after_sec(sound: NDArray[np.float32], frame: int) -> float:
    """Where, within a fifth of a second round ``frame``, energy rises most steeply."""
    step = 240
    energy = np.square(sound[: len(sound) // step * step]).reshape(-1, step).mean(axis=1)
    at = round(frame / step)
    low = max(at - 40, 0)
    near = energy[low : at + 40]
    rising = np.diff(np.log10(near + 1e-4 * near.max()))
    steepest = int(np.convolve(rising, np.ones(4), "valid").argmax()) + 4
    return (low + steepest - at) * step / 48_000
