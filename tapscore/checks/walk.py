"""The items of a story as they are written, each once, with edits of one of them."""

from collections.abc import Callable, Iterator

from tapscore.model.edits import change_line, item_at
from tapscore.model.finding import StoryPath
from tapscore.model.story import Item, Line, Story


def written_items(story: Story) -> Iterator[tuple[StoryPath, Item]]:
    """Every item with its path: the refrains' first, then the story's."""
    for refrain in story.refrains:
        for index, item in enumerate(refrain.items):
            yield ("refrains", refrain.name, index), item
    yield from section_items(story)


def section_items(story: Story) -> Iterator[tuple[StoryPath, Item]]:
    """Every item of the sections with its path."""
    for number, section in enumerate(story.sections):
        for index, item in enumerate(section.items):
            yield ("story", number, "lines", index), item


def item_path(path: StoryPath) -> StoryPath | None:
    """The path of the item that a path lies in; None where it lies in none."""
    match path:
        case ("story", int(), "lines", int(), *_):
            return path[:4]
        case ("refrains", str(), int(), *_):
            return path[:3]
    return None


def edit_line(story: Story, path: StoryPath, change: Callable[[Line], Line]) -> Story | None:
    """The story with the line at (or above) ``path`` changed; None where there is none."""
    at = item_path(path)
    if at is None or line_at(story, path) is None:
        return None
    return change_line(story, at, change)


def line_at(story: Story, path: StoryPath) -> Line | None:
    """The line at (or above) ``path``."""
    at = item_path(path)
    if at is None:
        return None
    try:
        item = item_at(story, at)
    except KeyError:
        return None
    return item if isinstance(item, Line) else None
