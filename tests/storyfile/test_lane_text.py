"""Lanes as text and back; the notation is on the page ``tapscore help lane``."""

import re
from fractions import Fraction

import pytest
from hypothesis import given, settings

from tapscore.model.lane import Lane, Mark, lane_events
from tapscore.model.loudness import Loudness
from tapscore.model.metre import Metre
from tapscore.model.strokes import Stroke
from tapscore.resources import resource_path
from tapscore.storyfile.lane_text import Names, lane_columns, lane_text, parse_lane
from tests.strategies import Cast, Maker, seeds

NOBODY = Names()
SIX_EIGHT = Metre(6, 8)


def _lane(text: str, names: Names = NOBODY) -> Lane:
    lane, problems = parse_lane(text, names)
    assert problems == []
    assert lane is not None
    return lane


@given(seeds)
@settings(max_examples=200)
def test_write_then_read(seed: int) -> None:
    cast = Cast(("leader", "second tapper"), ("middle", "near edge"), (), ())
    lane = Maker(seed, ["x"]).lane(seed % 9, cast)
    text = lane_text(lane)
    assert _lane(text, Names(cast.spots, cast.roles)) == lane
    cells = sum(len(step) for bar in lane.all_bars for step in bar)
    columns = lane_columns(text)
    assert len(columns) == cells
    assert all(text[column].lower() in "xts._" for column in columns)


def test_spaces_between_marks_do_not_matter() -> None:
    assert _lane("|X   .  x|X . .|") == _lane("| X . x | X . . |")
    assert _lane("| X . x | X . .") == _lane("| X . x | X . . |")


def test_marks_side_by_side_share_a_step() -> None:
    lane = _lane("| xx x__x xxx |")
    assert [len(step) for step in lane.bars[0]] == [2, 4, 3]
    onsets = [event.onset_beats for event in lane_events(lane, SIX_EIGHT)]
    # a step of 6/8 is a third of the felt beat
    assert onsets == [
        *[Fraction(0), Fraction(1, 6), Fraction(1, 3), Fraction(7, 12)],
        *[Fraction(6, 9), Fraction(7, 9), Fraction(8, 9)],
    ]


def test_hold_makes_the_mark_before_it_longer_over_a_bar_line() -> None:
    events = lane_events(_lane("| X . x _ _ _ | _ x . . . . |"), SIX_EIGHT)
    assert [event.length_beats for event in events] == [
        Fraction(1, 3),
        Fraction(5, 3),
        Fraction(1, 3),
    ]


def test_pickup_counts_back_from_the_first_bar_line() -> None:
    events = lane_events(_lane("x x | X . . . . . |"), SIX_EIGHT)
    assert [(e.bar, e.onset_beats, e.position_beats) for e in events] == [
        (0, Fraction(0), Fraction(4, 3)),
        (0, Fraction(1, 3), Fraction(5, 3)),
        (1, Fraction(2, 3), Fraction(0)),
    ]


def test_said_and_tapped() -> None:
    events = lane_events(_lane("| x t s X T . |"), SIX_EIGHT)
    assert [event.syllable for event in events] == [0, None, 1, 2, None]
    assert [event.cell.mark.tapped for event in events] == [True, True, False, True, True]
    assert [event.cell.accent for event in events] == [False, False, False, True, True]


def test_the_reference_page_tells_the_truth() -> None:
    """Every rhythm printed by ``tapscore help lane`` can be read, and every mark is there."""
    page = resource_path("lane.txt").read_text(encoding="utf-8")
    names = Names(("near edge",), ("second tapper", "beat-keeper"))
    lanes = re.findall(r'"([^"]*\|[^"]*)"', page)
    assert len(lanes) >= 5
    for text in lanes:
        _lane(text, names)
    for mark in Mark:
        assert re.search(rf"(?m)^  {re.escape(mark.value)}  ", page)
    for name, steps in re.findall(r"(\d+/\d) (two|three|four|six|eight|nine|ten|twelve)", page):
        words = ["two", "three", "four", "six", "eight", "nine", "ten", "twelve"]
        wanted = [2, 3, 4, 6, 8, 9, 10, 12][words.index(steps)]
        count, unit = name.split("/")
        assert Metre(int(count), int(unit)).steps == wanted


@pytest.mark.parametrize("text", ["xx x | X |", "| s(loud) |", "| x(loud) x( quiet , sweep ) |"])
def test_columns_point_at_marks(text: str) -> None:
    assert [text[c] for c in lane_columns(text)] == re.findall(
        r"[XxTts._]", re.sub(r"\([^)]*\)", "", text)
    )


BOTH = Names(("middle", "edge"), ("leader", "helper"))


def test_two_adults_tap_differently_at_once() -> None:
    text = "| x(helper: knuckles; leader: loud, flat hand) . |"
    lane, problems = parse_lane(text, BOTH)
    assert problems == []
    assert lane is not None
    assert lane_text(lane) == text
    detail = lane.bars[0][0][0].detail
    assert detail is not None
    assert detail.adults == ("helper", "leader")
    assert detail.of("helper").stroke is Stroke.KNUCKLES
    assert detail.of("leader").loudness is Loudness.LOUD


@pytest.mark.parametrize(
    ("marks", "case", "column"),
    [
        ("x(loud, quiet)", "twice", 10),
        ("x(knuckles, flat hand)", "twice", 14),
        ("x(middle, edge)", "twice", 12),
        ("x(leader: loud, quiet)", "twice", 18),
        ("x(nurse: loud)", "no-role", 4),
        ("x(leader: helper)", "adult-of-adult", 12),
    ],
)
def test_contradictory_brackets_are_found_where_they_stand(
    marks: str, case: str, column: int
) -> None:
    lane, problems = parse_lane(f"| {marks} . |", BOTH)
    assert lane is None
    assert [(problem.about["case"], problem.column) for problem in problems] == [(case, column)]


def test_the_same_word_twice_is_no_contradiction() -> None:
    assert parse_lane("| x(loud, loud) . |", BOTH)[1] == []
