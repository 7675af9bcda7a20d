"""Change a YAML text as little as a change of its data asks for.

A ``Splicer`` is given what a text says now and what it should say, and touches only where the
two differ.  Comments, unknown keys and untouched blocks keep every byte.  Comment lines
straight above an entry belong to it: they go where it goes.

Which block a thing is, is not guessed: a thing that came from a block of this list stays there;
one that came from another list, or another text, brings the text of its block along.  Where two
things came from one block (a copy), the unchanged one, or else the first, stays in the block,
and the other gets the block's text as well, with its comments, as copying lines in a text
editor does: whichever of the two is kept then, nothing that was noted about it is lost.
"""

from bisect import bisect_left
from collections import deque
from collections.abc import Sequence as Values

from tapscore.storyfile import emit
from tapscore.storyfile.blocks import Blocks, shown
from tapscore.storyfile.kinds import Doc, ListDoc, NamedDoc
from tapscore.storyfile.nodes import KeyAndValue, Mapping, Node, Scalar, Sequence
from tapscore.storyfile.origins import BlockOrigin, Source
from tapscore.storyfile.text_edits import New, TextEdits, Writing


class Splicer:
    """Gathers the edits that make a text say something else."""

    def __init__(self, source: Source) -> None:
        self._source = source
        self._edits = TextEdits(source, Writing(written, in_brackets))
        self._blocks = Blocks(source.text)

    def splice(self, old: dict[str, Doc], new: dict[str, Doc]) -> str:
        """The whole text with ``old`` (what it says now) changed to ``new``."""
        self._record(self._source.root, old, new)
        return self._edits.result(0, len(self._source.text))

    def block(self, origin: BlockOrigin, new: New) -> str | None:
        """The text of one block, changed to ``new``; None where that can't be done inside it.

        Whole lines, or for a block among others in brackets what stands between the commas.
        """
        if new.key is not None and isinstance(origin.parent, Mapping):
            self._entry(origin.parent, origin.index, New(new.key, new.value), origin.doc)
        elif not self._change(origin.node, origin.doc, new.value):
            return None
        return self._edits.result(*_extent(origin))

    def _change(self, node: Node, old: Doc, new: Doc) -> bool:
        """Try to change inside ``node``; False if it must be written anew as a whole."""
        if old == new:
            return True
        if isinstance(node, Mapping) and isinstance(old, dict) and isinstance(new, dict):
            if not node.entries or _outgrown(node, new) or _made_up(old):
                return False
            if isinstance(old, NamedDoc) and isinstance(new, NamedDoc):
                return self._names(node, old, new)
            if not new or isinstance(old, NamedDoc) or isinstance(new, NamedDoc) or "" in new:
                return False
            self._record(node, old, new)
            return True
        if isinstance(node, Sequence) and isinstance(old, list) and isinstance(new, list):
            if not node.items:
                return False
            if isinstance(old, ListDoc) and isinstance(new, ListDoc):
                return self._things(node, old, new)
            return self._plain(node, old, new)
        if isinstance(node, Scalar) and isinstance(new, str) and shown(node):
            self._edits.cut(node.start, self._blocks.content_end(node), emit.scalar(new, flow=True))
            return True
        return False

    def _record(self, node: Mapping, old: dict[str, Doc], new: dict[str, Doc]) -> None:
        entries = {entry.key.value: i for i, entry in enumerate(node.entries)}
        kept = [
            i
            for i, entry in enumerate(node.entries)
            if entry.key.value not in old
            or entry.key.value in new
            or self._emptied(entry.value, old[entry.key.value])
        ]
        final: list[int | New] = [*kept]
        place = 1 if final else 0
        for key, value in new.items():
            index = entries.get(key)
            if index is None:
                if key not in old or old[key] != value:
                    final.insert(place, New(key, value))
                    place += 1
                continue
            place = final.index(index) + 1
            self._entry(node, index, New(key, value), old.get(key))
        self._edits.arrange(node, final)

    def _emptied(self, node: Node, old: Doc) -> bool:
        """Take what was understood out of a list or mapping; False if then nothing is left."""
        if isinstance(node, Mapping) and isinstance(old, NamedDoc):
            return bool(node.entries) and self._names(node, old, NamedDoc(()))
        if isinstance(node, Sequence) and isinstance(old, ListDoc):
            return bool(node.items) and self._things(node, old, ListDoc((), ()))
        return False

    def _entry(self, node: Mapping, index: int, new: New, old: Doc | None) -> None:
        """Change the name and the value of an entry."""
        entry = node.entries[index]
        if new.key is not None and new.key != entry.key.value:
            key = emit.scalar(new.key, flow=True)
            self._edits.cut(entry.key.start, entry.key.end, key)
        if old is None:
            # nothing of it was understood; what new things it holds come beside that
            old = _nothing_like(new.value)
            kind = {Mapping: dict, Sequence: list, Scalar: object}[type(entry.value)]
            if not isinstance(new.value, kind):
                self._edits.keep_as_comment(entry.key.start, entry.value.end)
        if not self._change(entry.value, old, new.value):
            self._replace_value(node, entry, new.value)

    def _names(self, node: Mapping, old: NamedDoc, new: NamedDoc) -> bool:
        names = list(new)
        stays = _claims(node, [new.origins.get(name) for name in names], list(new.values()))
        taken = set(stays.values())
        by_name = {e.key.value: i for i, e in enumerate(node.entries) if e.key.value in old}
        for position, name in enumerate(names):
            index = by_name.get(name)
            if position not in stays and index is not None and index not in taken:
                stays[position] = index
                taken.add(index)
        foreign = [i for i, e in enumerate(node.entries) if e.key.value not in old]
        if not new and not foreign:
            return False
        in_order = _rising(stays)
        final: list[int | New] = []
        for position, (name, value) in enumerate(new.items()):
            if position not in in_order:
                origin = new.origins.get(name)
                if origin is None and position in stays:
                    origin = old.origins.get(name)
                final.append(New(name, value, origin))
                continue
            index = stays[position]
            final.append(index)
            self._entry(node, index, New(name, value), old[node.entries[index].key.value])
        self._edits.arrange(node, _with_foreign(final, foreign))
        return True

    def _things(self, node: Sequence, old: ListDoc, new: ListDoc) -> bool:
        stays = _claims(node, new.origins, new)
        known = {origin.index for origin in old.origins if origin is not None}
        foreign = [i for i in range(len(node.items)) if i not in known]
        if not new and not foreign:
            return False
        in_order = _rising(stays)
        final: list[int | New] = []
        for position, (value, origin) in enumerate(zip(new, new.origins, strict=True)):
            if origin is not None and position in in_order:
                final.append(origin.index)
                if not self._change(origin.node, origin.doc, value):
                    self._replace_item(node, origin.index, value)
            else:
                final.append(New(None, value, origin))
        self._edits.arrange(node, _with_foreign(final, foreign))
        return True

    def _plain(self, node: Sequence, old: list[Doc], new: list[Doc]) -> bool:
        """Values that came from nowhere in particular: a point's two numbers, names of roles."""
        if not new or len(old) != len(node.items):
            return False
        if len(old) == len(new):
            for position, value in enumerate(new):
                if not self._change(node.items[position], old[position], value):
                    self._replace_item(node, position, value)
            return True
        stays: dict[int, int] = {}
        left: dict[str, list[int]] = {}
        for index, value in reversed(tuple(enumerate(old))):
            left.setdefault(emit.inline(value), []).append(index)
        for position, value in enumerate(new):
            if same := left.get(emit.inline(value)):
                stays[position] = same.pop()
        in_order = _rising(stays)
        self._edits.arrange(
            node, [stays[i] if i in in_order else New(None, v) for i, v in enumerate(new)]
        )
        return True

    def _replace_value(self, owner: Mapping, entry: KeyAndValue, value: Doc) -> None:
        blocks = self._blocks
        colon = blocks.colon_end(entry.key)
        before = ""
        if colon is None:
            colon, before = entry.key.end, ":"
        node = entry.value
        end = max(blocks.content_end(node), colon) if shown(node) else colon
        if owner.flow:
            end = self._source.blocks(owner)[owner.entries.index(entry)].end
            self._edits.replace(colon, end, f"{before} {emit.inline(value)}")
        elif not value and isinstance(node, Sequence) and not node.flow and node.items:
            self._edits.cut(colon, colon, " []")
            self._edits.arrange(node, [])
        elif isinstance(value, str) or emit.fits_one_line(value):
            self._edits.replace(colon, end, emit.after_colon(value, entry.key.span.column - 1))
        else:
            self._edits.replace(colon, end, "")
            self._edits.insert_at(blocks.next_line(end), entry.key.span.column + 1, _news(value))

    def _replace_item(self, owner: Sequence, position: int, value: Doc) -> None:
        block = self._source.blocks(owner)[position]
        if owner.flow:
            self._edits.replace(block.start, block.end, emit.inline(value))
        else:
            column = self._blocks.column(block.start)
            text = written(New(None, value), column).lstrip(" ")
            self._edits.replace(block.start, block.end, text)


