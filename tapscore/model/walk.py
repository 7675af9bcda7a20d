"""The items of a story as they are written, each with its path, and edits of one or of all."""

from collections.abc import Callable, Iterator
from typing import Any

from attrs import evolve

from tapscore.model.edits import Items, change_line, item_at, item_lists, items_at
from tapscore.model.finding import StoryPath
from tapscore.model.manner import PartialManner
from tapscore.model.story import Item, Line, RefrainUse, Story
from tapscore.model.words import printed

_TAPPED = (Line, RefrainUse)


def written_items(story: Story) -> Iterator[tuple[StoryPath, Item]]:
    """Every item with its path: the refrains' first, then the sections'."""
    for path, items in item_lists(story):
        for index, item in enumerate(items):
            yield (*path, index), item


def things(story: Story) -> Iterator[tuple[StoryPath, Any]]:
    """Everything of a story that is a block of its file, with its path, in the file's order."""
    for spoken in story.glossary:
        yield ("glossary", spoken.word), spoken
    if story.board is not None:
        for kind in ("spots", "seats", "places"):
            for each in getattr(story.board, kind):
                yield ("board", kind, each.name), each
    for role in story.roles:
        yield ("roles", role.name), role
    for prop in story.props:
        yield ("props", prop.name), prop
    for refrain in story.refrains:
        path: StoryPath = ("refrains", refrain.name)
        yield path, refrain
        yield from (((*path, i), item) for i, item in enumerate(refrain.items))
    for number, section in enumerate(story.sections):
        yield ("story", number), section
        for i, item in enumerate(section.items):
            yield ("story", number, "lines", i), item
    for number, acceptance in enumerate(story.accepted):
        yield ("accepted", number), acceptance


def written_manners(story: Story) -> Iterator[tuple[StoryPath, PartialManner]]:
    """Every manner that is written, with the path it stands at.

    The story's, each section's, each line's and each return's.
    """
    yield (), story.manner
    for number, section in enumerate(story.sections):
        yield ("story", number), section.manner
    for path, item in written_items(story):
        if isinstance(item, _TAPPED):
            yield path, item.manner


def section_items(story: Story) -> Iterator[tuple[StoryPath, Item]]:
    """Every item of the sections with its path."""
    return ((path, item) for path, item in written_items(story) if path[0] == "story")


def change_lists(story: Story, change: Callable[[StoryPath, Items], Items]) -> Story:
    """The story with every list of items changed; ``change`` is given its path and the items."""
    new = {path: change(path, items) for path, items in item_lists(story)}
    refrains = tuple(evolve(r, items=new["refrains", r.name]) for r in story.refrains)
    sections = tuple(
        evolve(section, items=new["story", number, "lines"])
        for number, section in enumerate(story.sections)
    )
    return evolve(story, refrains=refrains, sections=sections)


def change_lines(story: Story, change: Callable[[StoryPath, Line], Line]) -> Story:
    """The story with every line changed; ``change`` is given its path and the line."""

    def in_list(path: StoryPath, items: Items) -> Items:
        return tuple(
            change((*path, index), item) if isinstance(item, Line) else item
            for index, item in enumerate(items)
        )

    return change_lists(story, in_list)


def change_manners(
    story: Story, change: Callable[[StoryPath, PartialManner], PartialManner]
) -> Story:
    """The story with every manner changed: its own, its sections', lines' and returns'."""

    def in_list(path: StoryPath, items: Items) -> Items:
        return tuple(
            evolve(item, manner=change((*path, index), item.manner))
            if isinstance(item, Line | RefrainUse)
            else item
            for index, item in enumerate(items)
        )

    story = change_lists(story, in_list)
    sections = tuple(
        evolve(section, manner=change(("story", number), section.manner))
        for number, section in enumerate(story.sections)
    )
    return evolve(story, manner=change((), story.manner), sections=sections)


def item_path(path: StoryPath) -> StoryPath | None:
    """The path of the item that a path lies in; None where it lies in none."""
    if len(path) > 3 and path[0] == "story" and path[2] == "lines":
        return path[:4]
    if len(path) > 2 and path[0] == "refrains" and isinstance(path[2], int):
        return path[:3]
    return None


def line_at(story: Story, path: StoryPath) -> Line | None:
    """The line at (or above) ``path``; None where there is none."""
    at = item_path(path)
    if at is None:
        return None
    try:
        item = item_at(story, at)
    except KeyError:
        return None
    return item if isinstance(item, Line) else None


def said_before(story: Story, path: StoryPath) -> str | None:
    """The words (or the refrain's name) nearest before an item in its list; None at its start."""
    index = path[-1]
    assert isinstance(index, int)
    for item in reversed(items_at(story, path[:-1])[:index]):
        if isinstance(item, Line) and item.words:
            return printed(item.words)
        if isinstance(item, RefrainUse):
            return item.name
    return None


def edit_line(story: Story, path: StoryPath, change: Callable[[Line], Line]) -> Story | None:
    """The story with the line at (or above) ``path`` changed; None where there is none."""
    at = item_path(path)
    if at is None or line_at(story, path) is None:
        return None
    return change_line(story, at, change)
