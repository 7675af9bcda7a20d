"""Sag, and what a teacher measures."""

from fractions import Fraction

import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st

from tapscore.board.default_board import DEFAULT_BOARD
from tapscore.board.facade import board_facts
from tapscore.board.measure import compare, grain_from, reading_db, stiffness_nm
from tapscore.board.pupils import Patch
from tapscore.board.sag import sag
from tapscore.board.stiffness import isotropic
from tapscore.model.board import Place
from tests.board.boards import BIRCH, at, patches_at

ONE = Place("A", at(600, 600))


def middle_patch() -> Patch:
    return patches_at(ONE)[0]


def test_child_in_the_middle() -> None:
    # The board's notes: 15 kg in the middle of 4 mm birch, 1.2 m, sinks about 12 mm; a child
    # of three weighs 14.1 kg.
    light = evolve(DEFAULT_BOARD, places=(ONE,), oldest_years=3)
    found = board_facts(light).sag
    assert found.deepest_mm == pytest.approx(11.6, abs=0.3)
    assert found.at_mm[0][1] < found.deepest_mm
    assert (found.gap_mm, found.may_touch) == (20, False)
    assert board_facts(evolve(light, oldest_years=7)).sag.deepest_mm > found.deepest_mm + 1
    low = board_facts(evolve(light, gap_mm=Fraction(15))).sag
    assert low.may_touch
    unknown = board_facts(evolve(light, gap_mm=None)).sag
    assert unknown.may_touch is None


def test_small_sag_against_timoshenko() -> None:
    # A point load in the middle of a simply held square: 0.01160 P a^2 / D (Timoshenko, from
    # memory).  One mode gives 0.01027 and a patch a little less.
    plate = isotropic(1.2, 1.2, 5e5, 0.3, 10)
    found = sag(plate, (1e9, 1e9), (middle_patch(),), None).deepest_mm / 1000
    coefficient = found * 5e5 / (18.5 * 9.81 * 1.2**2)
    assert 0.0095 < coefficient < 0.01160


def test_stretching_takes_over_when_the_sheet_sinks_far() -> None:
    stiff, soft = (
        sag(BIRCH, stretch, (middle_patch(),), None).deepest_mm
        for stretch in ((4.6e7, 2.4e7), (0.0, 0.0))
    )
    assert soft > 5 * stiff


def test_two_battens() -> None:
    # The board's notes: 1.9 mm a kilogram along the grain, 31 across (1 m apart, 1.2 m wide).
    assert stiffness_nm(1, 1000, 1200, 1.9) == pytest.approx(BIRCH.d11_nm, rel=0.03)
    assert stiffness_nm(1, 1000, 1200, 31) == pytest.approx(BIRCH.d22_nm, rel=0.03)
    half_as_far = stiffness_nm(1, 500, 1200, 1.9)
    assert half_as_far == pytest.approx(stiffness_nm(1, 1000, 1200, 1.9) / 8)
    with pytest.raises(ValueError, match="above 0"):
        stiffness_nm(1, 1000, 1200, 0)


def test_grain_is_the_stiffer_way() -> None:
    assert grain_from(88, 5.5) == "long"
    assert grain_from(5.5, 88) == "short"
    assert grain_from(10, 9.5) == "not known"


MODEL = {"middle": 0.0, "near": -6.0, "far": 3.0, "left": -12.0}


@given(st.floats(-40, 40), st.permutations(list(MODEL)))
def test_a_phones_own_scale_does_not_matter(shift: float, order: list[str]) -> None:
    found = compare({spot: MODEL[spot] + shift for spot in order}, MODEL)
    assert found.calibrated
    assert found.median_db == pytest.approx(0, abs=1e-9)


def test_comparison() -> None:
    near = compare({"middle": 3.0, "near": -9.0, "far": 1.0, "left": -9.5}, MODEL)
    assert (near.words, near.calibrated) == ("calibrated", True)
    far = compare({"middle": -9.0, "near": 6.0, "far": -9.0, "left": 4.0}, MODEL)
    assert far.words == "not calibrated"
    assert far.sentence.startswith("Not calibrated: readings and model differ by 12 dB")
    few = compare({"middle": 0.0, "near": -6.0, "elsewhere": 1.0}, MODEL)
    assert not few.calibrated
    assert few.median_db is None
    assert "2 spots" in few.sentence
    assert compare({}, MODEL).differences_db == ()


@pytest.mark.parametrize(("out_db", "calibrated"), [(3.9, True), (4.1, False)])
def test_half_of_the_spots_within_four_decibels(out_db: float, calibrated: bool) -> None:
    """After the shift two spots are out by as much on either side, the others not at all."""
    readings = {"middle": out_db, "near": -6.0 - out_db, "far": 3.0 + out_db, "left": -12 - out_db}
    found = compare(readings, MODEL)
    assert found.median_db == pytest.approx(out_db)
    assert found.calibrated is calibrated


def test_reading() -> None:
    assert reading_db(10.0) == pytest.approx(20)
    with pytest.raises(ValueError, match="above 0"):
        reading_db(0)
