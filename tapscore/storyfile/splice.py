"""Change a YAML text as little as a change of its data asks for.

``splice`` compares what the file says now with what it should say, and touches only
where the two differ.  Comments, unknown keys and untouched blocks keep every byte.
Comment lines straight above an entry belong to it: they go where it goes.
"""

from difflib import SequenceMatcher
from typing import TypeVar

from attrs import frozen

from tapscore.storyfile import emit
from tapscore.storyfile.kinds import Doc
from tapscore.storyfile.nodes import Entry, Mapping, Node, Scalar, Sequence

D = TypeVar("D")


@frozen
class _Cut:
    start: int
    end: int
    text: str


class Splicer:
    """Gathers the cuts that make a text say something else."""

    def __init__(self, text: str, root: Mapping) -> None:
        self._text = text
        self._root = root
        self._cuts: list[_Cut] = []
        self._newline = "\r\n" if "\r\n" in text else "\n"

    def splice(self, old: dict[str, Doc], new: dict[str, Doc]) -> str:
        """The text with ``old`` (what it says now) changed to ``new``."""
        self._mapping(self._root, old, new)
        text = self._text
        for cut in sorted(self._cuts, key=lambda c: (c.start, c.end), reverse=True):
            text = text[: cut.start] + cut.text.replace("\n", self._newline) + text[cut.end :]
        return text

    def _change(self, node: Node, old: Doc, new: Doc) -> bool:
        """Try to change inside ``node``; False if it must be written anew as a whole."""
        if old == new:
            return True
        if isinstance(node, Mapping) and isinstance(old, dict) and isinstance(new, dict):
            if not new or not node.entries:
                return False
            self._mapping(node, old, new)
            return True
        if isinstance(node, Sequence) and isinstance(old, list) and isinstance(new, list):
            if not new or len(old) != len(node.items) or not node.items:
                return False
            self._sequence(node, old, new)
            return True
        if isinstance(node, Scalar) and isinstance(new, str) and node.span.end > node.span.start:
            self._cut(node.span.start, self._content_end(node), emit.scalar(new, flow=True))
            return True
        return False

    def _mapping(self, node: Mapping, old: dict[str, Doc], new: dict[str, Doc]) -> None:
        entries = {entry.key.value: entry for entry in node.entries}
        kept: Entry | None = None
        additions: list[tuple[Entry | None, str, Doc]] = []
        for key, value in new.items():
            entry = entries.get(key)
            if entry is None:
                additions.append((kept, key, value))
                continue
            kept = entry
            if key not in old or not self._change(entry.value, old[key], value):
                self._replace_value(node, entry, value)
        for position, entry in enumerate(node.entries):
            if entry.key.value in old and entry.key.value not in new:
                self._delete(node, position)
        for after, key, value in additions:
            self._insert(node, after, key, value)

    def _sequence(self, node: Sequence, old: list[Doc], new: list[Doc]) -> None:
        matcher = SequenceMatcher(None, [_key(d) for d in old], [_key(d) for d in new], False)
        for what, i1, i2, j1, j2 in matcher.get_opcodes():
            if what == "equal":
                continue
            paired = min(i2 - i1, j2 - j1)
            for offset in range(paired):
                child, value = node.items[i1 + offset], new[j1 + offset]
                if not self._change(child, old[i1 + offset], value):
                    self._replace_item(node, child, value)
            for position in range(i1 + paired, i2):
                self._delete(node, position)
            self._insert_items(node, i1 + paired, new[j1 + paired : j2])

    def _cut(self, start: int, end: int, text: str) -> None:
        self._cuts.append(_Cut(start, end, text))

    def _replace_value(self, owner: Mapping, entry: Entry, value: Doc) -> None:
        colon = self._text.index(":", entry.key.span.end) + 1
        end = max(self._content_end(entry.value), colon)
        if owner.flow:
            self._cut(colon, end, " " + emit.inline(value))
        else:
            self._cut(colon, end, emit.after_colon(value, entry.key.span.column - 1))

    def _replace_item(self, owner: Sequence, child: Node, value: Doc) -> None:
        end = self._content_end(child)
        if owner.flow:
            self._cut(child.span.start, end, emit.inline(value))
        else:
            column = self._dash(child) - self._line_start(self._dash(child))
            self._cut(child.span.start, end, emit.item(value, column)[2:])

    def _delete(self, node: Mapping | Sequence, position: int) -> None:
        starts, ends = self._extents(node)
        if node.flow:
            if position > 0:
                self._cut(ends[position - 1], ends[position], "")
            else:
                last = len(starts) == 1
                self._cut(starts[0], ends[0] if last else starts[1], "")
            return
        line = self._line_start(starts[position])
        if self._text[line : starts[position]].strip(" "):
            self._cut(starts[position], ends[position], "")
            return
        begin = self._comments_above(line)
        self._cut(begin, self._next_line(ends[position]), "")

    def _insert(self, node: Mapping, after: Entry | None, key: str, value: Doc) -> None:
        after = after or node.entries[0]
        end = self._content_end(after.value) if _shown(after.value) else after.key.span.end + 1
        if node.flow:
            self._cut(end, end, f", {emit.scalar(key, flow=True)}: {emit.inline(value)}")
            return
        column = node.entries[0].key.span.column - 1
        text = emit.entry(key, value, column)
        end = self._line_end(end)
        self._cut(end, end, f"\n{' ' * column}{text}")

    def _insert_items(self, node: Sequence, position: int, values: list[Doc]) -> None:
        if not values:
            return
        starts, ends = self._extents(node)
        if node.flow:
            texts = [emit.inline(value) for value in values]
            if position == 0:
                self._cut(starts[0], starts[0], "".join(f"{text}, " for text in texts))
            else:
                at = ends[position - 1]
                self._cut(at, at, "".join(f", {text}" for text in texts))
            return
        line = self._line_start(starts[0])
        column = starts[0] - line
        texts = [" " * column + emit.item(value, column) for value in values]
        if position == 0 and not self._text[line : starts[0]].strip(" "):
            at = self._comments_above(line)
            self._cut(at, at, "".join(f"{text}\n" for text in texts))
        elif position == 0:
            text = f"\n{' ' * column}".join(text[column:] for text in texts)
            self._cut(starts[0], starts[0], f"{text}\n{' ' * column}")
        else:
            at = self._line_end(ends[position - 1])
            self._cut(at, at, "".join(f"\n{text}" for text in texts))

    def _extents(self, node: Mapping | Sequence) -> tuple[list[int], list[int]]:
        """Start and end of every entry's own text, the dash of an item included."""
        if isinstance(node, Mapping):
            return (
                [entry.key.span.start for entry in node.entries],
                [
                    self._content_end(e.value) if _shown(e.value) else e.key.span.end + 1
                    for e in node.entries
                ],
            )
        starts = [n.span.start if node.flow else self._dash(n) for n in node.items]
        return starts, [self._content_end(n) for n in node.items]

    def _dash(self, child: Node) -> int:
        return self._text.rindex("-", 0, max(child.span.start, 1))

    def _content_end(self, node: Node) -> int:
        while not isinstance(node, Scalar) and not node.flow:
            if isinstance(node, Mapping):
                last = node.entries[-1]
                if not _shown(last.value):
                    return self._text.index(":", last.key.span.end) + 1
                node = last.value
            else:
                node = node.items[-1]
        start, end = node.span.start, node.span.end
        return start + len(self._text[start:end].rstrip())

    def _line_start(self, at: int) -> int:
        return self._text.rfind("\n", 0, at) + 1

    def _line_end(self, at: int) -> int:
        end = self._text.find("\n", at)
        end = len(self._text) if end < 0 else end
        return end - 1 if end > at and self._text[end - 1] == "\r" else end

    def _next_line(self, at: int) -> int:
        end = self._text.find("\n", at)
        return len(self._text) if end < 0 else end + 1

    def _comments_above(self, line: int) -> int:
        while line > 0:
            above = self._line_start(line - 1)
            if not self._text[above:line].lstrip(" ").startswith("#"):
                break
            line = above
        return line


def _shown(node: Node) -> bool:
    return not isinstance(node, Scalar) or node.span.end > node.span.start


def _key(doc: Doc) -> str:
    return emit.inline(doc)
