"""Measurements put into a board."""

from fractions import Fraction

import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st

from tapscore.board.facade import BoardTap, board_facts, felt_levels, phone_levels
from tapscore.model.board import Board, Named, Place, Point, Sheet, Strips
from tapscore.workflow.measuring import (
    Battens,
    PhoneWish,
    forgotten,
    measured_board,
    phone_comparison,
    stiffness_sentence,
    stiffnesses,
)

BOARD = Board(
    Fraction(1200),
    Fraction(900),
    Sheet("birch", Fraction(4), 3, "not known"),
    spots=tuple(
        Named(name, Point(Fraction(x), Fraction(y)))
        for name, x, y in (
            ("one", 200, 200),
            ("two", 600, 450),
            ("three", 1000, 700),
            ("four", 950, 150),
            ("five", 600, 120),
        )
    ),
    places=(Place("A", Point(Fraction(400), Fraction(500))),),
)


def test_stiffness_of_a_sheet_of_known_stiffness() -> None:
    """A beam of D = 64 N m, 0.9 m wide, 0.8 m long sinks P L^3 / (48 b D) (textbook)."""
    sinks_mm = 1000 * 2 * 9.81 * 0.8**3 / (48 * 0.9 * 64)
    battens = Battens(2.0, 800.0, sinks_mm, 0.0)
    assert stiffnesses(BOARD, battens) == (Fraction(64), None)
    across = Battens(2.0, 800.0, 0.0, sinks_mm)
    assert stiffnesses(BOARD, across) == (None, Fraction(48))


def test_what_was_measured_is_kept_and_the_grain_found() -> None:
    board = measured_board(BOARD, Battens(2, 800, 2.2, 25), 3.2, Strips(north="free"))
    assert board.sheet is not None
    assert board.sheet.grain == "long"
    assert board.sheet.mass_kg == Fraction(16, 5)
    assert board.strips == Strips(north="free")
    assert board_facts(board).grain_known
    assert not board_facts(BOARD).grain_known
    turned = measured_board(BOARD, Battens(2, 800, 25, 2.2), 0, Strips())
    assert turned.sheet is not None
    assert turned.sheet.grain == "short"
    again = measured_board(board, Battens(), 0, Strips(north="free"))
    assert again == board


def test_nothing_measured_changes_nothing() -> None:
    assert measured_board(BOARD, Battens(), 0, Strips()) == BOARD
    bare = evolve(BOARD, sheet=None)
    assert measured_board(bare, Battens(), 0, Strips()) == bare
    assert forgotten(measured_board(BOARD, Battens(), 3, Strips())) == BOARD


@given(*(st.floats(0, 400) for _ in range(4)), st.floats(0, 200))
def test_what_is_kept_can_be_written(
    weight: float, apart: float, along: float, across: float, mass: float
) -> None:
    """The file takes a stiffness from 0.01 to 100000 and decimals."""
    board = measured_board(BOARD, Battens(weight, apart, along, across), mass, Strips())
    assert board.sheet is not None
    for figure in (board.sheet.stiffness_long_nm, board.sheet.stiffness_short_nm):
        assert figure is None or Fraction(1, 100) <= figure <= 100_000
        assert figure is None or (100 * figure).denominator == 1
    assert stiffness_sentence(BOARD, Battens(weight, apart, along, across)).endswith(".")


def test_sheet_and_strips_in_the_file_change_the_model() -> None:
    tap = [BoardTap(Point(Fraction(200), Fraction(200)))]
    usual = felt_levels(BOARD, tap).level_db
    for other in (
        measured_board(BOARD, Battens(2, 800, 25, 2.2), 0, Strips()),
        evolve(BOARD, strips=Strips("free", "simple", "free", "elastic")),
    ):
        assert felt_levels(other, tap).level_db != usual
    assert felt_levels(evolve(BOARD, strips=Strips()), tap).level_db == usual


def test_readings_as_the_model_has_them_are_calibrated_and_others_not() -> None:
    taps = [BoardTap(spot.at) for spot in BOARD.spots]
    levels = [row[0] for row in phone_levels(BOARD, taps, ("A",)).level_db]
    alike = tuple(
        (spot.name, 0.37 * 10 ** (level / 20))
        for spot, level in zip(BOARD.spots, levels, strict=True)
    )
    good = phone_comparison(PhoneWish(BOARD, "A", alike))
    assert good.words == "calibrated"
    assert good.median_db == pytest.approx(0, abs=1e-6)
    shuffled = tuple(
        (name, value * factor)
        for (name, value), factor in zip(alike, (1, 3, 0.3, 9, 0.1), strict=True)
    )
    assert phone_comparison(PhoneWish(BOARD, "A", shuffled)).words == "not calibrated"
    few = phone_comparison(PhoneWish(BOARD, "A", alike[:3]))
    assert few.words == "not calibrated"
    unread = phone_comparison(PhoneWish(BOARD, "A", tuple((name, 0.0) for name, _ in alike)))
    assert unread.differences_db == ()
