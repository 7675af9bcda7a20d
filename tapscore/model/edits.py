"""Pure edits: a story in, a new story out; what an edit doesn't touch stays the same object.

An item is named by its path in the story file: ``("story", 0, "lines", 2)`` or
``("refrains", "row home", 1)``; a list of items by the path without its last part.
Every function raises KeyError for a path that leads nowhere (a bug of the caller's).
"""

from collections.abc import Callable, Iterator
from typing import TypeVar

from attrs import evolve

from tapscore.model.board import Board, Named, Point
from tapscore.model.finding import StoryPath
from tapscore.model.manner import PartialManner
from tapscore.model.story import (
    Item,
    Line,
    Prop,
    RefrainUse,
    Role,
    Section,
    Story,
)

T = TypeVar("T")
Items = tuple[Item, ...]


def item_lists(story: Story) -> Iterator[tuple[StoryPath, Items]]:
    """Every list of items with its path: the refrains' first, then the sections'."""
    for refrain in story.refrains:
        yield ("refrains", refrain.name), refrain.items
    for number, section in enumerate(story.sections):
        yield ("story", number, "lines"), section.items


def items_at(story: Story, path: StoryPath) -> Items:
    """The list of items at ``path``."""
    match path:
        case ("story", int(section), "lines") if 0 <= section < len(story.sections):
            return story.sections[section].items
        case ("refrains", str(name)):
            refrain = story.refrain(name)
            if refrain is not None:
                return refrain.items
    raise KeyError(path)


def item_at(story: Story, path: StoryPath) -> Item:
    """The item at ``path``."""
    index = path[-1]
    items = items_at(story, path[:-1])
    if not isinstance(index, int) or not 0 <= index < len(items):
        raise KeyError(path)
    return items[index]


def found(story: Story, path: StoryPath) -> Item | None:
    """The item at ``path``; None where there is none any more."""
    try:
        return item_at(story, path)
    except (KeyError, IndexError):
        return None


def with_items(story: Story, path: StoryPath, change: Callable[[Items], Items]) -> Story:
    """The story with the list at ``path`` changed."""
    items = change(items_at(story, path))
    if path[0] == "story":
        index = path[1]
        assert isinstance(index, int)
        section = evolve(story.sections[index], items=items)
        return evolve(story, sections=_replaced(story.sections, index, section))
    refrains = tuple(
        evolve(refrain, items=items) if refrain.name == path[1] else refrain
        for refrain in story.refrains
    )
    return evolve(story, refrains=refrains)


def replace_item(story: Story, path: StoryPath, item: Item) -> Story:
    """The story with another item in the place of one."""
    item_at(story, path)
    return with_items(story, path[:-1], lambda items: _replaced(items, _index(path), item))


def insert_item(story: Story, path: StoryPath, item: Item) -> Story:
    """The story with a new item at ``path``; what stood there comes after it."""
    at = _index(path)
    return with_items(story, path[:-1], lambda items: (*items[:at], item, *items[at:]))


def change_line(story: Story, path: StoryPath, change: Callable[[Line], Line]) -> Story:
    """The story with one line changed; raises KeyError where there is no line."""
    item = item_at(story, path)
    if not isinstance(item, Line):
        raise KeyError(path)
    return replace_item(story, path, change(item))


def write_out_refrain(story: Story, path: StoryPath) -> Story:
    """The story with one return of a refrain replaced by the refrain's own lines.

    The refrain goes once nothing returns to it.
    """
    use = item_at(story, path)
    refrain = story.refrain(use.name) if isinstance(use, RefrainUse) else None
    if refrain is None or not isinstance(use, RefrainUse):
        raise KeyError(path)
    at = _index(path)
    written = tuple(_within(item, use.manner) for item in refrain.items)
    story = with_items(story, path[:-1], lambda items: (*items[:at], *written, *items[at + 1 :]))
    if refrain.name in _used_refrains(story):
        return story
    return evolve(story, refrains=tuple(r for r in story.refrains if r.name != refrain.name))


