"""Pure edits of several items at once, as they are chosen in the editor.

Items are named by their paths (see ``edits``); ``("story", 1)`` is the heading of a section.
Every function raises KeyError for a path that leads nowhere (a bug of the caller's).
"""

from collections.abc import Iterable, Sequence
from functools import partial

from attrs import evolve, frozen

from tapscore.model.edits import Items, item_at, items_at, with_items
from tapscore.model.finding import StoryPath
from tapscore.model.story import Item, Refrain, RefrainUse, Section, Story

Paths = tuple[StoryPath, ...]


@frozen(eq=False)
class _Piece:
    """A heading or an item of the story, in a row with all others."""

    heading: Section | None
    item: Item | None
    chosen: bool


def delete_all(story: Story, paths: Iterable[StoryPath]) -> Story:
    """The story without these items and headings.

    Lines whose heading goes belong to the section before, or after for the first; a heading
    stays where there would be none for the lines that are left.
    """
    chosen = _known(story, paths)
    pieces = [piece for piece in _pieces(story, chosen) if not piece.chosen]
    if pieces and pieces[0].heading is None:
        later = next((n for n, piece in enumerate(pieces) if piece.heading is not None), None)
        first = pieces.pop(later) if later is not None else _Piece(story.sections[0], None, False)
        pieces.insert(0, first)
    story = _with_pieces(story, pieces)[0]
    for name, gone in _by_refrain(chosen).items():
        left = tuple(i for n, i in enumerate(items_at(story, ("refrains", name))) if n not in gone)
        story = with_items(story, ("refrains", name), partial(_instead, left))
    return story


def move_all(story: Story, paths: Iterable[StoryPath], by: int) -> tuple[Story, Paths]:
    """The story with these items moved up (-1) or down (1) by one, and their new paths.

    At the end of a section they go over into the next one.
    """
    chosen = _known(story, paths)
    pieces = _pieces(story, {path for path in chosen if len(path) > 2})
    order = range(len(pieces)) if by < 0 else range(len(pieces) - 1, -1, -1)
    for at in order:
        to = at + by
        free = 0 < to < len(pieces) and not pieces[to].chosen
        if pieces[at].chosen and free:
            pieces[at], pieces[to] = pieces[to], pieces[at]
    story, moved = _with_pieces(story, pieces)
    for name, here in _by_refrain(chosen).items():
        items, now = _moved(items_at(story, ("refrains", name)), here, by)
        story = with_items(story, ("refrains", name), partial(_instead, items))
        moved += tuple(("refrains", name, n) for n in now)
    return story, moved


def move_to(story: Story, paths: Iterable[StoryPath], to: StoryPath) -> tuple[Story, Paths]:
    """The story with these items moved, in their order, to where ``to`` is; their new paths.

    Returns stay out of refrains, so that none comes to call itself.
    """
    chosen = sorted((p for p in _known(story, paths) if len(p) > 2), key=partial(_order, story))
    items = [item_at(story, path) for path in chosen]
    if to[0] == "refrains" and any(isinstance(item, RefrainUse) for item in items):
        return story, ()
    at = to[-1]
    assert isinstance(at, int)
    for path in chosen:
        if path[:-1] == to[:-1]:
            index = path[-1]
            assert isinstance(index, int)
            assert isinstance(to[-1], int)
            at -= index < to[-1]
    gone = set(chosen)
    for home in {path[:-1] for path in chosen}:
        left = tuple(i for n, i in enumerate(items_at(story, home)) if (*home, n) not in gone)
        story = with_items(story, home, partial(_instead, left))
    return insert_all(story, (*to[:-1], at), items)


def _order(story: Story, path: StoryPath) -> tuple[int, int, int]:
    """Where an item stands: sections first, then refrains."""
    index = path[-1]
    assert isinstance(index, int)
    if path[0] == "story":
        section = path[1]
        assert isinstance(section, int)
        return 0, section, index
    return 1, [refrain.name for refrain in story.refrains].index(str(path[1])), index


