"""The editor's rows and what is said of them: one small story told out by hand."""

import pytest
from attrs import evolve

from tapscore.model.story import Story
from tapscore.screen.folds import OPEN, PLAIN, Folds
from tapscore.screen.rows import (
    EMPTY_SECTION,
    EMPTY_STORY,
    Row,
    RowKind,
    Written,
    items_inside,
    row_text,
    rows_of,
    tap_name,
    tap_text,
    tapped_words,
)
from tapscore.screen.what_changes import what_changes
from tapscore.storyfile.read import read_text

TEXT = """\
tapscore: 2
title: Small
metre: 2/4
tempo: 60
loudness: quiet
roles: {leader: , helper: }
props: {cup: {what: cup}}
refrains:
  home:
    - {words: row, lane: "| X . x . |"}
    - {wait: 5}
  both:
    - {refrain: home}
    - {words: after}
story:
  - section: One
    lines:
      - {words: la lan-tern, lane: "x | X s t . |", spot: mid, by: [leader, helper], metre: 2/4}
      - {refrain: home}
      - {wait: 2.5, look for: a look}
  - section: Two
    tempo: 50
    lines:
      - words: Splash!
        lane: "| X(loud, knuckles) . . . |"
        warn first: hands up
        warned by: helper
        says: [helper, leader]
        do: lift it
        done by: [helper, leader]
        look for: a laugh
        prop in: {cup: mid}
        prop out: cup
      - {offer: cup, turn: 20, look for: a reach}
      - {refrain: both}
      - {refrain: nowhere}
  - section: Three
board: {size_cm: [90, 90], spots: {mid: [45, 45]}}
"""
K = RowKind
SHORT = {
    K.SECTION: "#", K.LINE: "-", K.RETURN: ">", K.WAIT: "w", K.OFFER: "o", K.UNREAD: "?",
    K.REFRAIN: "=", K.HINT: "!",
}  # fmt: skip


@pytest.fixture(scope="module")
def story() -> Story:
    found = read_text(TEXT).story
    assert found is not None
    return found


def shown(rows: tuple[Row, ...]) -> str:
    return "".join(SHORT[row.kind] for row in rows)


def test_rows_stand_in_the_storys_order_then_the_refrains(story: Story) -> None:
    rows = rows_of(story)
    assert shown(rows) == "#->w#-o>>#!=-w=>-"
    assert [row.title for row in rows if row.title] == [
        *("One", "home", "Two", "both", "nowhere", "Three", EMPTY_SECTION, "home", "both", "home"),
    ]
    assert [row.number for row in rows if row.line] == [1, 2, None, None]
    assert [row.refrain for row in rows] == [None] * 12 + ["home", "home"] + [None] + ["both"] * 2
    assert {row.within for row in rows} == {None}
    assert {row.folded for row in rows} == {None}
    assert rows[10].path == ("story", 2, "lines", 0)
    assert rows[5].manner.tempo.start == 50
    assert rows[4].section_manner.tempo is not None
    assert rows[4].manner.tempo.start == 50
    assert rows[0].manner.tempo.start == rows[11].manner.tempo.start == 60


def test_returns_in_full_and_sections_folded(story: Story) -> None:
    rows = rows_of(story, OPEN)
    assert shown(rows) == "#->-ww#-o>-w->#!=-w=>-"
    assert [row.within for row in rows if row.within] == [
        *[("story", 0, "lines", 1)] * 2,
        *[("story", 1, "lines", 2)] * 3,
    ]
    folded = rows_of(story, PLAIN.with_section(("Two", 0), shown=False))
    assert shown(folded) == "#->w##!=-w=>-"
    assert [row.folded for row in folded if row.kind is K.SECTION] == [None, 4, None]
    # a return is folded while something else is shown in full
    assert [row.folded for row in folded if row.kind is K.RETURN] == [2, None]
    assert row_text(folded[4]) == "Section Two. 4 rows folded away"
    assert shown(items_inside(story, folded[4])) == "-o>>"
    assert items_inside(story, folded[1]) == ()
    assert [row.fold for row in rows if row.fold] == [
        *(("One", 0), ("home", 0), ("Two", 0), ("both", 0), ("Three", 0)),
    ]
    one = rows_of(story, OPEN.with_return(("home", 0), shown=False))
    assert shown(one) == "#->w#-o>-w->#!=-w=>-"


def test_an_empty_story_has_a_hint_alone() -> None:
    (row,) = rows_of(Story("T"))
    assert (row.kind, row_text(row)) == (K.HINT, EMPTY_STORY)


