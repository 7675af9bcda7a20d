"""What the reader would find in the text of a story, found in the story itself.

The editor asks after every pause in typing.  What was read and is still there keeps its
findings; only what was changed since is held against the shape's table again; names and
numbers of syllables are looked at as after reading.
"""

from collections.abc import Iterator
from itertools import islice
from typing import Any

from attrs import evolve

from tapscore.model.finding import Finding, Span, StoryPath
from tapscore.model.story import Item, Section, Story, Unread
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
from tapscore.storyfile.records import Record
from tapscore.storyfile.references import Known, reference_findings
from tapscore.storyfile.shape import SECTION, STORY, STORY_KEYS
from tapscore.storyfile.shape_items import ITEM, LINE_KEYS, report_unread

MOST_FINDINGS = 200
_NOWHERE = Span(1, 1, 0, 0)


def story_findings(story: Story) -> tuple[Finding, ...]:
    """The reader's findings for a story as it is now; ``located`` gives them their places."""
    known = known_names(story)
    return (
        *_still_there(story),
        *(evolve(found, span=None) for found in _not_readable(story, known)),
        *islice(reference_findings(story, known), MOST_FINDINGS),
        *islice(lane_word_findings(story), MOST_FINDINGS),
    )


def located(story: Story, findings: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Findings in the order of the story, with places in the text that it was read from.

    What has no origin, and what a finding brings along, is left as it is.
    """
    if not findings:
        return ()
    order: dict[StoryPath, tuple[int, Any]] = {
        path: (number, thing) for number, (path, thing) in enumerate(things(story))
    }

    def holder(path: StoryPath) -> tuple[StoryPath, int, Any]:
        for cut in range(len(path), 0, -1):
            if path[:cut] in order:
                return (path[:cut], *order[path[:cut]])
        return (), -1, story

    placed: list[tuple[tuple[object, ...], Finding]] = []
    for finding in findings:
        above, number, thing = holder(finding.path)
        rest = finding.path[len(above) :]
        origin = block_origin(thing)
        span = finding.span or (origin.locate(rest) if origin else None)
        top = STORY_KEYS.get(str(finding.path[0]), 0) if finding.path else -1
        key = LINE_KEYS.get(str(rest[0]), 0) if rest else -1
        here = Finding(finding.code, finding.severity, finding.path, span, finding.about)
        placed.append(((top, number, key), here))
    return tuple(finding for _, finding in sorted(placed, key=lambda each: each[0]))


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


def _still_there(story: Story) -> Iterator[Finding]:
    origin = block_origin(story)
    if origin is not None:
        yield from _found_in((), story, origin, origin.source.found.get(None, ()))
    for path, thing in things(story):
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


def _not_readable(story: Story, known: Known) -> list[Finding]:
    """What was changed to something that the reader would not take."""
    reading = Reading("", Names(known.spots, known.roles))
    _read_head(reading, STORY, _without_items(story), ())
    changed = False
    for path, thing in things(story):
        block = block_origin(thing)
        if isinstance(thing, Section):
            if block is not None and thing is block.value:
                changed = False
                continue
            changed = _read_head(reading, SECTION, _without_items(thing), path)
            changed = changed or block is None or thing.items != block.value.items
        elif isinstance(thing, Unread):
            if block is None and changed:
                report_unread(reading, _NOWHERE, path)
        elif isinstance(thing, Item) and (
            block is None or (thing is not block.value and thing != block.value)
        ):
            ITEM.read(reading, _node(ITEM.write(thing)), path)
    return [found for found in reading.findings if found.code != "missing"]


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
    entries = (KeyAndValue(Scalar(key, _NOWHERE), _node(value)) for key, value in doc.items())
    return Mapping(tuple(entries), _NOWHERE, flow=False)


def _node(doc: Doc) -> Node:
    """Plain data as the reader would meet it in a text."""
    if isinstance(doc, dict):
        return _mapping(doc)
    if isinstance(doc, list):
        return Sequence(tuple(map(_node, doc)), _NOWHERE, flow=False)
    return Scalar(doc, _NOWHERE, plain=isinstance(doc, Bare))
