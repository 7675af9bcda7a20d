"""Whatever board a story may describe gives figures, in reasonable time."""

from fractions import Fraction

import numpy as np
import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.board.default_board import DEFAULT_EDGES
from tapscore.board.facade import BoardTap, board_facts, felt_levels, felt_map
from tapscore.board.hands import HANDS
from tapscore.board.kept_modes import kept_modes
from tapscore.board.plywood import WOODS, describe
from tapscore.board.strokes import rigid, struck
from tapscore.board.suggest import suggestions
from tapscore.board.tap_sound import board_tap_sound
from tapscore.model.board import GRAINS, HEADINGS, STRIP_KINDS, Board, Place, Point, Sheet, Strips
from tapscore.model.strokes import Stroke

# The story file's own bounds: 10 to 500 cm, 0.5 to 30 mm.
sides_mm = st.integers(100, 5000).map(Fraction)
sheets = st.builds(
    Sheet,
    st.sampled_from([None, "fir", *WOODS]),
    st.none() | st.fractions(Fraction(1, 2), 30, max_denominator=10),
    st.none() | st.integers(1, 25),
    st.sampled_from([None, *GRAINS]),
    *[st.none() | st.fractions(Fraction(1, 100), 100_000, max_denominator=100)] * 2,
    st.none() | st.fractions(Fraction(1, 10), 200, max_denominator=10),
)
strips = st.none() | st.builds(Strips, *[st.sampled_from(STRIP_KINDS)] * 4)


@st.composite
def boards(draw: st.DrawFn) -> Board:
    width, depth = draw(sides_mm), draw(sides_mm)
    shares = st.fractions(0, 1, max_denominator=20)
    places = tuple(
        Place(
            name,
            Point(width * draw(shares), depth * draw(shares)),
            draw(st.booleans()),
            draw(st.sampled_from([None, *HEADINGS])),
        )
        for name in "ABC"[: draw(st.integers(0, 3))]
    )
    return Board(
        width, depth, draw(sheets), draw(st.none() | sides_mm), places=places, strips=draw(strips)
    )


@settings(max_examples=12)
@given(boards(), st.sampled_from(list(Stroke)), st.fractions(0, 4, max_denominator=5))
def test_figures_are_figures(board: Board, stroke: Stroke, level: Fraction) -> None:
    points = [Point(board.width_mm * share, board.depth_mm / 3) for share in (0, Fraction(2, 5))]
    found = felt_levels(board, [BoardTap(point, stroke, level) for point in points])
    assert np.isfinite(found.level_db).all()
    assert board_facts(board).sag.deepest_mm >= 0
    for place in board.places:
        whole = felt_map(board, stroke, level, place.name)
        assert whole is not None
        assert np.isfinite(whole.level_db).all()
    assert all(isinstance(said, str) for said in suggestions(board, stroke, level))


@settings(max_examples=4)
@given(boards(), st.sampled_from(list(Stroke)))
def test_every_board_sounds(board: Board, stroke: Stroke) -> None:
    at = Point(board.width_mm / 3, board.depth_mm / 4)
    samples = board_tap_sound(board, stroke, Fraction(3), at, accent=True, length_sec=0.4)
    assert np.isfinite(samples).all()
    assert np.abs(samples).max() > 0


@settings(max_examples=12)
@given(boards(), st.sampled_from(list(HANDS)), st.floats(0, 4))
def test_no_board_pushes_back_harder_than_something_rigid(
    board: Board, stroke: Stroke, loudness: float
) -> None:
    plate = describe(board).plate
    x, y = (np.array([0.1, 0.37, 0.5]) * side for side in (plate.width_m, plate.depth_m))
    peaks = struck(kept_modes(plate, DEFAULT_EDGES), stroke, loudness, x, y).peak_n
    assert (peaks <= 1.03 * rigid(HANDS[stroke], loudness).peak_n).all()
    assert (peaks > 0).all()


@pytest.mark.parametrize(
    "sides",
    [("free",) * 4, ("elastic", "free", "free", "free"), ("simple", "free", "free", "free")],
)
@pytest.mark.filterwarnings("error")
def test_a_board_that_hardly_anything_holds_sounds_and_is_felt(
    sides: tuple[str, str, str, str],
) -> None:
    """It has movements of 0 Hz, where force over speed is 0/0."""
    at = Point(Fraction(450), Fraction(500))
    board = Board(Fraction(1200), Fraction(900), strips=Strips(*sides), places=(Place("A", at),))
    samples = board_tap_sound(
        board, Stroke.FINGERTIPS, Fraction(2), at, accent=False, length_sec=0.4
    )
    assert np.isfinite(samples).all()
    held = evolve(board, strips=None)
    usual = board_tap_sound(held, Stroke.FINGERTIPS, Fraction(2), at, accent=False, length_sec=0.4)
    assert 0.2 < np.abs(samples).max() / np.abs(usual).max() < 5
    assert np.isfinite(felt_levels(board, [BoardTap(at)]).level_db).all()