def test_what_is_folded_by_its_name_and_which_of_that_name() -> None:
    key, other = ("One", 0), ("One", 1)
    folds = PLAIN.with_section(key, shown=False)
    assert (folds.shows_section(key), folds.shows_section(other)) == (False, True)
    assert folds.with_section(key, shown=True) == PLAIN
    assert not PLAIN.shows_return(key)
    opened = PLAIN.with_return(key, shown=True)
    assert (opened.shows_return(key), opened.shows_return(other)) == (True, False)
    assert opened.with_return(key, shown=False) == PLAIN
    closed = OPEN.with_return(key, shown=False)
    assert (closed.shows_return(key), closed.shows_return(other)) == (False, True)
    assert closed.with_return(key, shown=True) == OPEN
    assert OPEN.with_return(key, shown=True) == OPEN
    assert Folds() == PLAIN


ROW_TEXTS = [
    "Section One",
    "Line 1. la lantern. quiet; fingertips; mid; by leader and helper; in 2/4",
    "Refrain home returns here",
    "Wait at least 2.5 seconds, look for a look",
    "Section Two",
    "Line 2. Warn first: hands up. Splash!. loud; knuckles; by leader; slower, 50 a minute. "
    "cup comes on to the board with this line, at mid. cup leaves the board after this line. "
    "Said by helper and leader. Warned by helper. lift it (helper and leader). Look for: a laugh",
    "Offer cup to each pupil, at least 20 seconds each, look for a reach",
    "Refrain both returns here",
    "Refrain nowhere returns here",
    "Section Three",
    EMPTY_SECTION,
    "Refrain home",
    "row. quiet; fingertips; by leader",
    "Wait at least 5 seconds",
    "Refrain both",
    "Refrain home returns here",
    "after. no rhythm yet: it is said, not tapped",
]


def test_every_row_in_words(story: Story) -> None:
    rows = rows_of(story)
    assert [row_text(row) for row in rows] == ROW_TEXTS
    inside = rows_of(story, OPEN)[3]
    assert row_text(inside) == "Refrain home. row. quiet; fingertips; by leader"
    assert tapped_words(rows[0]) == ()


def test_each_tap_in_words(story: Story) -> None:
    row = rows_of(story)[1]
    assert [tap_text(row, event) for event in range(4)] == [
        "1 of 4, “la” in the pickup, quiet, fingertips, mid, by leader and helper",
        "2 of 4, “lan” of “lantern” in bar 1, strong, quiet, fingertips, mid, by leader and helper",
        "3 of 4, “tern” of “lantern” in bar 1, said without a tap",
        "4 of 4, the tap after “tern” of “lantern” in bar 1, quiet, fingertips, mid, "
        "by leader and helper",
    ]
    assert tap_name(row, 0) == "“la” in the pickup"


def test_what_is_the_same_is_not_placed_anew(story: Story) -> None:
    """And what is new, or comes after a line more, is."""
    written = Written()
    first = written.of(story)
    assert written.of(story)[0] is first[0]
    assert [p.number for p in first if p.number] == [1, 2]
    one, two, three = story.sections
    more = evolve(one, items=(one.items[0], *one.items))
    again = written.of(evolve(story, sections=(more, two, three)))
    assert [p.number for p in again if p.number] == [1, 2, 3]
    other = evolve(story, manner=evolve(story.manner, loudness=None, spot="mid"))
    assert {p.manner.spot for p in written.of(other) if p.line} == {"mid"}
    assert rows_of(other, written=written.of(other)) == rows_of(other)


def test_what_a_step_would_change(story: Story) -> None:
    def changed(which: str) -> str:
        text = TEXT
        for old, new in CHANGES[which]:
            assert old in text
            text = text.replace(old, new)
        made = read_text(text).story
        assert made is not None
        return what_changes(story, made)

    assert changed("none") == ""
    assert changed("taps") == "Line 1: 2 taps instead of 3"
    assert changed("where") == "Line 1: the taps fall otherwise"
    assert changed("wait").split("\n") == [
        "One: “wait 2.5, look for a look” goes",
        "One, line 3: “wait 4, look for a look” comes",
    ]
    assert changed("warning") == "Line 2: Warn first: “hands high” instead of “hands up”"
    *first, rest = changed("many").split("\n")
    assert len(first) == 4
    assert rest == "and 3 more"


CHANGES: dict[str, list[tuple[str, str]]] = {
    "none": [],
    "taps": [("x | X s t . |", "x | X s . . |")],
    "where": [("x | X s t . |", "x | X s . t |")],
    "wait": [("wait: 2.5", "wait: 4")],
    "warning": [("hands up", "hands high")],
    "many": [
        *(("x | X s t . |", "x | X s . t |"), ("wait: 2.5", "wait: 4"), ("turn: 20", "turn: 30")),
        *(("hands up", "hands high"), ("words: after", "words: before")),
    ],
}
