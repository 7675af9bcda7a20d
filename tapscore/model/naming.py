"""Pure edits of a name - a prop's, a role's, a spot's - wherever a story says it."""

from collections.abc import Callable
from typing import Any, TypeVar

from attrs import evolve

from tapscore.model.board import Board
from tapscore.model.edits import Items
from tapscore.model.finding import StoryPath
from tapscore.model.furnishing import without
from tapscore.model.lane import Bar, Cell, Lane, TapDetail
from tapscore.model.manner import PartialManner
from tapscore.model.story import Item, Line, Offer, Prop, RefrainUse, Role, Story
from tapscore.model.walk import change_lists, change_manners, written_items, written_manners

NewName = Callable[[str], str | None]
"""What shall stand where a name stood; None takes it out."""
Named = TypeVar("Named", Prop, Role)


def rename(story: Story, kind: str, old: str, new: str) -> Story:
    """The story with a ``prop``, ``role``, ``spot``, ``seat`` or ``place`` called otherwise."""
    return _with_names(story, kind, lambda name: new if name == old else name)


def take_out(story: Story, kind: str, old: str, instead: str | None = None) -> Story:
    """The story without one of these; where it is used, another stands or none."""
    if kind == "prop":
        story = evolve(story, props=tuple(p for p in story.props if p.name != old))
    elif kind == "role":
        story = evolve(story, roles=tuple(r for r in story.roles if r.name != old))
    elif story.board is not None:
        story = evolve(story, board=without(story.board, kind, old))
    return _with_names(story, kind, lambda name: instead if name == old else name)


def uses(story: Story, kind: str, name: str) -> tuple[StoryPath, ...]:
    """Where one of these is used: items' paths, ``("story", 1)``, ``("props", ...)`` and so on."""

    def gone(each: str) -> str | None:
        return None if each == name else each

    found: list[StoryPath] = []
    marked = _with_names(story, kind, gone)
    for (path, manner), (_, without_it) in zip(
        written_manners(story), written_manners(marked), strict=True
    ):
        if len(path) < 3 and manner != without_it:
            found.append(path)
    for before, after in zip(story.props, marked.props, strict=True):
        if (before.by, before.handed_by) != (after.by, after.handed_by):
            found.append(("props", before.name))
    for role, now in zip(story.roles, marked.roles, strict=True):
        if role.seat != now.seat:
            found.append(("roles", role.name))
    if story.board is not None and marked.board is not None:
        for old, left in zip(story.board.places, marked.board.places, strict=True):
            if old.partner != left.partner:
                found.append(("board", "places", old.name))
    for path, item in written_items(story):
        if _is_used(item, kind, gone):
            found.append(path)
    return tuple(found)


def _is_used(item: Item, kind: str, gone: NewName) -> bool:
    if isinstance(item, RefrainUse):
        return _in_manner(item.manner, kind, gone) != item.manner
    return _in_items((item,), kind, gone) != (item,)


def _with_names(story: Story, kind: str, new: NewName) -> Story:
    def in_list(_: StoryPath, items: Items) -> Items:
        return _in_items(items, kind, new)

    story = change_lists(story, in_list)
    if kind == "prop":
        return evolve(story, props=tuple(_named(prop, new) for prop in story.props))
    if story.board is not None:
        story = evolve(story, board=_on_board(story.board, kind, new))
    if kind == "seat":
        return evolve(story, roles=tuple(evolve(r, seat=_one(r.seat, new)) for r in story.roles))
    if kind == "place":
        return story
    story = change_manners(story, lambda _, manner: _in_manner(manner, kind, new))
    if kind == "spot":
        return story
    return evolve(
        story,
        props=tuple(
            evolve(p, by=_one(p.by, new), handed_by=_names(p.handed_by, new)) for p in story.props
        ),
        roles=tuple(_named(role, new) for role in story.roles),
    )


def _on_board(board: Board, kind: str, new: NewName) -> Board:
    if kind == "role":
        places = tuple(evolve(p, partner=_one(p.partner, new)) for p in board.places)
        return evolve(board, places=places)
    listed = f"{kind}s"
    things = tuple(
        evolve(each, name=new(each.name) or each.name) for each in getattr(board, listed)
    )
    changes: dict[str, Any] = {listed: things}
    return evolve(board, **changes)


def _one(name: str | None, new: NewName) -> str | None:
    return None if name is None else new(name)


def _named(thing: Named, new: NewName) -> Named:
    return evolve(thing, name=new(thing.name) or thing.name)


def _in_items(items: Items, kind: str, new: NewName) -> Items:
    changed: list[Item] = []
    for item in items:
        if isinstance(item, Line):
            changed.append(_props_of(item, new) if kind == "prop" else _in_line(item, kind, new))
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


def _in_line(line: Line, kind: str, new: NewName) -> Line:
    lane = in_lane(line.lane, kind, new) if line.lane is not None else None
    line = evolve(line, manner=_in_manner(line.manner, kind, new), lane=lane)
    if kind == "spot":
        come = tuple(evolve(each, at=_one(each.at, new)) for each in line.props_in)
        return evolve(line, props_in=come)
    if kind == "role":
        done, warned = _names(line.done_by, new), _names(line.warned_by, new)
        return evolve(line, done_by=done, warned_by=warned)
    return line


def _in_manner(manner: PartialManner, kind: str, new: NewName) -> PartialManner:
    if kind == "spot":
        return evolve(manner, spot=_one(manner.spot, new))
    if kind == "role":
        return evolve(manner, by=_names(manner.by, new), says=_names(manner.says, new))
    return manner


def in_lane(lane: Lane, kind: str, new: NewName) -> Lane:
    """The lane with a ``role`` or a ``spot`` of its single taps called otherwise, or none."""

    def bar(each: Bar) -> Bar:
        return tuple(tuple(_in_cell(cell, kind, new) for cell in step) for step in each)

    return evolve(lane, pickup=bar(lane.pickup), bars=tuple(bar(each) for each in lane.bars))


def _in_cell(cell: Cell, kind: str, new: NewName) -> Cell:
    detail = cell.detail
    if detail is None or kind not in ("role", "spot"):
        return cell
    if kind == "role":
        single = tuple((now, own) for role, own in detail.single if (now := new(role)) is not None)
        detail = evolve(detail, by=_names(detail.by, new), single=single)
    else:
        detail = _told(detail.changed(lambda each: evolve(each, spot=_one(each.spot, new))))
    return evolve(cell, detail=None if detail == TapDetail() else detail)


def _told(detail: TapDetail) -> TapDetail:
    """With those who do nothing otherwise any more among all who tap."""
    single = tuple((role, own) for role, own in detail.single if own != TapDetail())
    return evolve(detail, by=detail.adults if single != detail.single else detail.by, single=single)


def _names(names: tuple[str, ...], new: NewName) -> tuple[str, ...]:
    found = (new(name) for name in names)
    return tuple(dict.fromkeys(name for name in found if name is not None))
