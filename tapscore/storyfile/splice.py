"""Change a YAML text as little as a change of its data asks for.

``splice`` compares what the file says now with what it should say, and touches only
where the two differ.  Comments, unknown keys and untouched blocks keep every byte.
Comment lines straight above an entry belong to it: they go where it goes.
"""

from collections import Counter

from tapscore.storyfile import emit
from tapscore.storyfile.align import Step, align
from tapscore.storyfile.blocks import shown
from tapscore.storyfile.kinds import Doc, NamedDoc
from tapscore.storyfile.likeness import likeness, renamed
from tapscore.storyfile.nodes import Entry, Mapping, Node, Scalar, Sequence
from tapscore.storyfile.text_edits import New, TextEdits


class Splicer:
    """Gathers the cuts that make a text say something else."""

    def __init__(self, text: str, root: Mapping) -> None:
        self._root = root
        self._edits = TextEdits(text, _spliced_item)
        self._blocks = self._edits.blocks
        self._net: Counter[str] = Counter()

    def splice(self, old: dict[str, Doc], new: dict[str, Doc]) -> str:
        """The text with ``old`` (what it says now) changed to ``new``."""
        self._net = _net_counts(old, new)
        self._record(self._root, old, new)
        return self._edits.result()

    def _change(self, node: Node, old: Doc, new: Doc) -> bool:
        """Try to change inside ``node``; False if it must be written anew as a whole."""
        if emit.inline(old) == emit.inline(new):
            return True
        if isinstance(node, Mapping) and isinstance(old, dict) and isinstance(new, dict):
            if not new or not node.entries or _outgrown(node, new):
                return False
            if isinstance(old, NamedDoc) and isinstance(new, NamedDoc):
                self._names(node, old, new)
            else:
                self._record(node, old, new)
            return True
        if isinstance(node, Sequence) and isinstance(old, list) and isinstance(new, list):
            if not new or len(old) != len(node.items) or not node.items:
                return False
            self._sequence(node, old, new)
            return True
        if isinstance(node, Scalar) and isinstance(new, str) and shown(node):
            self._edits.cut(
                node.span.start, self._blocks.content_end(node), emit.scalar(new, flow=True)
            )
            return True
        return False

    def change_item(self, node: Node, old: Doc, new: Doc) -> str | None:
        """The whole text with one node changed; None where that can't be done inside it."""
        self._net = _net_counts(old, new)
        return self._edits.result() if self._change(node, old, new) else None

    def _record(self, node: Mapping, old: dict[str, Doc], new: dict[str, Doc]) -> None:
        entries = {entry.key.value: i for i, entry in enumerate(node.entries)}
        final: list[int | New] = [
            i for i, e in enumerate(node.entries) if e.key.value not in old or e.key.value in new
        ]
        place = 1 if final else 0
        for key, value in new.items():
            index = entries.get(key)
            if index is None:
                if key not in old or emit.inline(old[key]) != emit.inline(value):
                    final.insert(place, New(key, value))
                    place += 1
                continue
            place = final.index(index) + 1
            entry = node.entries[index]
            if key not in old or not self._change(entry.value, old[key], value):
                self._replace_value(node, entry, value, old.get(key))
        self._edits.arrange(node, final, old)

    def _names(self, node: Mapping, old: NamedDoc, new: NamedDoc) -> None:
        entries = {entry.key.value: i for i, entry in enumerate(node.entries)}
        old_names, new_names = list(old), list(new)

        def like(i: int, j: int) -> float:
            if old_names[i] in new or new_names[j] in old:
                return 0.0
            return renamed(old[old_names[i]], new[new_names[j]])

        final: list[int | New] = []
        for step in align(old_names, new_names, like):
            index = entries[old_names[step.old]] if step.old is not None else None
            if step.new is None:
                continue
            name = new_names[step.new]
            if index is None or step.old is None:
                final.append(New(name, new[name]))
                continue
            final.append(index)
            entry = node.entries[index]
            if entry.key.value != name:
                key = emit.scalar(name, flow=True)
                self._edits.cut(entry.key.span.start, entry.key.span.end, key)
            before = old[old_names[step.old]]
            if not self._change(entry.value, before, new[name]):
                self._replace_value(node, entry, new[name], before)
        foreign = [i for name, i in entries.items() if name not in old]
        self._edits.arrange(node, _with_foreign(final, foreign), old)

    def _sequence(self, node: Sequence, old: list[Doc], new: list[Doc]) -> None:
        old_keys, new_keys = [emit.inline(d) for d in old], [emit.inline(d) for d in new]

        def like(i: int, j: int) -> float:
            if isinstance(old[i], dict) and self._net[old_keys[i]] >= 0:
                return 0.0
            return likeness(old[i], new[j])

        final: list[int | New] = []
        steps: tuple[Step, ...] = align(old_keys, new_keys, like)
        for step in steps:
            if step.new is None:
                continue
            value = new[step.new]
            if step.old is None:
                final.append(New(None, value))
                continue
            final.append(step.old)
            if not self._change(node.items[step.old], old[step.old], value):
                self._replace_item(node, step.old, value)
        self._edits.arrange(node, final, old)

    def _replace_value(self, owner: Mapping, entry: Entry, value: Doc, old: Doc | None) -> None:
        blocks = self._blocks
        colon = blocks.colon_end(entry.key)
        before = ""
        if colon is None:
            colon, before = entry.key.span.end, ":"
        node = entry.value
        end = max(blocks.content_end(node), colon) if shown(node) else colon
        if owner.flow:
            self._edits.cut(colon, end, f"{before} {emit.inline(value)}")
        elif not value and isinstance(node, Sequence) and not node.flow and isinstance(old, list):
            self._edits.cut(colon, colon, " []")
            self._edits.arrange(node, [], old)
        elif isinstance(value, str) or emit.fits_one_line(value):
            self._edits.cut(colon, end, emit.after_colon(value, entry.key.span.column - 1))
        else:
            self._edits.cut(colon, end, "")
            self._edits.insert_at(
                self._blocks.next_line(end), entry.key.span.column + 1, _news(value)
            )

    def _replace_item(self, owner: Sequence, position: int, value: Doc) -> None:
        child = owner.items[position]
        block = self._blocks.of(owner)[position]
        if owner.flow:
            self._edits.cut(child.span.start, block.end, emit.inline(value))
        else:
            column = block.start - self._blocks.line_start(block.start)
            self._edits.cut(block.start, block.end, emit.item(value, column))


