"""What a tap sounds like in the guide: the board's model, made fit for a phone.

The model gives a tap's colour by its stroke, loudness and place on the board with its
pupils; without a board a stated one sounds (``SOUNDING_BOARD``).  Here the highest peaks are
rounded off and all sounds are brought to one loudness, so that a phone can play them.
"""

from fractions import Fraction
from functools import lru_cache
from math import cos, pi, sin

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from tapscore.board.default_board import SOUNDING_BOARD
from tapscore.board.facade import bare_board
from tapscore.board.hands import RUBS
from tapscore.board.kept_modes import GRID
from tapscore.board.tap_sound import board_cell, board_tap_sound
from tapscore.exports.audio.filters import RecursiveFilter
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ, Sound, amplitude, faded, frames, level
from tapscore.model.board import Board, Point
from tapscore.model.strokes import Stroke

COLOURS_PER_STEP = 4
"""Shades of sound between one step of loudness and the next."""
MOST_PLACES = 8
"""Hands beside one another on a spot that sound different; further adults share them."""
_NEAREST_MM, _FURTHER_MM, _FIRST_TURN, _TURN = 40, 16, 5.0, 2.4
"""Each hand lies further from the spot than the one before, and turned by the golden angle, so
that no two lie alike on a board that is the same on both sides.
"""

_STRUCK_SEC = 0.32
_STRUCK_FADE_SEC = 0.06
_SHORTEST_RUB_SEC = 0.08
_LONGEST_RUB_SEC = 6.0
_RUB_STEP_SEC = 0.01
_RUB_FADE_SEC = 0.04
_RUB_GAINS_DB = {Stroke.SCRATCH: -4.5, Stroke.SWEEP: -3.2}
"""A rub goes on and so is heard as louder than a blow of the same level."""
_LOWEST_HZ = 300.0
"""What is lower is weakened, as a phone's speaker gives little of it (common practice, no
source).
"""
_BRIGHT_HZ, _BRIGHT_DB = 900.0, 12.0
"""What is higher is raised by so much in the loudest taps, and less in quieter ones, so that
loud and quiet differ in colour on a phone, too (by ear, no source).
"""
_LANDING = 0.35
"""How much of a light touch is heard as a hand lands for a scratch or a sweep."""
_ROUNDING = 3.0
"""Each sound's highest peaks are rounded off, at every loudness alike, so that a phone
can play quiet taps loudly enough beside loud ones.
"""


@frozen(cache_hash=True)
class TapAsked:
    """All that decides how a tap sounds."""

    sheet: Board
    """With nothing on it that is not heard."""
    stroke: Stroke
    colour: int
    accent: bool
    cell: tuple[int, int]
    steps: int
    """How long a scratch or a sweep lasts; 0 for a blow."""


def tap_asked(
    stroke: Stroke,
    loudness: Fraction,
    *,
    accent: bool,
    length_sec: float,
    place: int = 0,
    board: Board | None = None,
    at: Point | None = None,
) -> TapAsked:
    """What to ask for; taps that sound alike ask for the same.

    ``loudness`` from 0 to 4 chooses the colour.  ``length_sec`` matters to scratches and
    sweeps alone.  ``at`` is a point of the board, its middle if None.  ``place`` counts the
    adults, whose hands lie beside one another and so sound a little unlike.
    """
    sheet = bare_board(board or SOUNDING_BOARD)
    cell = board_cell(sheet, _hand(sheet, at, place))
    colour = round(loudness * COLOURS_PER_STEP)
    steps = 0
    if stroke in RUBS:
        bounded_sec = min(max(length_sec, _SHORTEST_RUB_SEC), _LONGEST_RUB_SEC)
        steps = round(bounded_sec / _RUB_STEP_SEC)
    return TapAsked(sheet, stroke, colour, accent, cell, steps)


def made_sound(asked: TapAsked) -> Sound:
    """A tap, equally loud for every loudness (its gain is applied when mixing)."""
    return _rubbed(asked) if asked.steps else _struck(asked)


@lru_cache(maxsize=128)
def tap_sound(asked: TapAsked) -> Sound:
    """A tap that is kept in memory for the next time: the same array, so do not change it."""
    return made_sound(asked)


def _hand(board: Board, at: Point | None, place: int) -> Point:
    """Where an adult's hand lands: near the point, beside the hands of those before her."""
    point = at or Point(board.width_mm / 2, board.depth_mm / 2)
    away, angle = _NEAREST_MM + _FURTHER_MM * place, _FIRST_TURN + _TURN * place
    x, y = (round(away * way) for way in (cos(angle), sin(angle)))
    return Point(point.x_mm + x, point.y_mm + y)


def _middle(board: Board, cell: tuple[int, int]) -> Point:
    across, up = (Fraction(2 * number + 1, 2 * GRID) for number in cell)
    return Point(board.width_mm * across, board.depth_mm * up)


def _struck(asked: TapAsked) -> Sound:
    heard = _heard(asked)[: frames(_STRUCK_SEC)]
    answer = np.tanh(_ROUNDING * heard / np.abs(heard).max())
    return _finished(answer, _STRUCK_FADE_SEC, 0.0)


def _rubbed(asked: TapAsked) -> Sound:
    length_sec = asked.steps * _RUB_STEP_SEC
    heard = _heard(asked)[: frames(length_sec)]
    landing = evolve(asked, stroke=Stroke.FINGERTIPS, colour=asked.colour // 2)
    landed = _struck(landing)[: len(heard)]
    heard = level(heard)
    heard[: len(landed)] += _LANDING * landed
    return _finished(heard, min(_RUB_FADE_SEC, length_sec / 3), _RUB_GAINS_DB[asked.stroke])


def _heard(asked: TapAsked) -> NDArray[np.float64]:
    sound = board_tap_sound(
        asked.sheet,
        asked.stroke,
        Fraction(asked.colour, COLOURS_PER_STEP),
        _middle(asked.sheet, asked.cell),
        accent=asked.accent,
        length_sec=asked.steps * _RUB_STEP_SEC,
        sample_rate_hz=SAMPLE_RATE_HZ,
    )
    return _for_a_phone(sound.astype(np.float64), asked.colour / (4 * COLOURS_PER_STEP))


def _for_a_phone(samples: NDArray[np.float64], loud: float) -> NDArray[np.float64]:
    """With less of the lowest part, and more of the highest the louder it is (0 to 1)."""
    without_low = _above(samples, _LOWEST_HZ)
    return without_low + (amplitude(_BRIGHT_DB * loud) - 1) * _above(without_low, _BRIGHT_HZ)


def _above(samples: NDArray[np.float64], corner_hz: float) -> NDArray[np.float64]:
    """What is above a frequency: a filter of the first order, which delays nothing."""
    keeps = 1 / (1 + 2 * pi * corner_hz / SAMPLE_RATE_HZ)
    above: NDArray[np.float64] = RecursiveFilter(((keeps, -keeps, 0.0, -keeps, 0.0),), 1)(
        samples[np.newaxis]
    )[0]
    return above


def _finished(samples: NDArray[np.float64], fade_sec: float, gain_db: float) -> Sound:
    finished = faded(level(samples), fade_sec) * amplitude(gain_db)
    sound: Sound = finished.astype(np.float32)
    sound.setflags(write=False)
    return sound
