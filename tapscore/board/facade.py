"""What the rest of the program asks of the board.

Every figure is relative, a model, not a measurement, and says nothing of what a child will
feel.  Levels are in dB relative to a medium tap with the fingertips in the middle of the same
board, as its places feel it on average; say them in words or in steps of 3 dB (``words``).
Functions that compute import numpy and scipy on first use.
"""

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from math import hypot
from typing import TYPE_CHECKING

from attrs import evolve, frozen

from tapscore.board.default_board import DEFAULT_BOARD
from tapscore.board.edges import Edges, edges_of
from tapscore.board.hands import ACCENT_STEPS, RUBS, USUAL_LOUDNESS
from tapscore.board.plywood import DEFAULT_THICKNESS_MM, Described, Measured, describe
from tapscore.board.words import Word, level_word, step_db
from tapscore.model.board import Board, Named, Place, Point, Sheet
from tapscore.model.strokes import Stroke
from tapscore.wording.catalogue import say

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from tapscore.board.felt import FeltBoard
    from tapscore.board.sag import Sag

USUAL_LENGTH_SEC = 0.5
_REACH_MM = 150
"""How far in from her seat an adult taps where the story names no spot."""


@frozen
class BoardTap:
    """One touch: where, how, how loud (0 very quiet to 4 very loud), and for how long.

    The length counts for a scratch or a sweep alone.
    """

    at: Point
    stroke: Stroke = Stroke.FINGERTIPS
    level: Fraction = Fraction(2)
    accent: bool = False
    length_sec: float = USUAL_LENGTH_SEC


@frozen
class FeltLevels:
    """``level_db[tap][place]``; places beside the board are not among them."""

    places: tuple[str, ...]
    level_db: tuple[tuple[float, ...], ...]

    def word(self, tap: int, place: str) -> Word:
        """A level as a word."""
        return level_word(self.level_db[tap][self.places.index(place)])

    def step_db(self, tap: int, place: str) -> int:
        """A level as a whole number of dB, a multiple of 3."""
        return step_db(self.level_db[tap][self.places.index(place)])


@frozen(eq=False)
class FeltMap:
    """What one place gets from one stroke, wherever it is tapped.

    ``level_db`` (rows from south to north, columns from west to east) is relative to the
    same stroke in the middle of the board, as the places feel it on average; ``middle_db``
    is that tap's own level relative to the reference tap.
    """

    place: str
    level_db: "NDArray[np.float64]"
    middle_db: float
    free: "NDArray[np.bool_]"
    """Cells that no pupil is on, so that a hand can reach the board there."""

    @property
    def words(self) -> tuple[tuple[Word, ...], ...]:
        """The level of every cell as a word."""
        return tuple(tuple(level_word(level) for level in row) for row in self.level_db)


@frozen
class BoardFacts:
    """What was assumed of the board, and whether its map holds at all."""

    described: bool
    """Whether the story describes a board; else a stated one stands in."""
    assumed: tuple[str, ...]
    grain_known: bool
    """If not, the map may be wrong even in its order."""
    sag: "Sag"
    load_share: float
    """The pupils' bending of the sheet as a share of what breaks it: rough."""


def felt_levels(
    board: Board | None,
    taps: Sequence[BoardTap],
    places: Sequence[str] | None = None,
    *,
    edges: Edges | None = None,
    measured: Measured | None = None,
) -> FeltLevels:
    """Levels of taps at places (all those on the board if None), in dB.

    Relative, a model, not a measurement.  Points beside the board count as its nearest edge.
    ``edges`` and ``measured`` stand in for what the story says of strips and sheet.  All of
    the board's pupils are on it, whichever places are asked for.
    """
    return _felt_levels(_seated(bare_board(board), edges, measured), taps, places)


def phone_levels(
    board: Board | None,
    taps: Sequence[BoardTap],
    places: Sequence[str] | None = None,
    *,
    edges: Edges | None = None,
    measured: Measured | None = None,
) -> FeltLevels:
    """As ``felt_levels``, but as a phone lying at the places would read it, for ``measure``."""
    seated = _seated(bare_board(board), edges, measured, phone=True)
    return _felt_levels(seated, taps, places)


def _felt_levels(
    seated: "FeltBoard | None", taps: Sequence[BoardTap], places: Sequence[str] | None
) -> FeltLevels:
    if seated is None:
        return FeltLevels((), tuple(() for _ in taps))
    names = tuple(patch.name for patch in seated.patches)
    wanted = names if places is None else tuple(name for name in names if name in places)
    columns = [names.index(name) for name in wanted]
    by_tap: dict[BoardTap, tuple[float, ...]] = {}
    for stroke in dict.fromkeys(tap.stroke for tap in taps):
        alike = list(dict.fromkeys(tap for tap in taps if tap.stroke is stroke))
        by_tap |= zip(alike, _stroke_levels(seated, stroke, alike), strict=True)
    found = (by_tap[tap] for tap in taps)
    return FeltLevels(wanted, tuple(tuple(row[i] for i in columns) for row in found))


def felt_map(
    board: Board | None,
    stroke: Stroke,
    level: Fraction,
    place: str,
    *,
    edges: Edges | None = None,
    measured: Measured | None = None,
) -> FeltMap | None:
    """Map of one stroke at ``level`` (0 to 4) for a place; None if it is not on the board.

    Relative, a model, not a measurement.
    """
    seated = _seated(bare_board(board), edges, measured)
    names = () if seated is None else tuple(patch.name for patch in seated.patches)
    if seated is None or place not in names:
        return None
    middle = seated.middle_db(stroke, float(level))
    levels = seated.map_db(stroke, float(level))[names.index(place)]
    return FeltMap(place, levels - middle, middle, seated.free_cells)


