"""What the reader would find in the text of a story, found in the story itself.

The editor asks after every pause in typing.  What was read and is still there keeps its
findings; only what was changed since is held against the shape's table again; names and
numbers of syllables are looked at as after reading.
"""

from collections.abc import Iterator
from itertools import islice
from operator import itemgetter
from typing import Any

from attrs import evolve, field, frozen

from tapscore.model.by_identity import ByIdentity
from tapscore.model.finding import Finding, Span, StoryPath
from tapscore.model.story import ITEMS, Item, Refrain, Section, Story, Unread
from tapscore.model.walk import things
from tapscore.storyfile.kinds import Bare, Doc, NamedDoc, Reading
from tapscore.storyfile.lane_text import Names
from tapscore.storyfile.lane_words import lane_word_findings
from tapscore.storyfile.nodes import (
    YAML_CODES,
    KeyAndValue,
    Mapping,
    Node,
    Scalar,
    Sequence,
    innermost,
)
from tapscore.storyfile.origins import BlockOrigin, ReaderFound, Source, block_origin
from tapscore.storyfile.places import Places
from tapscore.storyfile.records import Record
from tapscore.storyfile.references import Known, reference_findings
from tapscore.storyfile.shape import SECTION, STORY, STORY_KEYS
from tapscore.storyfile.shape_items import ITEM, LINE_KEYS, report_unread

MOST_FINDINGS = 200
_NO_SPAN = Span(1, 1, 0, 0)
_NOWHERE = Places(""), 0, 0


def story_findings(story: Story) -> tuple[Finding, ...]:
    """The reader's findings for a story as it is now; ``located`` gives them their places."""
    known = known_names(story)
    there = tuple(things(story))
    return (
        *_still_there(story, there),
        *(evolve(found, span=None) for found in _not_readable(story, there, known)),
        *islice(reference_findings(story, known), MOST_FINDINGS),
        *islice(lane_word_findings(story), MOST_FINDINGS),
    )


