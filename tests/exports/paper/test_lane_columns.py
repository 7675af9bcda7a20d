from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.exports.paper.lane_columns import JOINER, PrintedColumn, columns, rows
from tapscore.model.story import Line, Role, Section, Story
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Segment
from tests.exports.paper.paper_samples import lane
from tests.exports.paper.paper_strategies import lines


def segment_of(line: Line) -> Segment:
    story = Story("Test", roles=(Role("leader"),), sections=(Section("One", (line,)),))
    return perform(story).segments[0]


def wide_marks(column: PrintedColumn) -> float:
    return 30.0 if column.event is not None else 0.0


@given(lines, st.sampled_from([120.0, 300.0, 540.0]))
def test_no_event_or_syllable_is_lost_and_nothing_overlaps(line: Line, width: float) -> None:
    segment = segment_of(line)
    wanted = columns(segment, lambda _: True)
    laid = rows(wanted, wide_marks, size_pt=40, width=width)
    events = [c.column.event for row in laid for c in row.columns if c.column.event is not None]
    assert events == [c.event for c in wanted if c.event is not None]
    assert {tap.event for tap in segment.taps} <= set(events)
    printed = "".join(c.column.text for row in laid for c in row.columns)
    expected = "".join(syllable.text for syllable in line.syllables)
    assert printed.replace("-", "").replace(JOINER, "") == expected.replace("-", "")
    for row in laid:
        assert row.width <= width + 0.02 or len(row.columns) == 1
        for left, right in zip(row.columns, row.columns[1:], strict=False):
            assert left.right <= right.x
        for column in row.columns:
            assert column.text_width <= column.width + 0.01


def test_a_tap_stands_in_the_middle_of_its_syllable() -> None:
    laid = rows(
        columns(segment_of(Line("lan-tern boat", lane("| x x x . |"))), lambda _: True),
        wide_marks,
        size_pt=40,
        width=500,
    )
    (row,) = laid
    assert [c.column.text for c in row.columns] == ["lan", "tern", "boat"]
    assert [c.dot_after is not None for c in row.columns] == [True, False, False]
    for column in row.columns:
        text_left = column.x + (column.width - column.text_width) / 2
        assert abs(text_left + column.text_width / 2 - column.centre) < 1e-9


def test_taps_alone_stand_between_and_others_taps_are_left_out() -> None:
    segment = segment_of(Line("drip drop", lane("| x t x t |")))
    mine = columns(segment, lambda event: event == 1)
    assert [c.text for c in mine] == ["drip", "", "drop"]


def test_words_the_lane_has_no_room_for_are_still_printed() -> None:
    wanted = columns(segment_of(Line("one two three", lane("| x x . . |"))), lambda _: True)
    assert [c.text for c in wanted] == ["one", "two", "three"]
    assert wanted[-1].event is None


def test_a_word_wider_than_the_row_breaks_at_a_syllable_with_a_hyphen() -> None:
    word = "hul-la-ba-loo-ing"
    laid = rows(
        columns(segment_of(Line(word, lane("| x x x x x . |"))), lambda _: True),
        wide_marks,
        size_pt=40,
        width=170,
    )
    assert len(laid) > 1
    assert laid[0].columns[-1].column.text.endswith("-")
    assert laid[-1].columns[-1].column.text == "ing"
    spoken = [c.column.spoken for row in laid for c in row.columns]
    assert spoken == ["hullabalooing", "", "", "", ""]


@pytest.mark.parametrize("letters", range(1, 60))
def test_a_syllable_wider_than_the_row_is_cut_to_fit_it(letters: int) -> None:
    """However long: once, twice or oftener, with a hyphen at each cut and no letter lost."""
    whole = "".join("mwiltearoo"[i % 10] for i in range(letters))
    line = Line(f"a {whole}-la b", lane("| x x x x . . |"))
    laid = rows(columns(segment_of(line), lambda _: True), wide_marks, size_pt=40, width=170)
    assert all(row.width <= 170.02 for row in laid)
    for row in laid:
        assert all(one.right <= other.x for one, other in pairwise(row.columns))
    *texts, la = [c.column.text for row in laid for c in row.columns][1:-1]
    texts[-1] = texts[-1].removesuffix("-")
    assert la == "la"
    assert "".join(text.removesuffix("-") for text in texts) == whole
    assert all(text.endswith("-") for text in texts[:-1])
    assert [c.column.event for row in laid for c in row.columns if c.column.event is not None] == [
        *range(4)
    ]
