"""Taps by another model than ``simulated/wood.py``: a force of contact on a board of echoes.

There a touch dulls some damped modes.  Here the force of the contact is drawn in time (a stiffer
tool is shorter, a harder blow too; a stick bounces, a hand comes down in patches, nails one
after another) and meets a board whose answer is noise that dies away band by band over a few
low notes, as a plate's crowded modes do.
"""

from collections.abc import Callable
from itertools import pairwise

import numpy as np
from attrs import frozen
from numpy.typing import NDArray
from scipy.signal import butter, fftconvolve, sosfilt  # type: ignore[import-untyped]

Sound = NDArray[np.float64]
RATE_HZ = 16_000
_LENGTH = RATE_HZ // 2
_BANDS_HZ = (40, 90, 180, 360, 720, 1440, 2880, 5600)


@frozen
class Tool:
    """What touches the board; lengths of a middling blow."""

    contact_sec: tuple[float, float]
    parts: tuple[int, int] = (1, 1)
    """Fingers, or patches of a hand."""
    apart_sec: float = 0.0
    air: float = 0.0
    """Share of a puff of air, as of a hand that claps down."""
    bounce: float = 0.0
    """How often it comes back once."""


TOOLS: dict[str, Tool] = {
    "fingertips": Tool((0.003, 0.008), (2, 4), 0.012),
    "knuckles": Tool((0.001, 0.003), (1, 3), 0.006),
    "nails": Tool((0.0003, 0.001), (2, 4), 0.020),
    "flat hand": Tool((0.004, 0.010), (4, 8), 0.014, air=0.7),
    "stick": Tool((0.0004, 0.0012), bounce=0.35),
    "felt mallet": Tool((0.007, 0.018)),
}
LEFT_OUT = "felt mallet"
"""Never learned from."""


@frozen
class Board:
    """Limits within which a board is drawn."""

    lowest_hz: tuple[float, float]
    low_sec: tuple[float, float]
    """How long its low notes last, to a third."""
    bright: tuple[float, float]
    """How much shorter each octave up is: an exponent."""
    tilt_db: tuple[float, float]
    """Level from one octave to the next."""
    buzz: float = 0.0
    """How often something on it buzzes along."""


BOARDS: dict[str, Board] = {
    "raised ply": Board((55, 120), (0.08, 0.25), (0.3, 0.7), (-5, -2)),
    "on carpet": Board((70, 160), (0.015, 0.05), (0.1, 0.5), (-7, -3)),
    "on a table": Board((110, 300), (0.03, 0.10), (0.2, 0.6), (-3, 0)),
    "a box": Board((70, 150), (0.10, 0.35), (0.5, 0.9), (-6, -3)),
    "with things on it": Board((60, 200), (0.04, 0.15), (0.3, 0.7), (-5, -1), buzz=0.5),
}
HELD_BACK = "a box"
"""Never learned from, either."""

Strike = Callable[[str, float], Sound]
"""The sound of one touch at a spot, so many dB louder than usual, before that loudness."""


def strike_with(tool: Tool, board: Board, rng: np.random.Generator) -> Strike:
    """A tool on a board, both drawn anew."""
    usual_sec = _between(tool.contact_sec, rng)
    low_sec, lowest = _between(board.low_sec, rng), _between(board.lowest_hz, rng)
    bright, tilt_db = rng.uniform(*board.bright), rng.uniform(*board.tilt_db)
    time = np.arange(_LENGTH) / RATE_HZ
    tones = lowest * np.cumprod(np.r_[1.0, rng.uniform(1.2, 1.9, 4)])
    bands = [
        butter(2, (low, high), "band", fs=RATE_HZ, output="sos")
        for low, high in pairwise(_BANDS_HZ)
    ]
    answers: dict[str, Sound] = {}

    def answer(spot: str) -> Sound:
        if spot not in answers:
            sound = np.zeros(_LENGTH)
            for octave, band in enumerate(bands):
                fall = low_sec * 2 ** (-bright * octave)
                noise = sosfilt(band, rng.normal(0, 1, _LENGTH))
                noise /= float(np.std(noise))
                level = 10 ** ((tilt_db * octave + rng.normal(0, 3)) / 20)
                sound += level * noise * np.exp(-time / fall)
            for tone in tones:
                loud = rng.uniform(0.5, 3.0)
                sound += loud * np.sin(2 * np.pi * tone * time) * np.exp(-time / low_sec)
            answers[spot] = sound / float(np.abs(sound).max())
        return answers[spot]

    def strike(spot: str, louder_db: float) -> Sound:
        own = answer(spot) * (1 + 0.15 * rng.normal(0, 1))
        force = np.zeros(_LENGTH)
        # Hertz: a harder blow touches for less long, by the fifth root of its speed
        contact = usual_sec * 10 ** (-louder_db / 100) * float(np.exp(rng.normal(0, 0.15)))
        count = int(rng.integers(tool.parts[0], tool.parts[1] + 1))
        for number in range(count):
            at = 0.0 if not number else abs(rng.normal(0, tool.apart_sec))
            _push(force, at, contact, rng.uniform(0.4, 1.0))
        if rng.random() < tool.bounce:
            _push(force, rng.uniform(0.03, 0.09), contact, rng.uniform(0.1, 0.4))
        sound: Sound = fftconvolve(force, own)[:_LENGTH]
        sound /= float(np.abs(sound).max()) or 1.0
        if tool.air:
            puff = rng.normal(0, 1, round(0.04 * RATE_HZ))
            puff *= np.exp(-np.arange(len(puff)) / (0.008 * RATE_HZ))
            puff = sosfilt(butter(1, rng.uniform(800, 3000), fs=RATE_HZ, output="sos"), puff)
            sound[: len(puff)] += tool.air * puff / float(np.abs(puff).max()) * rng.uniform(0.2, 1)
        if rng.random() < board.buzz:
            _buzz(sound, rng)
        return sound

    return strike


def _push(force: Sound, at_sec: float, contact_sec: float, strong: float) -> None:
    frames = max(round(contact_sec * RATE_HZ), 1)
    shape = np.sin(np.pi * (np.arange(frames) + 0.5) / frames) ** 1.5
    at = min(round(at_sec * RATE_HZ), len(force) - frames)
    force[at : at + frames] += strong * shape


def _buzz(sound: Sound, rng: np.random.Generator) -> None:
    """Something light that jumps while the board swings."""
    hz = rng.uniform(25, 70)
    time = np.arange(round(0.2 * RATE_HZ)) / RATE_HZ
    jumps = (np.sin(2 * np.pi * hz * time) > 0.97) * rng.normal(0, 1, len(time))
    sound[: len(time)] += jumps * np.exp(-time / 0.06) * rng.uniform(0.05, 0.4)


def _between(limits: tuple[float, float], rng: np.random.Generator) -> float:
    low, high = limits
    return float(np.exp(rng.uniform(np.log(low), np.log(high))))
