"""Pure edits of a prop's or role's name, wherever a story says it."""

from collections.abc import Callable
from typing import TypeVar

from attrs import evolve

from tapscore.model.board import Place
from tapscore.model.edits import Items
from tapscore.model.finding import StoryPath
from tapscore.model.lane import Bar, Cell, Lane
from tapscore.model.manner import PartialManner
from tapscore.model.story import Item, Line, Offer, Prop, Role, Story
from tapscore.model.walk import change_lists, change_manners, written_items

NewName = Callable[[str], str | None]
"""What shall stand where a name stood; None takes it out."""
Named = TypeVar("Named", Prop, Role)


def rename(story: Story, kind: str, old: str, new: str) -> Story:
    """The story with a ``prop`` or ``role`` called otherwise, everywhere."""
    return _with_names(story, kind, lambda name: new if name == old else name)


def take_out(story: Story, kind: str, old: str, instead: str | None = None) -> Story:
    """The story without a ``prop`` or ``role``; where it is used, another stands or none."""
    if kind == "prop":
        story = evolve(story, props=tuple(p for p in story.props if p.name != old))
    else:
        story = evolve(story, roles=tuple(r for r in story.roles if r.name != old))
    return _with_names(story, kind, lambda name: instead if name == old else name)


def uses(story: Story, kind: str, name: str) -> tuple[StoryPath, ...]:
    """Where a ``prop`` or ``role`` is used: items' paths, ``("story", 1)``, ``("props", ...)``."""
    found: list[StoryPath] = []
    marked = _with_names(story, kind, lambda each: None if each == name else each)
    if marked.manner != story.manner:
        found.append(())
    for number, section in enumerate(story.sections):
        if marked.sections[number].manner != section.manner:
            found.append(("story", number))
    for before, after in zip(story.props, marked.props, strict=True):
        if (before.by, before.handed_by) != (after.by, after.handed_by):
            found.append(("props", before.name))
    if story.board is not None and marked.board is not None:
        for old, left in zip(story.board.places, marked.board.places, strict=True):
            if old.partner != left.partner:
                found.append(("board", "places", old.name))
    for path, item in written_items(story):
        if _in_items((item,), kind, lambda each: None if each == name else each) != (item,):
            found.append(path)
    return tuple(found)


def _with_names(story: Story, kind: str, new: NewName) -> Story:
    def in_list(_: StoryPath, items: Items) -> Items:
        return _in_items(items, kind, new)

    story = change_lists(story, in_list)
    if kind == "prop":
        return evolve(story, props=tuple(_named(prop, new) for prop in story.props))
    story = change_manners(story, lambda _, manner: _in_manner(manner, new))
    board = story.board
    return evolve(
        story,
        props=tuple(
            evolve(p, by=_one(p.by, new), handed_by=_names(p.handed_by, new)) for p in story.props
        ),
        roles=tuple(_named(role, new) for role in story.roles),
        board=board and evolve(board, places=tuple(_with_partner(p, new) for p in board.places)),
    )


def _with_partner(place: Place, new: NewName) -> Place:
    return evolve(place, partner=_one(place.partner, new))


def _one(name: str | None, new: NewName) -> str | None:
    return None if name is None else new(name)


def _named(thing: Named, new: NewName) -> Named:
    return evolve(thing, name=new(thing.name) or thing.name)


def _in_items(items: Items, kind: str, new: NewName) -> Items:
    changed: list[Item] = []
    for item in items:
        if isinstance(item, Line):
            changed.append(_in_line(item, new) if kind == "role" else _props_of(item, new))
        elif isinstance(item, Offer) and kind == "prop":
            name = new(item.prop)
            changed += [evolve(item, prop=name)] if name is not None else []
        else:
            changed.append(item)
    return tuple(changed)


def _props_of(line: Line, new: NewName) -> Line:
    entrances = [(new(entrance.prop), entrance) for entrance in line.props_in]
    come = {name: evolve(entrance, prop=name) for name, entrance in entrances if name is not None}
    return evolve(line, props_in=tuple(come.values()), props_out=_names(line.props_out, new))


def _in_line(line: Line, new: NewName) -> Line:
    lane = _in_lane(line.lane, new) if line.lane is not None else None
    return evolve(
        line,
        manner=_in_manner(line.manner, new),
        warned_by=_names(line.warned_by, new),
        done_by=_names(line.done_by, new),
        lane=lane,
    )


def _in_manner(manner: PartialManner, new: NewName) -> PartialManner:
    return evolve(manner, by=_names(manner.by, new), says=_names(manner.says, new))


def _in_lane(lane: Lane, new: NewName) -> Lane:
    def bar(each: Bar) -> Bar:
        return tuple(tuple(_in_cell(cell, new) for cell in step) for step in each)

    return evolve(lane, pickup=bar(lane.pickup), bars=tuple(bar(each) for each in lane.bars))


def _in_cell(cell: Cell, new: NewName) -> Cell:
    if cell.detail is None or not cell.detail.adults:
        return cell
    single = {name: own for role, own in cell.detail.single if (name := new(role)) is not None}
    by = _names(cell.detail.by, new)
    detail = evolve(cell.detail, by=by, single=tuple(single.items()))
    return evolve(cell, detail=None if detail == type(detail)() else detail)


def _names(names: tuple[str, ...], new: NewName) -> tuple[str, ...]:
    found = (new(name) for name in names)
    return tuple(dict.fromkeys(name for name in found if name is not None))