def _spliced_item(text: str, root: Mapping, node: Node, old: Doc, new: Doc) -> str | None:
    return Splicer(text, root).change_item(node, old, new)


def _outgrown(node: Mapping, new: dict[str, Doc]) -> bool:
    """Whether curly brackets round empty lists are to hold whole lines now."""
    return (
        node.flow
        and all(isinstance(e.value, Sequence) and not e.value.items for e in node.entries)
        and not emit.fits_one_line(new)
    )


def _news(value: list[Doc] | dict[str, Doc]) -> tuple[New, ...]:
    if isinstance(value, list):
        return tuple(New(None, each) for each in value)
    return tuple(New(key, each) for key, each in value.items())


def _with_foreign(final: list[int | New], foreign: list[int]) -> list[int | New]:
    """``final`` with the places that the story knows nothing of, each where it was."""
    for index in foreign:
        place = next(
            (i for i, each in enumerate(final) if isinstance(each, int) and each > index),
            len(final),
        )
        final = [*final[:place], index, *final[place:]]
    return final


def _net_counts(old: Doc, new: Doc) -> Counter[str]:
    """By how much each item comes more often in ``new``; below 0 for what is deleted."""
    counts = _item_counts(new)
    counts.subtract(_item_counts(old))
    return counts


def _item_counts(doc: Doc) -> Counter[str]:
    """How often each record that is an item of a list stands in a document."""
    counts: Counter[str] = Counter()
    ahead: list[Doc] = [doc]
    while ahead:
        at = ahead.pop()
        if isinstance(at, list):
            counts.update(emit.inline(each) for each in at if isinstance(each, dict))
            ahead += at
        elif isinstance(at, dict):
            ahead += at.values()
    return counts
