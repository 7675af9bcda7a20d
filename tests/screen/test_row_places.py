"""Where something new goes in the story, from each kind of row; and what rows are called."""

import pytest

from tapscore.model.finding import StoryPath
from tapscore.model.story import Story
from tapscore.screen.folds import Folds
from tapscore.screen.row_places import beside, counted, item_paths, place_after, section_of
from tapscore.screen.rows import Row, RowKind, rows_of
from tapscore.storyfile.read import read_text

STORY = """tapscore: 2
title: T
metre: 4/4
props: {cup: {what: cup}}
refrains:
  home:
    - {words: home we go}
story:
  - section: One
    lines:
      - {words: first the moon}
      - wait: 10
      - refrain: home
  - section: Empty
    lines: []
  - section: Two
    lines:
      - {words: last the rain}
      - offer: cup
"""


@pytest.fixture(scope="module")
def story() -> Story:
    story = read_text(STORY).story
    assert story is not None
    return story


@pytest.fixture(scope="module")
def rows(story: Story) -> tuple[Row, ...]:
    return rows_of(story)


def test_where_something_new_goes_below_each_row(story: Story, rows: tuple[Row, ...]) -> None:
    placed = [(row.kind.value, place_after(story, row), section_of(row)) for row in rows]
    assert placed == [
        ("section", ("story", 0, "lines", 0), 0),
        ("line", ("story", 0, "lines", 1), 0),
        ("wait", ("story", 0, "lines", 2), 0),
        ("refrain returns", ("story", 0, "lines", 3), 0),
        ("section", ("story", 1, "lines", 0), 1),
        ("hint", ("story", 1, "lines", 0), 1),
        ("section", ("story", 2, "lines", 0), 2),
        ("line", ("story", 2, "lines", 1), 2),
        ("offering", ("story", 2, "lines", 2), 2),
        ("refrain", ("refrains", "home", 0), None),
        ("line", ("refrains", "home", 1), None),
    ]
    assert place_after(story, None) == ("story", 2, "lines", 2)
    assert section_of(None) is None


def test_below_a_folded_heading_it_goes_behind_what_is_folded_away(story: Story) -> None:
    rows = rows_of(story, Folds(sections=frozenset({("One", 0)})))
    folded = next(row for row in rows if row.folded is not None)
    assert (folded.title, folded.folded) == ("One", 3)
    assert place_after(story, folded) == ("story", 0, "lines", 3)


def test_in_a_story_without_sections_it_goes_into_the_first() -> None:
    story = Story("T")
    (hint,) = rows_of(story)
    assert (place_after(story, hint), section_of(hint)) == (("story", 0, "lines", 0), 0)


@pytest.mark.parametrize("by", [-1, 1, 3])
def test_beside_an_item_in_its_list(by: int) -> None:
    path: StoryPath = ("story", 2, "lines", 5)
    assert beside(path, by) == ("story", 2, "lines", 5 + by)


def test_rows_are_counted_in_words(rows: tuple[Row, ...]) -> None:
    by_kind = {row.kind: row for row in rows}
    line, wait = by_kind[RowKind.LINE], by_kind[RowKind.WAIT]
    assert counted([line]) == "line"
    assert counted([line, line]) == "2 lines"
    assert counted([wait]) == "wait"
    assert counted([line, wait, wait]) == "3 rows"
    assert counted([wait, wait]) == "2 rows"
    assert counted([by_kind[RowKind.SECTION]]) == "heading"
    assert item_paths(rows[:3]) == (("story", 0, "lines", 0), ("story", 0, "lines", 1))
