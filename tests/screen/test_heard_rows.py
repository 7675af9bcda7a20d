"""What is heard from a row, and where what is heard is shown."""

from tapscore.rhythm.perform import perform
from tapscore.screen.folds import OPEN, Folds
from tapscore.screen.heard_rows import HeardRows
from tapscore.screen.rows import RowKind, rows_of
from tests.gui.listening.fakes import TWO_WAITS, story_of

STORY = story_of()
ROWS = rows_of(STORY)
HEARD = HeardRows(ROWS, perform(STORY))
"""Rows: 0 One, 1 and 2 lines, 3 wait, 4 return, 5 line, 6 Two, 7 line, 8 offer, 9 line,
10 the refrain, 11 and 12 its lines.  Segments: 0 1 lines, 2 wait, 3 4 return, 5 line,
6 line, 7 offer, 8 line."""


def test_every_segment_has_its_row() -> None:
    assert [h.row for h in HEARD.heard] == [1, 2, 3, 4, 4, 5, 7, 8, 9]
    assert [h.own_row for h in HEARD.heard] == [None] * 3 + [11, 12] + [None] * 4
    assert [h.section_row for h in HEARD.heard] == [0] * 6 + [6] * 3
    for heard, segment in zip(HEARD.heard, perform(STORY).segments, strict=True):
        shown = heard.own_row if heard.own_row is not None else heard.row
        assert ROWS[shown].path == segment.path


def test_a_return_is_crossed_once_by_all_its_lines() -> None:
    first, second = HeardRows(ROWS, perform(STORY)).heard[3:5]
    assert first.share_in_row(0) == 0
    assert first.share_in_row(1) == second.share_in_row(0) == 0.5
    assert second.share_in_row(1) == 1


def test_listening_begins_at_the_row_or_the_next_that_is_heard() -> None:
    found = [HEARD.from_row(row) for row in range(len(ROWS))]
    assert found == [0, 0, 1, 2, 3, 5, 6, 6, 7, 8, 3, 3, 4]


def test_a_line_a_return_and_a_refrains_own_line_can_be_looped() -> None:
    assert HEARD.line(1) == (0,)
    assert HEARD.line(4) == (3, 4)
    assert HEARD.line(12) == (4,)
    assert HEARD.line(0) == (0,)


def test_a_section_is_all_its_rows_and_a_refrain_one_return() -> None:
    assert HEARD.section(3) == (0, 1, 2, 3, 4, 5)
    assert HEARD.section(6) == HEARD.section(9) == (6, 7, 8)
    assert HEARD.section(10) == HEARD.section(12) == (3, 4)


def test_selected_rows_are_heard_in_the_storys_order() -> None:
    assert HEARD.selected([5, 1, 4]) == (0, 3, 4, 5)


def test_a_refrain_that_is_not_used_is_not_heard() -> None:
    story = story_of(TWO_WAITS.replace("      - refrain: back\n", ""))
    rows = rows_of(story)
    heard = HeardRows(rows, perform(story))
    for number, row in enumerate(rows):
        if row.kind is RowKind.REFRAIN or row.refrain:
            assert heard.from_row(number) is None
            assert heard.section(number) == ()


def test_after_a_refrain_that_is_not_used_no_other_one_is_heard() -> None:
    story = story_of(TWO_WAITS.replace("refrains:\n", "refrains:\n  unused:\n    - words: hm\n"))
    rows = rows_of(story)
    heard = HeardRows(rows, perform(story))
    (head,) = [n for n, row in enumerate(rows) if row.title == "unused"]
    assert [heard.from_row(head), heard.from_row(head + 1)] == [None, None]
    assert heard.from_row(head + 2) is not None, "the other one is used"


def test_a_refrain_within_a_refrain_keeps_the_count() -> None:
    nested = TWO_WAITS.replace(
        "story:\n", "  twice:\n    - refrain: back\n    - refrain: back\nstory:\n"
    ).replace(
        "      - refrain: back\n      - words: slow", "      - refrain: twice\n      - words: slow"
    )
    story = story_of(nested)
    rows = rows_of(story)
    performance = perform(story)
    heard = HeardRows(rows, performance).heard
    assert len(heard) == len(performance.segments) == 11
    assert [h.row for h in heard] == [1, 2, 3, 4, 4, 4, 4, 5, 7, 8, 9]
    widths = [h.width for h in heard if h.row == 4]
    assert sum(widths) == 1


def test_a_return_in_full_shows_each_line_where_it_is_heard() -> None:
    story = story_of(TWO_WAITS)
    rows = rows_of(story, OPEN)
    heard = HeardRows(rows, perform(story))
    inner = [number for number, row in enumerate(rows) if row.within is not None]
    assert inner
    shown = [h.inner_row for h in heard.heard if h.inner_row is not None]
    assert shown == inner
    for number in inner:
        segment = heard.from_row(number)
        assert segment is not None
        assert heard.heard[segment].inner_row == number
        assert heard.line(number) == (segment,)


def test_what_is_folded_away_is_heard_at_its_heading() -> None:
    story = story_of(TWO_WAITS)
    keys = frozenset(row.fold for row in rows_of(story) if row.fold and row.kind is RowKind.SECTION)
    rows = rows_of(story, Folds(keys))
    heard = HeardRows(rows, perform(story))
    assert len(heard.heard) == len(HeardRows(rows_of(story), perform(story)).heard)
    assert all(rows[h.row].kind is RowKind.SECTION for h in heard.heard)
    first = next(number for number, row in enumerate(rows) if row.kind is RowKind.SECTION)
    assert heard.from_row(first) == 0
