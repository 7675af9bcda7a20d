"""The share of its strength that a sheet works at."""

from math import log, pi, sqrt

import pytest
from attrs import evolve

from tapscore.board.facade import board_facts
from tapscore.board.sag import sag
from tapscore.board.stiffness import isotropic
from tapscore.board.working_load import load_share
from tapscore.model.board import Place
from tests.board.boards import TWO_PLACES, at, patches_at


def test_a_stiff_square_sheet_against_the_handbook() -> None:
    # Roark, simply supported square plate, load W on a circle of radius r in the middle:
    # stress = 3 W / (2 pi t^2) ((1 + v) ln(2 b / (pi r)) + 0.435), v = 0.3 (from memory).
    plate = isotropic(1.2, 1.2, 1e6, 0.3, 10)
    patches = patches_at(Place("A", at(600, 600)))
    radius_m = sqrt(0.268**2 / pi)
    weight_n = 18.5 * 9.81
    stress = 3 * weight_n / (2 * pi * 0.02**2) * (1.3 * log(2.4 / (pi * radius_m)) + 0.435)
    share = load_share(plate, (0.0, 0.0), patches, 20, grain_along_x=True)
    assert share == pytest.approx(stress / 33.2e6, rel=0.01)
    assert load_share(plate, (0.0, 0.0), (), 20, grain_along_x=True) == 0


def test_the_others_on_the_sheet_count_as_if_spread_evenly() -> None:
    """Timoshenko: 0.05 q b^2 (from memory); what bends more where another pupil lies, too."""
    plate = isotropic(1.2, 1.2, 1e6, 0.3, 10)
    both = patches_at(Place("A", at(600, 600)), Place("B", at(200, 600)))
    alone, two = (
        load_share(plate, (0.0, 0.0), patches, 20, grain_along_x=True)
        for patches in (both[:1], both)
    )
    evenly = 0.05 * 18.5 * 9.81 * 6 / 0.02**2 / 33.2e6
    assert two - alone == pytest.approx(evenly, rel=0.01)


def test_the_weak_way_of_a_thin_sheet_counts() -> None:
    """Across its outer layers' grain 4.5 mm birch has 10.6 MPa, along it 65.9 (from memory).

    Sixteen times as stiff along x as along y, twice the usual stress runs along x and half of
    it along y: with the grain along y the double one meets the weak way, else the half one.
    """
    plate = evolve(isotropic(1.2, 1.2, 1e4, 0.0, 2), d11_nm=16e4)
    patches = patches_at(Place("A", at(600, 600)))
    along_x, along_y = (
        load_share(plate, (0.0, 0.0), patches, 4.5, grain_along_x=way) for way in (True, False)
    )
    assert along_y == pytest.approx(4 * along_x)


def test_what_stretches_a_sheet_eases_its_bending() -> None:
    """As the sag is less, and the arc pulls: N / t (pi w / L)^2 / 8 (as ``sag`` has it).

    Alike both ways, and 4 mm of birch in the weaker: 10.6 MPa.
    """
    plate = isotropic(1.2, 1.2, 60.0, 0.3, 2.7)
    patches, stretch = patches_at(Place("A", at(600, 600))), (2e6, 2e6)
    deep, free = (sag(plate, pull, patches, None).deepest_mm for pull in (stretch, (0.0, 0.0)))
    assert deep < 0.7 * free
    pull_mpa = 2e6 / 0.004 / 1e6 * (pi * deep / 1000 / 1.2) ** 2 / 8
    bent, whole = (
        load_share(plate, pull, patches, 4, grain_along_x=True) for pull in ((0.0, 0.0), stretch)
    )
    assert whole == pytest.approx(bent * deep / free + pull_mpa / 10.6)


def test_more_and_heavier_pupils_take_more() -> None:
    young, old = (board_facts(evolve(TWO_PLACES, oldest_years=years)) for years in (3, 7))
    alone = board_facts(evolve(TWO_PLACES, oldest_years=3, places=TWO_PLACES.places[:1]))
    assert alone.load_share < young.load_share < old.load_share
    assert board_facts(evolve(TWO_PLACES, places=())).load_share == 0