def located(story: Story, findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Findings in the order of the story, with places in the text that it was read from.

    What has no origin, and what a finding brings along, is left as it is.
    """
    holders = _Holders(story)
    placed = [holders.placed(finding) for finding in findings]
    placed.sort(key=itemgetter(0))
    return tuple([finding for _, finding in placed])


_ON_THE_BOARD = ("spots", "seats", "places")
_NAMED = ("glossary", "roles", "props", "refrains")
_NONE = (-1, None)
_Order = tuple[int, tuple[int, ...], int]
"""Which key of the file, which thing there, and which key of the thing."""
_MOST_PLACED = 1024
_placed: dict[int, tuple[Finding, Any, int, int, Finding]] = {}
"""Findings with their places, found again by finding and thing: those of lines stay the same."""


@frozen(eq=False)
class _Holders:
    """The things of a story that findings are about."""

    _story: Story
    _named: dict[tuple[str | int, ...], dict[str | int, tuple[int, Any]]] = field(factory=dict)

    def placed(self, finding: Finding) -> tuple[_Order, Finding]:
        """A finding with its place in the text, and where it stands among others."""
        depth, number, thing = self._holder(finding.path)
        known = _placed.get(id(finding))
        if known is not None and known[0] is finding and known[1] is thing:
            top, key, here = known[2:]
            return (top, number, key), here
        rest = finding.path[depth:]
        origin = block_origin(thing)
        span = finding.span or (origin.locate(rest) if origin else None)
        top = STORY_KEYS.get(str(finding.path[0]), 0) if finding.path else -1
        key = LINE_KEYS.get(str(rest[0]), 0) if rest else -1
        here = Finding(finding.code, finding.severity, finding.path, span, finding.about)
        if len(_placed) >= _MOST_PLACED:
            _placed.clear()
        _placed[id(finding)] = finding, thing, top, key, here
        return (top, number, key), here

    def _holder(self, path: StoryPath) -> tuple[int, tuple[int, ...], Any]:
        """The innermost thing that a path lies in: how deep, its order, and itself."""
        story = self._story
        kind, *rest = path or ("",)
        if kind == "story" and rest and isinstance(at := rest[0], int):
            if 0 <= at < len(story.sections):
                section = story.sections[at]
                if len(rest) > 2 and isinstance(line := rest[2], int) and line < len(section.items):
                    return 4, (at, line), section.items[line]
                return 2, (at, -1), section
        elif kind == "accepted" and rest and isinstance(at := rest[0], int):
            if 0 <= at < len(story.accepted):
                return 2, (at,), story.accepted[at]
        elif kind == "board" and len(rest) > 1 and rest[0] in _ON_THE_BOARD:
            number, thing = self._by_name("board", str(rest[0])).get(rest[1], _NONE)
            if thing is not None:
                return 3, (_ON_THE_BOARD.index(rest[0]), number), thing
        elif kind in _NAMED and rest:
            number, thing = self._by_name(str(kind)).get(rest[0], _NONE)
            items = thing.items if isinstance(thing, Refrain) else ()
            if len(rest) > 1 and isinstance(at := rest[1], int) and 0 <= at < len(items):
                return 3, (number, at), items[at]
            if thing is not None:
                return 2, (number, -1), thing
        return 0, (-1,), story

    def _by_name(self, *kind: str) -> dict[str | int, tuple[int, Any]]:
        if kind not in self._named:
            holder = self._story if len(kind) == 1 else self._story.board
            things = getattr(holder, kind[-1], ())
            name = "word" if kind[-1] == "glossary" else "name"
            self._named[kind] = {getattr(each, name): (at, each) for at, each in enumerate(things)}
        return self._named[kind]


def keep_findings(source: Source, story: Story, findings: tuple[Finding, ...]) -> None:
    """Note with the blocks of a text what was found in each, for ``story_findings``."""
    if not findings:
        return
    blocks = {p: origin for p, thing in things(story) if (origin := block_origin(thing))}
    for finding in findings:
        path, lasting = finding.path, False
        if finding.code in YAML_CODES and finding.span is not None:
            path, node = innermost(source.root, finding.span.start)
            lasting = not isinstance(node, Scalar)
        cuts = (cut for cut in range(len(path), 0, -1) if path[:cut] in blocks)
        cut = next(cuts, 0)
        origin = blocks.get(path[:cut])
        source.found.setdefault(origin.key if origin else None, []).append(
            ReaderFound(path[cut:], finding, lasting)
        )


_Things = tuple[tuple[StoryPath, Any], ...]


def _still_there(story: Story, there: _Things) -> Iterator[Finding]:
    origin = block_origin(story)
    if origin is not None:
        yield from _found_in((), story, origin, origin.source.found.get(None, ()))
    for path, thing in there:
        block = block_origin(thing)
        if block is not None and block.source.found:
            yield from _found_in(path, thing, block, block.source.found.get(block.key, ()))


def _found_in(
    path: StoryPath,
    thing: object,
    origin: BlockOrigin,
    found: "tuple[ReaderFound, ...] | list[ReaderFound]",
) -> Iterator[Finding]:
    if not found:
        return
    old, new = origin.doc, origin.write(thing)
    for each in found:
        if each.lasting or _same_there(old, new, each.path):
            yield evolve(each.finding, path=(*path, *each.path))


def _same_there(old: Doc, new: Doc, path: StoryPath) -> bool:
    """Whether nothing was written over what stands at ``path``, understood or not."""
    for part in path:
        if not (isinstance(old, dict) and isinstance(new, dict)) or isinstance(part, int):
            break
        before, after = old.get(part), new.get(part)
        if before is None and after is None:
            return True
        if before is None or after is None:
            # what can't be read of a mapping outlives the rest of it
            if not isinstance(after if before is None else before, NamedDoc):
                return False
            before, after = before or NamedDoc(), after or NamedDoc()
        old, new = before, after
    return old == new


def known_names(story: Story) -> Known:
    """Names the story knows, with those in its file of things that could not be read."""
    known = _named(story)
    origin = block_origin(story)
    if origin is None:
        return known
    in_file, read = names_in(origin.source.root), _named(origin.value)
    return Known(
        *(
            dict.fromkeys((*here, *(name for name in there if name not in understood)))
            for here, there, understood in zip(
                known.all_kinds, in_file.all_kinds, read.all_kinds, strict=True
            )
        )
    )


def names_in(root: Mapping) -> Known:
    """The names that a file gives to something."""
    return Known(
        roles=_keys(root, "roles") or {"leader": None},
        spots=_keys(root, "board", "spots"),
        seats=_keys(root, "board", "seats"),
        props=_keys(root, "props"),
        refrains=_keys(root, "refrains"),
    )


def _keys(root: Mapping, *path: str) -> dict[str, None]:
    """The names under a path, in order."""
    node: Node | None = root
    for part in path:
        node = node.get(part) if isinstance(node, Mapping) else None
    entries = node.entries if isinstance(node, Mapping) else ()
    return dict.fromkeys(entry.key.value for entry in entries)


def _named(story: Story) -> Known:
    board = story.board
    return Known(
        roles=dict.fromkeys(story.role_names),
        spots=dict.fromkeys(spot.name for spot in board.spots) if board else {},
        seats=dict.fromkeys(seat.name for seat in board.seats) if board else {},
        props=dict.fromkeys(prop.name for prop in story.props),
        refrains=dict.fromkeys(refrain.name for refrain in story.refrains),
    )


def _not_readable(story: Story, there: _Things, known: Known) -> list[Finding]:
    """What was changed to something that the reader would not take."""
    names = Names(known.spots, known.roles)
    reading = Reading("", names)
    _read_head(reading, STORY, _without_items(story), ())
    changed = False
    for path, thing in there:
        if isinstance(thing, Section):
            block = block_origin(thing)
            if block is not None and thing is block.value:
                changed = False
                continue
            changed = _read_head(reading, SECTION, _without_items(thing), path)
            changed = changed or block is None or thing.items != block.value.items
        elif isinstance(thing, Unread):
            if changed and block_origin(thing) is None:
                report_unread(reading, _NO_SPAN, path)
        elif isinstance(thing, ITEMS) and _is_changed(thing) and not reading.full:
            found = _of_changed(thing, names)
            reading.findings.extend(evolve(each, path=(*path, *each.path)) for each in found)
    return [found for found in reading.findings if found.code != "missing"]


def _differs(item: Item) -> bool:
    block = block_origin(item)
    return block is None or (item is not block.value and item != block.value)


_is_changed: ByIdentity[Item, bool] = ByIdentity(_differs)
"""Whether an item is no more what was read."""
_read_again: ByIdentity[Item, dict[tuple[tuple[str, ...], ...], list[Finding]]] = ByIdentity(
    lambda _: {}
)
"""What the reader would say of an item that was changed, where these names are known."""


def _of_changed(item: Item, names: Names) -> list[Finding]:
    kept = _read_again(item)
    key = tuple(names.spots), tuple(names.roles)
    if key not in kept:
        reading = Reading("", names)
        ITEM.read(reading, _node(ITEM.write(item)), ())
        kept.clear()
        kept[key] = reading.findings
    return kept[key]


def _read_head(reading: Reading, record: Record, head: Story | Section, path: StoryPath) -> bool:
    """Read what was changed in the keys of a story or section; whether anything was."""
    origin = block_origin(head)
    if origin is not None and head == _without_items(origin.value):
        return False
    old = record.write(_without_items(origin.value)) if origin is not None else {}
    new = record.write(head)
    changed = {key: doc for key, doc in new.items() if key not in old or old[key] != doc}
    record.read(reading, _mapping(changed), path)
    return True


def _without_items(value: Any) -> Any:
    if isinstance(value, Section):
        return evolve(value, items=())
    return evolve(value, refrains=(), sections=())


def _mapping(doc: dict[str, Doc]) -> Mapping:
    entries = (KeyAndValue(Scalar(key, *_NOWHERE), _node(value)) for key, value in doc.items())
    return Mapping(tuple(entries), *_NOWHERE, flow=False)


def _node(doc: Doc) -> Node:
    """Plain data as the reader would meet it in a text."""
    if isinstance(doc, dict):
        return _mapping(doc)
    if isinstance(doc, list):
        return Sequence(tuple(map(_node, doc)), *_NOWHERE, flow=False)
    return Scalar(doc, *_NOWHERE, plain=isinstance(doc, Bare))