def written(new: New, column: int) -> str:
    """The lines of something that has no place of its own in a text yet, from ``column`` on.

    They are copied from where it came from, with what has changed spliced in.
    """
    copied = in_brackets(new)
    space = " " * column
    if copied is not None:
        return space + ("" if new.key is not None else "- ") + copied
    origin = new.origin
    if origin is None or origin.block is None:
        return _fresh(new, column)
    text, block = origin.source.text, origin.block
    if block.own_lines and not _flow(origin):
        lines = Splicer(origin.source).block(origin, new)
        if lines is not None:
            was = Blocks(text).column(block.start)
            return _shifted(lines.replace("\r\n", "\n"), column - was)
    comments = origin.source.comments_in(*_extent(origin))
    return "".join(f"{space}{comment}\n" for comment in comments) + _fresh(new, column)


def in_brackets(new: New) -> str | None:
    """The text of something that came from within brackets, where it is on one line."""
    if new.origin is None or not _flow(new.origin):
        return None
    if not emit.fits_one_line(new.value) and new.value != new.origin.doc:
        return None
    copied = Splicer(new.origin.source).block(new.origin, new)
    return None if copied is None or "\n" in copied else copied


def _flow(origin: BlockOrigin) -> bool:
    return origin.parent is not None and origin.parent.flow


