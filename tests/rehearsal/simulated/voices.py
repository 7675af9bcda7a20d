"""Speech for simulated rehearsals: espeak-ng where there is one, and a voice of formants."""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray
from scipy.signal import lfilter, resample_poly  # type: ignore[import-untyped]

from tapscore.exports.audio.voice.program import VoiceMissing, VoiceProgram, speak, voice_program
from tests.rehearsal.simulated.wood import RATE_HZ

Sound = NDArray[np.float64]
_VARIANTS = ("", "+m1", "+m3", "+m5", "+m7", "+f1", "+f2", "+f3", "+f4", "+f5")
_ACCENTS = ("en-gb", "en-gb-x-rp", "en-gb-scotland", "en-us", "en-gb-x-gbclan")
_VOWELS = (
    (730, 1090, 2440),
    (270, 2290, 3010),
    (300, 870, 2240),
    (530, 1840, 2480),
    (570, 840, 2410),
)
"""First three formants of some vowels (Peterson and Barney 1952, from memory)."""


class Voice:
    """One person's voice."""

    def __init__(self, rng: np.random.Generator) -> None:
        self._rng = rng
        self._program = voice_program()
        self._formants = self._program is None or rng.random() < 0.25
        accent = _ACCENTS[int(rng.integers(len(_ACCENTS)))]
        self._name = accent + _VARIANTS[int(rng.integers(len(_VARIANTS)))]
        self._pitch_hz = float(rng.uniform(95, 260))

    def say(self, text: str, length_sec: float) -> Sound:
        """A word, about so long."""
        if self._formants or self._program is None:
            count = max(round(length_sec / 0.28), 1)
            return np.concatenate([self._hummed(length_sec / count) for _ in range(count)])
        rate = min(max(round((12 * len(text) / 5 + 20) / length_sec / 20) * 20, 100), 280)
        said = _spoken(self._program, text, self._name, rate)
        return said if said is not None else self._hummed(length_sec)

    def _hummed(self, length_sec: float) -> Sound:
        rng = self._rng
        frames = max(round(min(length_sec, 0.6) * RATE_HZ), 800)
        time = np.arange(frames) / RATE_HZ
        glide = self._pitch_hz * np.exp(rng.normal(0, 0.1) + rng.normal(0, 0.3) * time)
        phase = np.cumsum(glide) / RATE_HZ
        pulses = np.diff(np.floor(phase), prepend=0.0) + rng.normal(0, 0.02, frames)
        sound: Sound = pulses
        for hz in _VOWELS[int(rng.integers(len(_VOWELS)))]:
            radius = np.exp(-np.pi * rng.uniform(60, 140) / RATE_HZ)
            turn = 2 * np.pi * hz * 1.1 / RATE_HZ
            sound = lfilter([1 - radius], [1, -2 * radius * np.cos(turn), radius**2], sound)
        sound = sound / (float(np.abs(sound).max()) or 1.0)
        rise = rng.uniform(0.008, 0.05)
        sound *= np.minimum(time / rise, 1) * np.minimum((time[-1] - time) / 0.05, 1)
        if rng.random() < 0.5:
            burst = round(RATE_HZ * rng.uniform(0.01, 0.09))
            sound[:burst] += rng.normal(0, 0.15, len(sound[:burst])) * np.hanning(
                len(sound[:burst])
            )
        return sound


@lru_cache(maxsize=4096)
def _spoken(program: VoiceProgram, text: str, voice: str, rate: int) -> Sound | None:
    cleaned = "".join(sign for sign in text if sign.isalpha() or sign in "'’ ")
    if not cleaned.strip():
        return None
    try:
        spoken = speak(program, cleaned, voice=voice, words_a_minute=rate)
    except VoiceMissing:
        return None
    samples = spoken.samples.astype(np.float64) / 32_768
    loud = np.flatnonzero(np.abs(samples) > 0.01)
    if not len(loud):
        return None
    samples = samples[loud[0] : loud[-1] + 1]
    sound: Sound = resample_poly(samples, RATE_HZ, spoken.rate_hz)
    return sound
