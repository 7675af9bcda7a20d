"""Recordings in which the story is not told: music, silence, talk alone."""

import numpy as np
from attrs import evolve
from scipy.signal import butter, lfilter  # type: ignore[import-untyped]

from tapscore.rhythm.performance import Performance
from tests.rehearsal.simulated.recording import Scene, Sound, recorded
from tests.rehearsal.simulated.telling import tell
from tests.rehearsal.simulated.wood import RATE_HZ


def talk_alone(performance: Performance, seed: int) -> Sound:
    """The words of a story said without a tap."""
    told = tell(performance, seed)
    return recorded(evolve(told, touches=[]), Scene("deep", "L2", seed))


def silence(seed: int, length_sec: float = 60.0) -> Sound:
    """A room without anybody."""
    rng = np.random.default_rng(seed)
    noise: Sound = lfilter([0.05], [1, -0.9], rng.normal(0, 1, round(length_sec * RATE_HZ)))
    whole: Sound = noise * 10 ** (rng.uniform(-70, -40) / 20)
    return whole


def music(seed: int, length_sec: float = 90.0) -> Sound:
    """Plucked notes over a beat, with or without drums."""
    rng = np.random.default_rng(seed)
    sound = np.zeros(round((length_sec + 3) * RATE_HZ))
    beat = 60 / rng.uniform(60, 150)
    drums = rng.random() < 0.6
    bars = int(length_sec / beat)
    for step in range(2 * bars):
        sec = step * beat / 2 + float(rng.normal(0, 0.008))
        if step % 2 == 0 or rng.random() < 0.5:
            for _ in range(int(rng.integers(1, 4))):
                _add(sound, sec, _note(110 * 2 ** (int(rng.integers(0, 36)) / 12), rng))
        if drums and (step % 2 == 0 or rng.random() < 0.4):
            _add(sound, sec, _drum(rng, low=step % 4 == 0))
    whole: Sound = sound / float(np.abs(sound).max()) * rng.uniform(0.2, 0.9)
    return whole


def _add(sound: Sound, sec: float, made: Sound) -> None:
    at = max(round(sec * RATE_HZ), 0)
    made = made[: max(len(sound) - at, 0)]
    sound[at : at + len(made)] += made


def _note(hz: float, rng: np.random.Generator) -> Sound:
    time = np.arange(round(0.8 * RATE_HZ)) / RATE_HZ
    note = sum(
        np.sin(2 * np.pi * hz * n * time) * np.exp(-time * n * rng.uniform(2, 6)) / n
        for n in range(1, 7)
        if hz * n < 7000
    )
    whole: Sound = note * np.minimum(time / rng.uniform(0.002, 0.03), 1)
    return whole


def _drum(rng: np.random.Generator, *, low: bool) -> Sound:
    time = np.arange(round(0.2 * RATE_HZ)) / RATE_HZ
    if low:
        drum: Sound = 2 * np.sin(2 * np.pi * 60 * time) * np.exp(-time * 20)
        return drum
    b, a = butter(2, 2000 / (RATE_HZ / 2), "high")
    hiss: Sound = lfilter(b, a, rng.normal(0, 0.6, len(time))) * np.exp(-time * 40)
    return hiss
