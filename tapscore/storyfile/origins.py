"""Texts that stories are read from, and the blocks of them that things came from.

A ``Source`` never changes: saving makes no new one, so that a story, whichever step of its
history it is, always gives the same text.  Things of two stories may stand in one story (after
a paste); each brings the text it was read from.
"""

import re
from bisect import bisect_left
from collections.abc import Callable, Iterator
from functools import cached_property
from typing import Any

from attrs import field, frozen

from tapscore.model.finding import Finding, Span, StoryPath
from tapscore.model.origin import Origin
from tapscore.storyfile.blocks import Block, Blocks
from tapscore.storyfile.nodes import Mapping, Node, Scalar, Sequence, locate

_COMMENT = re.compile(r"(?:(?<=\s)|\A)#[^\r\n]*")


BlockKey = tuple[int, int]
"""Tells one block of a text from the others: its parent's id, and its position there."""


@frozen(eq=False, repr=False)
class ReaderFound:
    """Something the reader found in a block."""

    path: StoryPath
    """Counted from the block."""
    finding: Finding
    lasting: bool = False
    """Whether it stays as long as the block does, whatever is written in there."""


@frozen(eq=False, repr=False)
class Source:
    """A text with its tree; shared by all that was read from it."""

    text: str
    root: Mapping
    found: "dict[BlockKey | None, list[ReaderFound]]" = field(factory=dict)
    """What the reader found in each block; under None, outside of all.  Filled once, by it."""
    _blocks: dict[int, tuple[Block, ...]] = field(factory=dict, init=False)

    def blocks(self, node: Mapping | Sequence) -> tuple[Block, ...]:
        """Where the entries or items of a node begin and end."""
        found = self._blocks.get(id(node))  # the tree keeps its nodes, so no id comes twice
        if found is None:
            found = self._blocks[id(node)] = Blocks(self.text).of(node)
        return found

    @cached_property
    def newline(self) -> str:
        """How new lines of the text end."""
        return "\r\n" if "\r\n" in self.text else "\n"

    @cached_property
    def comments(self) -> tuple[tuple[int, str], ...]:
        """Every comment with its offset, in order."""
        found: list[tuple[int, str]] = []
        at = 0
        for scalar in (*_scalars(self.root), None):
            end = scalar.start if scalar is not None else len(self.text)
            found += [(m.start(), m[0]) for m in _COMMENT.finditer(self.text, at, end)]
            at = max(at, scalar.end if scalar is not None else end)
        return tuple(found)

    def comments_in(self, start: int, end: int) -> tuple[str, ...]:
        """The comments between two offsets."""
        if self.text.find("#", start, end) < 0:
            return ()
        first, behind = (bisect_left(self.comments, (at, "")) for at in (start, end))
        return tuple(comment for _, comment in self.comments[first:behind])


@frozen(eq=False, repr=False)
class BlockOrigin(Origin):
    """The block a thing was read from."""

    source: Source
    parent: Mapping | Sequence | None
    """What holds the block; None for the whole story."""
    index: int
    value: Any
    """The thing as it was read."""
    write: Callable[[Any], Any]
    """Gives the thing as plain data."""

    @cached_property
    def doc(self) -> Any:
        """What the block says, as plain data."""
        return self.write(self.value)

    @property
    def key(self) -> BlockKey:
        """Which block of its text it is."""
        return id(self.parent), self.index

    @property
    def node(self) -> Node:
        """The thing's own node, without its name."""
        if self.parent is None:
            return self.source.root
        if isinstance(self.parent, Mapping):
            return self.parent.entries[self.index].value
        return self.parent.items[self.index]

    @property
    def block(self) -> Block | None:
        """The block's place; None for the whole story."""
        return None if self.parent is None else self.source.blocks(self.parent)[self.index]

    def locate(self, path: StoryPath = ()) -> Span | None:
        """Where ``path``, counted from the thing, stood in the text."""
        if not path and isinstance(self.parent, Mapping):
            return self.parent.entries[self.index].key.span
        return locate(self.node, path)


def block_origin(thing: object) -> BlockOrigin | None:
    """Where a thing came from; None for a new one, or for what is never a block."""
    origin = getattr(thing, "origin", None)
    return origin if isinstance(origin, BlockOrigin) else None


def _scalars(root: Node) -> Iterator[Scalar]:
    """Every scalar below a node, in the text's order."""
    ahead: list[Node] = [root]
    while ahead:
        node = ahead.pop()
        if isinstance(node, Scalar):
            yield node
        elif isinstance(node, Sequence):
            ahead += reversed(node.items)
        else:
            inside = [part for entry in node.entries for part in (entry.key, entry.value)]
            inside += node.left_out
            ahead += sorted(inside, key=lambda part: part.start, reverse=True)