def board_facts(board: Board | None, *, measured: Measured | None = None) -> BoardFacts:
    """What was assumed, whether the grain is known, how far the board may sag."""
    from tapscore.board.bands import HIGHEST_HZ
    from tapscore.board.plate import highest_hz
    from tapscore.board.pupils import patches_on
    from tapscore.board.sag import sag
    from tapscore.board.working_load import load_share

    whole = board or DEFAULT_BOARD
    known = described(bare_board(board), measured)
    patches = patches_on(whole)
    gap = None if whole.gap_mm is None else float(whole.gap_mm)
    sheet = whole.sheet or Sheet()
    long_along_x = whole.width_mm >= whole.depth_mm
    share = load_share(
        known.plate,
        known.stretch_n_per_m,
        patches,
        float(sheet.thickness_mm or DEFAULT_THICKNESS_MM),
        grain_along_x=long_along_x == (sheet.grain != "short"),
    )
    found = sag(known.plate, known.stretch_n_per_m, patches, gap)
    assumed = known.assumed
    if edges_of(whole.strips).soft:
        assumed += (say("the soft strips: of foam"),)
    covered_hz = highest_hz(known.plate, edges_of(whole.strips), HIGHEST_HZ)
    if covered_hz < HIGHEST_HZ:
        assumed += (
            say(
                "nothing above {hertz:.0f} Hz, as the board is so large and thin",
                hertz=covered_hz,
            ),
        )
    return BoardFacts(board is not None, assumed, known.grain_known, found, share)


def places_on(board: Board | None) -> tuple[Place, ...]:
    """The places on the board, not beside it."""
    return tuple(p for p in board.places if board.contains(p.at)) if board else ()


def tap_point(board: Board | None, spot: str | None, seat: str | None) -> Point:
    """Where a tap lands: its spot, else a hand's reach in from the seat, else the middle."""
    whole = board or DEFAULT_BOARD
    named = whole.spot(spot) if spot is not None else None
    if named is not None:
        return named
    middle = Point(whole.width_mm / 2, whole.depth_mm / 2)
    sitting = whole.seat(seat) if seat is not None else None
    if sitting is None:
        return middle
    away = hypot(float(middle.x_mm - sitting.x_mm), float(middle.y_mm - sitting.y_mm))
    share = Fraction(min(_REACH_MM / max(away, 1.0), 1.0)).limit_denominator(1000)
    return Point(
        sitting.x_mm + share * (middle.x_mm - sitting.x_mm),
        sitting.y_mm + share * (middle.y_mm - sitting.y_mm),
    )


def _level(tap: BoardTap) -> float:
    return min(max(float(tap.level) + (ACCENT_STEPS if tap.accent else 0.0), 0.0), 4.0)


def bare_board(board: Board | None) -> Board:
    """The board without what does not move the sheet, so that equal ones are found again."""
    whole = board or DEFAULT_BOARD
    none: tuple[Named, ...] = ()
    still = evolve(whole, spots=none, seats=none, gap_mm=None, sides=None, way_out=None)
    return evolve(still, picture=None)


@lru_cache(maxsize=32)
def described(board: Board, measured: Measured | None) -> Described:
    """Find the plate of a board, once."""
    return describe(board, measured)


@lru_cache(maxsize=12)
def _seated(
    board: Board, edges: Edges | None, measured: Measured | None, *, phone: bool = False
) -> "FeltBoard | None":
    from tapscore.board.felt import FeltBoard
    from tapscore.board.pupils import patches_on
    from tapscore.board.weighting import felt_weight, phone_weight

    plate = described(board, measured).plate
    patches = patches_on(board)
    weight = phone_weight if phone else felt_weight
    sides = edges_of(board.strips) if edges is None else edges
    return FeltBoard(plate, sides, patches, weight) if patches else None


def _stroke_levels(
    seated: "FeltBoard", stroke: Stroke, taps: list[BoardTap]
) -> list[tuple[float, ...]]:
    """Levels of taps of one stroke, by tap and patch."""
    import numpy as np

    from tapscore.board.felt import steps_about
    from tapscore.board.strokes import USUAL_RUB_SEC, rub_gain_db

    column = {point: i for i, point in enumerate(dict.fromkeys(tap.at for tap in taps))}
    x_m = np.array([float(point.x_mm) / 1000 for point in column])
    y_m = np.array([float(point.y_mm) / 1000 for point in column])
    x_m, y_m = np.clip(x_m, 0, seated.plate.width_m), np.clip(y_m, 0, seated.plate.depth_m)
    if stroke in RUBS:
        medium = seated.levels_db(stroke, USUAL_LOUDNESS, x_m, y_m, USUAL_RUB_SEC).T.tolist()
        gains = [rub_gain_db(RUBS[stroke], _level(tap), tap.length_sec) for tap in taps]
        return [
            tuple(level + gain for level in medium[column[tap.at]])
            for tap, gain in zip(taps, gains, strict=True)
        ]
    about = [steps_about(_level(tap)) for tap in taps]
    wanted = sorted({step for steps, _ in about for step in steps})
    found = seated.step_levels_db(stroke, wanted, x_m, y_m)
    levels = {step: db.T.tolist() for step, db in found.items()}
    rows = []
    for tap, (steps, share) in zip(taps, about, strict=True):
        low, high = (levels[step][column[tap.at]] for step in (steps[0], steps[-1]))
        rows.append(tuple((1 - share) * a + share * b for a, b in zip(low, high, strict=True)))
    return rows
