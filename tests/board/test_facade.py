"""What the rest of the program asks."""

import subprocess
import sys
from fractions import Fraction

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.board.bodies import body_of
from tapscore.board.facade import (
    BoardTap,
    board_facts,
    felt_levels,
    felt_map,
    phone_levels,
    places_on,
    tap_point,
)
from tapscore.board.measure import compare
from tapscore.model.board import Named, Place, Sheet
from tapscore.model.strokes import Stroke
from tests.board.boards import TWO_PLACES, at

TAPS = (
    BoardTap(at(600, 450)),
    BoardTap(at(200, 150), Stroke.HEEL_OF_HAND, Fraction(3)),
    BoardTap(at(1000, 150), Stroke.SWEEP, Fraction(5, 2), length_sec=1.2),
)


def test_nothing_heavy_is_imported_with_the_facade() -> None:
    code = (
        "import sys, tapscore.board.facade, tapscore.board.measure, tapscore.board.words; "
        "print(sorted({'numpy', 'scipy', 'threadpoolctl', 'platformdirs'} & set(sys.modules)))"
    )
    out = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert out.stdout.strip() == "[]"


def test_levels_by_tap_and_place() -> None:
    found = felt_levels(TWO_PLACES, TAPS)
    assert found.places == ("A", "B")
    assert [len(row) for row in found.level_db] == [2, 2, 2]
    assert abs(found.level_db[0][0]) < 8
    assert found.word(1, "A") == "much stronger"
    assert found.step_db(1, "A") >= 15


@settings(max_examples=10)
@given(st.permutations(range(3)))
def test_order_and_company_do_not_matter(order: list[int]) -> None:
    whole = felt_levels(TWO_PLACES, TAPS)
    mixed = felt_levels(TWO_PLACES, [TAPS[i] for i in order])
    for row, i in zip(mixed.level_db, order, strict=True):
        assert row == pytest.approx(whole.level_db[i], abs=1e-3)
        alone = felt_levels(TWO_PLACES, [TAPS[i]]).level_db[0]
        assert alone == pytest.approx(whole.level_db[i], abs=1e-3)


def test_asking_for_one_place_leaves_the_other_on_the_board() -> None:
    both, one = felt_levels(TWO_PLACES, TAPS), felt_levels(TWO_PLACES, TAPS, ["B"])
    assert one.places == ("B",)
    assert [row[0] for row in one.level_db] == [row[1] for row in both.level_db]


def test_accent_adds_two_decibels() -> None:
    plain, accented = felt_levels(
        TWO_PLACES, [BoardTap(at(300, 300)), BoardTap(at(300, 300), accent=True)]
    ).level_db
    assert accented[0] - plain[0] == pytest.approx(2, abs=0.3)


def test_board_without_places_has_no_levels() -> None:
    bare = evolve(TWO_PLACES, places=())
    beside = evolve(TWO_PLACES, places=(Place("A", at(600, 1200)),))
    for board in (None, bare, beside):
        found = felt_levels(board, TAPS)
        assert (found.places, found.level_db) == ((), ((), (), ()))
        assert felt_map(board, Stroke.KNUCKLES, Fraction(2), "A") is None
    assert places_on(beside) == ()
    assert felt_map(TWO_PLACES, Stroke.KNUCKLES, Fraction(2), "Z") is None


def test_points_beside_the_board_count_as_its_edge() -> None:
    taps = [BoardTap(at(600, 2000)), BoardTap(at(600, 900))]
    beside, edge = felt_levels(TWO_PLACES, taps).level_db
    assert beside == edge


def test_map_is_relative_to_the_same_tap_in_the_middle() -> None:
    found = felt_map(TWO_PLACES, Stroke.FLAT_HAND, Fraction(2), "A")
    other = felt_map(TWO_PLACES, Stroke.FLAT_HAND, Fraction(2), "B")
    assert found is not None
    assert other is not None
    assert found.middle_db == other.middle_db > 9
    middle = [10 ** (each.level_db[15:17, 15:17] / 10) for each in (found, other)]
    assert abs(sum(m.mean() for m in middle) / 2 - 1) < 0.35
    assert found.level_db.shape == (32, 32)
    assert len(found.words) == 32
    levels = felt_levels(TWO_PLACES, [BoardTap(at(18.75, 14.0625), Stroke.FLAT_HAND)])
    assert found.level_db[0, 0] + found.middle_db == pytest.approx(levels.level_db[0][0], abs=1e-2)
    assert not found.free[17, 9]
    assert found.free[2, 2]