def without_refrain(story: Story, name: str) -> Story:
    """The story with every return of a refrain written out, within other refrains too."""
    refrain = story.refrain(name)
    if refrain is None or any(
        isinstance(item, RefrainUse) and item.name == name for item in refrain.items
    ):
        return story
    while True:
        paths = [
            (*path, at)
            for path, items in item_lists(story)
            for at, item in enumerate(items)
            if isinstance(item, RefrainUse) and item.name == name
        ]
        if not paths or story.refrain(name) is None:
            return story
        story = write_out_refrain(story, paths[0])


def join_sections(story: Story) -> Story:
    """The story with neighbouring sections in one where they say the same for their lines."""
    joined: list[Section] = []
    for section in story.sections:
        if joined and joined[-1].manner == section.manner:
            joined[-1] = evolve(joined[-1], items=joined[-1].items + section.items)
        else:
            joined.append(section)
    return evolve(story, sections=tuple(joined))


def _within(item: Item, manner: PartialManner) -> Item:
    """An item of a refrain with what its return said for it."""
    if isinstance(item, Line | RefrainUse):
        return evolve(item, manner=manner.within(item.manner))
    return item


def add_section(story: Story, index: int, title: str) -> Story:
    """The story with a new empty section at ``index``."""
    sections = story.sections
    return evolve(story, sections=(*sections[:index], Section(title), *sections[index:]))


def change_section(story: Story, index: int, change: Callable[[Section], Section]) -> Story:
    """The story with one section changed."""
    return evolve(story, sections=_replaced(story.sections, index, change(story.sections[index])))


def with_prop(story: Story, prop: Prop) -> Story:
    """The story with a prop added, or changed where there is one of its name."""
    return evolve(story, props=_with_named(story.props, prop, lambda p: p.name))


def with_role(story: Story, role: Role) -> Story:
    """The story with a role added, or changed where there is one of its name."""
    return evolve(story, roles=_with_named(story.roles, role, lambda r: r.name))


def without_prop(story: Story, name: str) -> Story:
    """The story without a prop; lines that still name it are findings afterwards."""
    return evolve(story, props=tuple(prop for prop in story.props if prop.name != name))


def without_role(story: Story, name: str) -> Story:
    """The story without a role; lines that still name it are findings afterwards."""
    return evolve(story, roles=tuple(role for role in story.roles if role.name != name))


def move_on_board(story: Story, kind: str, name: str, point: Point) -> Story:
    """The story with something of its board at another point; ``kind`` as below."""
    if story.board is None:
        raise KeyError(name)
    return evolve(story, board=moved_on_board(story.board, kind, name, point))


def moved_on_board(board: Board, kind: str, name: str, point: Point) -> Board:
    """The board with a spot, seat, place or the way out (``kind``) at another point."""
    match kind:
        case "spot":
            board = evolve(board, spots=_with_named(board.spots, Named(name, point), _name))
        case "seat":
            board = evolve(board, seats=_with_named(board.seats, Named(name, point), _name))
        case "place":
            places = tuple(evolve(p, at=point) if p.name == name else p for p in board.places)
            board = evolve(board, places=places)
        case "way out":
            board = evolve(board, way_out=point)
        case _:
            raise KeyError(kind)
    return board


def _name(named: Named) -> str:
    return named.name


def _used_refrains(story: Story) -> set[str]:
    return {
        item.name
        for _, items in item_lists(story)
        for item in items
        if isinstance(item, RefrainUse)
    }


def _index(path: StoryPath) -> int:
    index = path[-1]
    if not isinstance(index, int):
        raise KeyError(path)
    return index


def _replaced(values: tuple[T, ...], index: int, value: T) -> tuple[T, ...]:
    return (*values[:index], value, *values[index + 1 :])


def _without(values: tuple[T, ...], index: int) -> tuple[T, ...]:
    return (*values[:index], *values[index + 1 :])


def _with_named(values: tuple[T, ...], value: T, name: Callable[[T], str]) -> tuple[T, ...]:
    for index, each in enumerate(values):
        if name(each) == name(value):
            return _replaced(values, index, value)
    return (*values, value)
