"""Where the blocks of a YAML text begin and end, comments and line ends included."""

import re

from attrs import frozen

from tapscore.storyfile.nodes import KeyAndValue, Mapping, Node, Scalar, Sequence

_RARE_LINE_END = re.compile("[\x85\u2028\u2029]")


@frozen
class Block:
    """One entry of a mapping or item of a list, as it lies in the text."""

    start: int
    """Where its key or dash stands."""
    end: int
    """Behind the last character that says something."""
    first_line: int
    """Beginning of its first line, the comment lines straight above included."""
    next_line: int
    """Beginning of the line after it."""
    own_lines: bool
    """Whether nothing else stands on its lines."""


class Blocks:
    """Finds the blocks of one text."""

    def __init__(self, text: str) -> None:
        self.text = text

    def of(self, node: Mapping | Sequence) -> tuple[Block, ...]:
        """The blocks of a mapping's entries or a list's items, in order."""
        found: list[Block] = []
        floor = 0
        for start, end in self._extents(node):
            line = self.line_start(start)
            own = not self.text[line:start].strip(" ")
            above = self._comments_above(line, floor) if own else line
            found.append(Block(start, end, above, self.next_line(end), own))
            floor = end
        return tuple(found)

    def colon_end(self, key: Scalar) -> int | None:
        """Behind the colon of a key; None for a key in a flow mapping that has none."""
        at = self._skip(key.end)
        return at + 1 if self.text[at : at + 1] == ":" else None

    def content_end(self, node: Node) -> int:
        """Behind the last character of a node that says something."""
        while not isinstance(node, Scalar) and not node.flow:
            if isinstance(node, Mapping):
                left_out = next(filter(shown, reversed(node.left_out)), None)
                last = node.entries[-1] if node.entries else None
                if last is None or (left_out and left_out.start > last.key.start):
                    if left_out is None:
                        break
                    node = left_out
                    continue
                if not shown(last.value):
                    return self.colon_end(last.key) or last.key.end
                node = last.value
            else:
                node = node.items[-1]
        start, end = node.start, node.end
        return start + len(self.text[start:end].rstrip())

    def column(self, at: int) -> int:
        """The column of an offset as YAML 1.1 counts, for which more characters end lines."""
        line = self.line_start(at)
        found = _RARE_LINE_END.search(self.text[line:at][::-1])
        return found.start() if found is not None else at - line

    def line_start(self, at: int) -> int:
        """Beginning of the line in which an offset lies."""
        return self.text.rfind("\n", 0, at) + 1

    def line_end(self, at: int) -> int:
        """End of the line in which an offset lies, before its line ending."""
        end = self.text.find("\n", at)
        end = len(self.text) if end < 0 else end
        return end - 1 if end > at and self.text[end - 1] == "\r" else end

    def next_line(self, at: int) -> int:
        """Beginning of the line after the one in which an offset lies."""
        end = self.text.find("\n", at)
        return len(self.text) if end < 0 else end + 1

    def _extents(self, node: Mapping | Sequence) -> list[tuple[int, int]]:
        if isinstance(node, Mapping):
            return [(e.key.start, self._entry_end(e, node.flow)) for e in node.entries]
        extents: list[tuple[int, int]] = []
        after = node.start
        for child in node.items:
            start = child.start if node.flow else self._dash(after, child)
            after = max(self.content_end(child), start + 1)
            extents.append((start, after))
        return extents

    def _entry_end(self, entry: KeyAndValue, flow: bool) -> int:
        if shown(entry.value):
            return self.content_end(entry.value)
        end = self.colon_end(entry.key) or entry.key.end
        while flow and self.text[end : end + 1] == " ":
            end += 1  # a colon without a space behind it is no colon
        return end

    def _dash(self, after: int, child: Node) -> int:
        at = self._skip(after)
        return at if self.text[at] == "-" else self.text.rindex("-", 0, child.start)

    def _skip(self, at: int) -> int:
        """The first character from ``at`` on that is neither space nor comment."""
        text = self.text
        while at < len(text):
            if text[at].isspace():
                at += 1
            elif text[at] == "#":
                at = self.next_line(at)
            else:
                break
        return at

    def _comments_above(self, line: int, floor: int) -> int:
        while line > floor:
            above = self.line_start(line - 1)
            if above < floor or not self.text[above:line].lstrip(" ").startswith("#"):
                break
            line = above
        return line


def shown(node: Node) -> bool:
    """Whether a node is there in the text at all."""
    return not isinstance(node, Scalar) or node.end > node.start