def insert_all(story: Story, path: StoryPath, items: Sequence[Item]) -> tuple[Story, Paths]:
    """The story with new items from ``path`` on, and their paths."""
    at = path[-1]
    assert isinstance(at, int)
    story = with_items(story, path[:-1], lambda old: (*old[:at], *items, *old[at:]))
    return story, tuple((*path[:-1], at + n) for n in range(len(items)))


def repeat_all(story: Story, paths: Paths) -> tuple[Story, Paths]:
    """The story with these items once more below the last of them, and the new ones' paths."""
    items = [item_at(story, path) for path in paths]
    at = paths[-1][-1]
    assert isinstance(at, int)
    return insert_all(story, (*paths[-1][:-1], at + 1), items)


def follow_one_another(paths: Paths) -> bool:
    """Whether these items stand one below the other in one list."""
    first = paths[0]
    at = first[-1]
    return isinstance(at, int) and paths == tuple((*first[:-1], at + n) for n in range(len(paths)))


def refrain_of(story: Story, paths: Paths, name: str) -> Story:
    """The story with items of a section turned into a refrain, which returns in their place."""
    items = tuple(item_at(story, path) for path in paths)
    if not follow_one_another(paths) or paths[0][0] != "story" or story.refrain(name) is not None:
        raise KeyError(paths)
    at = paths[0][-1]
    assert isinstance(at, int)
    story = evolve(story, refrains=(*story.refrains, Refrain(name, items)))
    return with_items(
        story,
        paths[0][:-1],
        lambda old: (*old[:at], RefrainUse(name), *old[at + len(items) :]),
    )


def _known(story: Story, paths: Iterable[StoryPath]) -> set[StoryPath]:
    chosen = set(paths)
    for path in chosen:
        if len(path) == 2 and path[0] == "story":
            index = path[1]
            if not isinstance(index, int) or not 0 <= index < len(story.sections):
                raise KeyError(path)
        else:
            item_at(story, path)
    return chosen


def _pieces(story: Story, chosen: set[StoryPath]) -> list[_Piece]:
    found: list[_Piece] = []
    for number, section in enumerate(story.sections):
        path: StoryPath = ("story", number)
        found.append(_Piece(section, None, path in chosen))
        for at, item in enumerate(section.items):
            found.append(_Piece(None, item, (*path, "lines", at) in chosen))
    return found


def _with_pieces(story: Story, pieces: Sequence[_Piece]) -> tuple[Story, Paths]:
    """The story made of pieces again (the first is a heading), and where the chosen items are."""
    heads: list[Section] = []
    lists: list[list[Item]] = []
    chosen: list[StoryPath] = []
    for piece in pieces:
        if piece.heading is not None:
            heads.append(piece.heading)
            lists.append([])
        elif piece.item is not None:
            if piece.chosen:
                chosen.append(("story", len(heads) - 1, "lines", len(lists[-1])))
            lists[-1].append(piece.item)
    sections = tuple(
        head if _same(head.items, items) else evolve(head, items=tuple(items))
        for head, items in zip(heads, lists, strict=True)
    )
    return evolve(story, sections=sections), tuple(chosen)


def _same(items: Items, others: Sequence[Item]) -> bool:
    return len(items) == len(others) and all(
        one is other for one, other in zip(items, others, strict=True)
    )


def _by_refrain(chosen: set[StoryPath]) -> dict[str, set[str | int]]:
    found: dict[str, set[str | int]] = {}
    for path in chosen:
        if path[0] == "refrains":
            found.setdefault(str(path[1]), set()).add(path[-1])
    return found


def _instead(new: Items, _: Items) -> Items:
    return new


def _moved(items: Items, here: set[str | int], by: int) -> tuple[Items, list[int]]:
    order = list(range(len(items)))
    chosen = [n in here for n in order]
    for at in order[:] if by < 0 else order[::-1]:
        to = at + by
        if chosen[at] and 0 <= to < len(items) and not chosen[to]:
            order[at], order[to] = order[to], order[at]
            chosen[at], chosen[to] = False, True
    return tuple(items[n] for n in order), [n for n, each in enumerate(chosen) if each]
