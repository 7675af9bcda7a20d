"""Suggestions: found in the maps, true in the levels."""

from fractions import Fraction

import numpy as np
import pytest
from attrs import evolve

from tapscore.board import suggest
from tapscore.board.facade import FeltMap, felt_map
from tapscore.board.suggest import alike, suggestions, zone_name, zones_db
from tapscore.model.board import Place
from tapscore.model.strokes import Stroke
from tests.board.boards import TWO_PLACES, at


def test_names_of_zones() -> None:
    assert zone_name(1, 1) == "in the middle"
    assert zone_name(1, 0) == "near the left edge"
    assert zone_name(0, 2) == "near the bottom right corner"
    assert zone_name(2, 1) == "near the top edge"


def test_zones_leave_out_what_lies_under_a_pupil() -> None:
    levels = np.zeros((32, 32))
    levels[:, :11] = 9.0
    free = np.ones((32, 32), bool)
    free[11:21, 11:21] = False
    zones = zones_db(FeltMap("A", levels, 0.0, free))
    assert np.isnan(zones[1, 1])
    assert zones[:, 0] == pytest.approx([9.0, 9.0, 9.0])
    assert zones[:, 2] == pytest.approx([0.0, 0.0, 0.0])


def test_strongest_even_part_is_named() -> None:
    one = np.array([[9.0, 0, 0], [0, 3, 0], [0, 0, 0]])
    other = np.array([[0.0, 9, 9], [9, 2, 9], [9, 9, 9]])
    assert list(alike([one, other])) == ["In the middle both places get about the same."]
    assert list(alike([one, one])) == [
        "Near the bottom left corner both places get about the same."
    ]
    uneven = list(alike([one * 0 + 20, other]))
    assert uneven[0].startswith("Nowhere do both places get the same; it comes nearest")
    assert "all 3 places" in next(alike([one, one, one]))


def test_where_both_get_next_to_nothing_they_do_not_get_the_same() -> None:
    """What is weak, -15 dB and less, is no place to tap, however even it is."""
    one = np.full((3, 3), -20.0)
    one[1] = -15.0
    (said,) = alike([one, one])
    assert said.startswith("Nowhere")
    one[2, 2] = -14.9
    assert list(alike([one, one])) == ["Near the top right corner both places get about the same."]


def test_mirrored_places_get_the_same_in_between() -> None:
    board = evolve(TWO_PLACES, places=(Place("A", at(250, 450)), Place("B", at(950, 450))))
    said = suggestions(board, Stroke.FINGERTIPS, Fraction(2))
    assert any("both places get about the same" in sentence for sentence in said)
    maps = [felt_map(board, Stroke.FINGERTIPS, Fraction(2), name) for name in "AB"]
    middles = [zones_db(each)[:, 1] for each in maps if each is not None]
    assert middles[0] == pytest.approx(middles[1], abs=0.05)


@pytest.mark.parametrize(("best_db", "said"), [(2.9, 0), (3.1, 1), (-3.1, 0)])
def test_a_place_is_told_where_most_is_felt_from_a_step_above_the_middle_on(
    best_db: float, said: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    levels = np.full((32, 32), -6.0)
    levels[21:, :11] = best_db
    free = np.ones((32, 32), bool)
    monkeypatch.setattr(suggest, "felt_map", lambda *of: FeltMap(of[-1], levels, 0.0, free))
    board = evolve(TWO_PLACES, places=TWO_PLACES.places[:1])
    found = suggestions(board, Stroke.FINGERTIPS, Fraction(2))
    assert found == ("A gets the most from taps near the top left corner.",) * said


def test_no_places_no_suggestions() -> None:
    bare = evolve(TWO_PLACES, places=())
    assert suggestions(bare, Stroke.FINGERTIPS, Fraction(2)) == ()
    one = evolve(TWO_PLACES, places=TWO_PLACES.places[:1])
    assert all("both" not in said for said in suggestions(one, Stroke.KNUCKLES, Fraction(2)))