def test_a_hand_reaches_the_board_where_no_pupil_is() -> None:
    """Whoever lies along one side, over the edge or across: by the body's own box."""
    places = (Place("A", at(300, 700), lying=True, head="east"), Place("B", at(1150, 250)))
    board = evolve(TWO_PLACES, places=places)
    found = felt_map(board, Stroke.FINGERTIPS, Fraction(2), "A")
    assert found is not None
    boxes = [body_of(place, board).box for place in places]
    for row in range(32):
        for column in range(32):
            x, y = (column + 0.5) * 1200 / 32, (row + 0.5) * 900 / 32
            under = any(w <= x <= e and s <= y <= n for w, s, e, n in boxes)
            assert found.free[row, column] == (not under)


def test_a_changed_spot_or_seat_keeps_the_levels() -> None:
    moved = evolve(TWO_PLACES, spots=(), seats=(Named("east", at(1200, 450)),))
    assert felt_levels(moved, TAPS) == felt_levels(TWO_PLACES, TAPS)


def test_facts() -> None:
    facts = board_facts(TWO_PLACES)
    assert (facts.described, facts.grain_known, facts.assumed) == (True, True, ())
    assert [name for name, _ in facts.sag.at_mm] == ["A", "B"]
    assert not board_facts(None).described
    assert not board_facts(evolve(TWO_PLACES, sheet=None)).grain_known


def test_a_very_large_board_says_what_its_map_leaves_out() -> None:
    large = evolve(TWO_PLACES, width_mm=Fraction(5000), depth_mm=Fraction(4000))
    (said,) = board_facts(large).assumed
    assert 200 < int(said.split()[2]) < 400
    assert said.startswith("nothing above")


def test_where_a_tap_lands() -> None:
    assert tap_point(TWO_PLACES, "near left", "south") == at(200, 150)
    assert tap_point(TWO_PLACES, None, "south") == at(600, 150)
    assert tap_point(TWO_PLACES, "nowhere", None) == at(600, 450)
    assert tap_point(None, None, "south") == at(600, 600)


def test_longer_and_louder_rubs_add_up() -> None:
    # Twice as long is 3 dB more up to a second; a step of a rub is 3.5 dB (0.1 to 0.5 N rms).
    kinds = ((2, 0.5), (2, 1.0), (2, 5.0), (3, 0.5))
    taps = [
        BoardTap(at(300, 300), Stroke.SCRATCH, Fraction(level), length_sec=sec)
        for level, sec in kinds
    ]
    usual, longer, longest, louder = (row[0] for row in felt_levels(TWO_PLACES, taps).level_db)
    assert longer - usual == pytest.approx(3.01, abs=0.01)
    assert longest == longer
    assert louder - usual == pytest.approx(3.5, abs=0.01)


def test_a_phone_reads_other_levels_but_the_same_order_of_loudness() -> None:
    taps = [BoardTap(at(300, 300), Stroke.FLAT_HAND, Fraction(level)) for level in range(5)]
    felt, read = felt_levels(TWO_PLACES, taps), phone_levels(TWO_PLACES, taps)
    assert felt.places == read.places
    assert felt.level_db != read.level_db
    rows = [row[0] for row in read.level_db]
    assert rows == sorted(rows)


def test_readings_made_from_the_model_are_calibrated() -> None:
    points = {"a": at(300, 200), "b": at(900, 200), "c": at(600, 750), "d": at(1100, 450)}
    taps = [BoardTap(point, Stroke.KNUCKLES) for point in points.values()]
    levels = [row[0] for row in phone_levels(TWO_PLACES, taps, ["A"]).level_db]
    model = dict(zip(points, levels, strict=True))
    assert compare({spot: level + 31 for spot, level in model.items()}, model).calibrated
    grain = evolve(TWO_PLACES, sheet=Sheet("birch", Fraction(4), 3, "short"))
    other = [row[0] for row in phone_levels(grain, taps, ["A"]).level_db]
    assert other != pytest.approx(levels, abs=1.0)