def _extent(origin: BlockOrigin) -> tuple[int, int]:
    """Where a block begins and ends: whole lines where it has them for itself."""
    block = origin.block
    assert block is not None, "a whole story is no block of another"
    if block.own_lines and not _flow(origin):
        return block.first_line, block.next_line
    return block.start, block.end


def _fresh(new: New, column: int) -> str:
    space = " " * column
    key, value = new.key, new.value
    if key is not None:
        if isinstance(value, ListDoc) and value:
            return "\n".join([f"{space}{emit.scalar(key)}:", *_parts(value, column + 2)])
        return space + emit.entry(key, value, column)
    if isinstance(value, dict) and value and "" not in value:
        return space + "- " + "\n".join(_parts(value, column + 2)).lstrip(" ")
    return space + emit.item(value, column)


def _parts(value: list[Doc] | dict[str, Doc], column: int) -> list[str]:
    return [written(new, column) for new in _news(value)]


def _shifted(text: str, by: int) -> str:
    """Lines moved to the right, or to the left as far as they go, without the last line end."""
    lines = text.removesuffix("\n").split("\n")
    if by >= 0:
        return "\n".join(" " * by + line if line.strip() else line for line in lines)
    return "\n".join(line[min(-by, len(line) - len(line.lstrip(" "))) :] for line in lines)


def _outgrown(node: Mapping, new: dict[str, Doc]) -> bool:
    """Whether curly brackets round empty lists are to hold whole lines now."""
    return (
        node.flow
        and all(isinstance(e.value, Sequence) and not e.value.items for e in node.entries)
        and not emit.fits_one_line(new)
    )


def _nothing_like(value: Doc) -> Doc:
    if isinstance(value, dict):
        return NamedDoc() if isinstance(value, NamedDoc) else {}
    return ListDoc((), ()) if isinstance(value, ListDoc) else []


def _made_up(old: dict[str, Doc]) -> bool:
    """Whether a section was made up to hold what could not be understood as one."""
    return any(isinstance(each, ListDoc) and None in each.origins for each in old.values())


def _news(value: list[Doc] | dict[str, Doc]) -> tuple[New, ...]:
    if isinstance(value, dict):
        origins = value.origins if isinstance(value, NamedDoc) else {}
        return tuple(New(key, each, origins.get(key)) for key, each in value.items())
    if isinstance(value, ListDoc):
        return tuple(New(None, *each) for each in zip(value, value.origins, strict=True))
    return tuple(New(None, each) for each in value)


def _claims(
    node: Mapping | Sequence, origins: Values[BlockOrigin | None], docs: Values[Doc]
) -> dict[int, int]:
    """Which block of ``node`` each new thing is, by the things' positions."""
    taken: dict[int, int] = {}
    for position, origin in enumerate(origins):
        if origin is not None and origin.parent is node:
            other = taken.get(origin.index)
            if other is None or (docs[other] != origin.doc == docs[position]):
                taken[origin.index] = position
    return {position: index for index, position in sorted(taken.items(), key=lambda e: e[1])}


def _rising(stays: dict[int, int]) -> set[int]:
    """The most positions whose blocks can stay where they are, the others moving.

    Longest increasing subsequence by patience sorting, in n log n.
    """
    tops: list[int] = []
    at_top: list[int] = []
    below: dict[int, int | None] = {}
    for position, index in sorted(stays.items()):
        pile = bisect_left(tops, index)
        below[position] = at_top[pile - 1] if pile else None
        tops[pile : pile + 1] = [index]
        at_top[pile : pile + 1] = [position]
    found: set[int] = set()
    last = at_top[-1] if at_top else None
    while last is not None:
        found.add(last)
        last = below[last]
    return found


def _with_foreign(final: list[int | New], foreign: list[int]) -> list[int | New]:
    """``final`` with the places that the story knows nothing of, each where it was."""
    ahead = deque(foreign)
    arranged: list[int | New] = []
    for each in final:
        while ahead and isinstance(each, int) and ahead[0] < each:
            arranged.append(ahead.popleft())
        arranged.append(each)
    return [*arranged, *ahead]
