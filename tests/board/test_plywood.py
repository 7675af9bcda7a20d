"""Plywood: tables, layers that cross, what is assumed."""

from fractions import Fraction

import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st

from tapscore.board.default_board import DEFAULT_BOARD
from tapscore.board.plywood import (
    WOODS,
    Measured,
    Wood,
    bending_gpa,
    describe,
    measured_of,
    usual_plies,
)
from tapscore.model.board import Sheet
from tests.board.boards import TWO_PLACES


def test_birch_from_the_table() -> None:
    # The board's notes, from memory: 16.5 / 1.03, 12.7 / 4.8, 11.4 / 6.1 GPa.
    birch = WOODS["birch"]
    assert [bending_gpa(birch, n) for n in (3, 5, 7)] == [(16.5, 1.03), (12.7, 4.8), (11.4, 6.1)]


def test_layers_that_cross_give_nearly_the_table() -> None:
    # Laminate theory from one layer's moduli, against the trade table (both from memory).
    bare = Wood(17.1, 0.41, 0.62, 0.17, 680)
    assert bending_gpa(bare, 3) == pytest.approx((16.5, 1.03), rel=0.01)
    assert bending_gpa(bare, 5) == pytest.approx((12.7, 4.8), rel=0.2)
    assert bending_gpa(bare, 7) == pytest.approx((11.4, 6.1), rel=0.2)


@given(st.integers(0, 12), st.floats(3, 20), st.floats(0.1, 2))
def test_both_ways_share_the_layers(half: int, along: float, across: float) -> None:
    found = bending_gpa(Wood(along, across, 1, 0.1, 500), 2 * half + 1)
    assert sum(found) == pytest.approx(along + across)
    assert found[0] >= found[1] - 1e-9


def test_two_layers_that_run_alike_in_the_middle() -> None:
    """Of four equal layers the outer two hold 7/8 of the second moment, and half the sheet."""
    poplar = WOODS["poplar"]
    assert bending_gpa(poplar, 4) == pytest.approx((7 / 8 * 9 + 0.4 / 8, 7 / 8 * 0.4 + 9 / 8))
    sheet = Sheet("poplar", Fraction(4), 4, "long")
    made = describe(evolve(DEFAULT_BOARD, sheet=sheet))
    assert made.stretch_n_per_m == pytest.approx((4.7 * 4e6,) * 2)


def test_plies_that_a_sheet_usually_has() -> None:
    """From memory, as what is assumed where nobody counts them."""
    thick_mm = (4, 5, 5.1, 8, 9, 10.5, 12, 13.5, 18)
    assert [usual_plies(each) for each in thick_mm] == [3, 3, 5, 5, 7, 7, 9, 9, 11]


def test_what_a_teacher_measured_is_taken_as_it_is() -> None:
    figures = Fraction(30), Fraction(4), Fraction(5, 2)
    own = Sheet("birch", None, None, None, *figures)
    assert measured_of(own) == Measured(30.0, 4.0, 2.5)
    assert measured_of(Sheet("birch")) == measured_of(None) == Measured()


def test_default_board_is_wholly_described() -> None:
    found = describe(DEFAULT_BOARD)
    assert (found.assumed, found.grain_known) == ((), True)
    assert found.plate.d11_nm == pytest.approx(16.5e9 * 0.004**3 / 12)
    assert found.plate.d22_nm == pytest.approx(1.03e9 * 0.004**3 / 12)
    assert found.plate.mass_kg_per_m2 == pytest.approx(2.72)


def test_grain_turns_with_the_longer_side() -> None:
    upright = evolve(TWO_PLACES, width_mm=Fraction(900), depth_mm=Fraction(1200))
    short = evolve(TWO_PLACES, sheet=Sheet("birch", Fraction(4), 3, "short"))
    wide, tall, across = (describe(board).plate for board in (TWO_PLACES, upright, short))
    assert wide.d11_nm > 10 * wide.d22_nm
    assert (tall.d11_nm, tall.d22_nm) == (wide.d22_nm, wide.d11_nm)
    assert (across.d11_nm, across.d22_nm) == (wide.d22_nm, wide.d11_nm)
    assert describe(short).stretch_n_per_m == describe(TWO_PLACES).stretch_n_per_m[::-1]


def test_what_is_not_said_is_assumed_and_told() -> None:
    found = describe(evolve(TWO_PLACES, sheet=None))
    assert not found.grain_known
    assert found.assumed == (
        "wood: birch",
        "thickness: 4 mm",
        "layers: 3",
        "grain: along the longer side",
    )
    odd = describe(evolve(TWO_PLACES, sheet=Sheet("teak", Fraction(9), 7, "not known")))
    assert odd.assumed == ("wood: birch in place of teak", "grain: along the longer side")


def test_own_figures_come_first() -> None:
    own = Measured(along_long_nm=70, along_short_nm=6, mass_kg=2.5)
    found = describe(evolve(TWO_PLACES, sheet=None), own)
    assert (found.plate.d11_nm, found.plate.d22_nm) == (70, 6)
    assert found.plate.mass_kg == pytest.approx(2.5)
    assert found.grain_known
