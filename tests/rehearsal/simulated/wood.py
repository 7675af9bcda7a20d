"""What taps on boards sound like: a model of the tests' own, apart from the board's model.

A touch is a short push (its length dulls it) into some damped modes, a click of the skin or
nail, and what rattles along.  Each kind draws its board anew, within wide limits.
"""

from collections.abc import Callable
from fractions import Fraction

import numpy as np
from attrs import frozen
from numpy.typing import NDArray
from scipy.signal import butter, lfilter, resample_poly  # type: ignore[import-untyped]

Sound = NDArray[np.float64]
RATE_HZ = 16_000
_LENGTH_SEC = 0.5


@frozen
class Kind:
    """Limits within which a board of this kind is drawn."""

    lowest_hz: tuple[float, float]
    modes: tuple[int, int]
    decay_sec: tuple[float, float]
    """Of the lowest mode, to a tenth of its amplitude or so."""
    push_sec: tuple[float, float]
    click_db: tuple[float, float]
    """Against the modes' loudest moment."""
    rattle: float = 0.0
    """How often something rattles along."""
    slap: float = 0.0
    """Share of a broad noise, as of a whole hand."""


KINDS: dict[str, Kind] = {
    "deep": Kind((45, 110), (15, 30), (0.10, 0.30), (0.004, 0.010), (-30, -14)),
    "small": Kind((130, 260), (12, 25), (0.05, 0.12), (0.003, 0.008), (-26, -8)),
    "on a rug": Kind((60, 160), (8, 16), (0.02, 0.05), (0.005, 0.012), (-40, -18)),
    "knuckles": Kind((90, 250), (15, 30), (0.04, 0.12), (0.0007, 0.002), (-14, 0)),
    "slap": Kind((70, 180), (10, 20), (0.04, 0.10), (0.003, 0.007), (-24, -8), slap=0.8),
    "rattling": Kind((60, 200), (12, 25), (0.05, 0.2), (0.003, 0.009), (-24, -8), rattle=0.6),
    "bright": Kind((220, 520), (10, 25), (0.04, 0.15), (0.0008, 0.003), (-18, -4)),
    "nails": Kind((90, 300), (8, 16), (0.02, 0.07), (0.001, 0.004), (-6, 6)),
}
BOARD_MODEL = "board model"
"""The project's own model of a board, which no kind above knows."""

Strike = Callable[[str, str], Sound]
"""The sound of one touch at a spot by a stroke; each touch a little otherwise."""


def board_of(kind: str, rng: np.random.Generator) -> Strike:
    """A board of a kind, drawn anew."""
    return _model_board(rng) if kind == BOARD_MODEL else _own_board(KINDS[kind], rng)


def _own_board(kind: Kind, rng: np.random.Generator) -> Strike:
    count = int(rng.integers(*kind.modes))
    lowest = _between(kind.lowest_hz, rng)
    spaced = lowest * (1 + np.cumsum(rng.gamma(2.0, 0.35, count)))
    hz = np.minimum(np.concatenate([[lowest], spaced]), 7_000)
    decay = _between(kind.decay_sec, rng) * (lowest / hz) ** rng.uniform(0.2, 0.8)
    decay = np.maximum(decay, 0.004)
    push = _between(kind.push_sec, rng)
    click_db = _between(kind.click_db, rng)
    time = np.arange(round(_LENGTH_SEC * RATE_HZ)) / RATE_HZ
    shapes: dict[str, NDArray[np.float64]] = {}
    bank = np.exp(-time / decay[:, None]) * np.sin(2 * np.pi * hz[:, None] * time)

    def strike(spot: str, stroke: str) -> Sound:
        if spot not in shapes:
            shapes[spot] = rng.normal(0, 1, len(hz)) / np.sqrt(1 + hz / lowest)
        amplitudes = shapes[spot] * np.exp(rng.normal(0, 0.25, len(hz)))
        soft = {"flat hand": 1.2, "heel of hand": 1.6, "knuckles": 0.35}.get(stroke, 1.0)
        length = push * soft * np.exp(rng.normal(0, 0.2))
        dulled = np.abs(np.sinc(hz * length)) + 0.02 / (1 + (hz * length) ** 2)
        sound: Sound = (amplitudes * dulled) @ bank
        peak = float(np.abs(sound).max()) or 1.0
        sound = sound / peak
        frames = round(RATE_HZ * rng.uniform(0.002, 0.006))
        click = rng.normal(0, 0.5, frames) * np.exp(-np.arange(frames) / frames * 4)
        sound[:frames] += click * 10 ** ((click_db + rng.normal(0, 3)) / 20)
        if kind.slap:
            frames = round(RATE_HZ * rng.uniform(0.01, 0.03))
            noise = rng.normal(0, 0.5, frames) * np.exp(-np.arange(frames) / frames * 3)
            b, a = butter(1, rng.uniform(900, 3500) / (RATE_HZ / 2))
            sound[:frames] += kind.slap * lfilter(b, a, noise)
        if rng.random() < kind.rattle:
            _rattle(sound, rng)
        sound[:8] *= np.linspace(0, 1, 8)
        return sound

    return strike


def _rattle(sound: Sound, rng: np.random.Generator) -> None:
    for _ in range(int(rng.integers(2, 9))):
        at = round(RATE_HZ * rng.uniform(0.01, 0.18))
        frames = round(RATE_HZ * 0.004)
        burst = rng.normal(0, 1, frames) * np.exp(-np.arange(frames) / frames * 4)
        sound[at : at + frames] += burst * rng.uniform(0.03, 0.25)


def _model_board(rng: np.random.Generator) -> Strike:
    from tapscore.board.tap_sound import board_tap_sound
    from tapscore.model.board import Point
    from tapscore.model.strokes import Stroke, parse_stroke

    places: dict[str, Point] = {}

    def strike(spot: str, stroke: str) -> Sound:
        if spot not in places:
            x, y = rng.uniform(0.15, 0.85, 2)
            places[spot] = Point(Fraction(round(1200 * x)), Fraction(round(900 * y)))
        made = board_tap_sound(
            None,
            parse_stroke(stroke) or Stroke.FINGERTIPS,
            Fraction(int(rng.integers(1, 4))),
            places[spot],
            accent=False,
            length_sec=0.5,
        )
        sound = resample_poly(made.astype(np.float64), 1, 3)
        whole: Sound = sound / (float(np.abs(sound).max()) or 1.0)
        return whole

    return strike


def _between(limits: tuple[float, float], rng: np.random.Generator) -> float:
    low, high = limits
    if low > 0:
        return float(np.exp(rng.uniform(np.log(low), np.log(high))))
    return float(rng.uniform(low, high))
