"""Walking over a story's items and changing all of them, on random stories."""

from attrs import evolve
from hypothesis import given

from tapscore.model.edits import item_at
from tapscore.model.finding import StoryPath
from tapscore.model.manner import PartialManner
from tapscore.model.story import Line, Story
from tapscore.model.walk import (
    change_lines,
    change_lists,
    change_manners,
    item_path,
    line_at,
    section_items,
    written_items,
    written_manners,
)
from tests.strategies import stories


@given(stories)
def test_every_item_stands_at_its_path_once(story: Story) -> None:
    walked = list(written_items(story))
    assert all(item_at(story, path) is item for path, item in walked)
    assert len({path for path, _ in walked}) == len(walked)
    count = sum(len(refrain.items) for refrain in story.refrains)
    count += sum(len(section.items) for section in story.sections)
    assert len(walked) == count
    assert list(section_items(story)) == [each for each in walked if each[0][0] == "story"]


@given(stories)
def test_changes_reach_every_item_with_its_path(story: Story) -> None:
    seen: list[StoryPath] = []

    def named(path: StoryPath, line: Line) -> Line:
        seen.append(path)
        return evolve(line, do="/".join(map(str, path)))

    new = change_lines(story, named)
    assert seen == [path for path, item in written_items(story) if isinstance(item, Line)]
    for path in seen:
        line = line_at(new, path)
        assert line is not None
        assert line.do == "/".join(map(str, path))
    assert change_lines(story, lambda _, line: line) == story
    assert change_lists(story, lambda _, items: items) == story
    assert list(written_items(change_lists(story, lambda _, __: ()))) == []


@given(stories)
def test_changed_manners_are_those_that_are_written(story: Story) -> None:
    def spot(path: StoryPath, manner: PartialManner) -> PartialManner:
        return evolve(manner, spot=repr(path))

    new = change_manners(story, spot)
    assert [(path, manner.spot) for path, manner in written_manners(new)] == [
        (path, repr(path)) for path, _ in written_manners(story)
    ]


def test_the_item_of_a_longer_path() -> None:
    assert item_path(("story", 1, "lines", 2, "lane")) == ("story", 1, "lines", 2)
    assert item_path(("refrains", "home", 0, "prop in")) == ("refrains", "home", 0)
    assert item_path(("story", 1)) is None
    assert line_at(Story("T"), ("story", 0, "lines", 0)) is None
