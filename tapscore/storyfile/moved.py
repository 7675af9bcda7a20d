"""Blocks that left one place of a text, ready to turn up in another as they were."""

from collections.abc import Callable, Iterable

from attrs import frozen

from tapscore.storyfile import emit
from tapscore.storyfile.kinds import Doc
from tapscore.storyfile.likeness import likeness
from tapscore.storyfile.nodes import Mapping, Node, Sequence, parse_yaml

ALMOST_THE_SAME = 0.8
_WRAP = "items:\n"

Change = Callable[[str, Mapping, Node, Doc, Doc], str | None]
"""Changes one node of a text from one document to another."""


@frozen
class _Gone:
    doc: Doc
    text: str
    column: int


class MovedBlocks:
    """Knows the blocks that were taken out and writes what is put in, from them if it can."""

    def __init__(self, change: Change) -> None:
        self._change = change
        self._items: list[_Gone] = []
        self._entries: dict[str, _Gone] = {}
        self._exact: dict[str, list[_Gone]] = {}

    def add(self, key: str | None, doc: Doc, text: str, column: int) -> None:
        """Note a block that is taken out of a list, or of a mapping where it has a key."""
        gone = _Gone(doc, text.replace("\r\n", "\n"), column)
        if key is not None:
            self._entries[key] = gone
        elif isinstance(doc, dict):
            self._items.append(gone)

    def match(self, values: Iterable[Doc]) -> None:
        """Set aside, for every value, the block that says just the same."""
        for value in _items_within(values):
            key = emit.inline(value)
            found = next((gone for gone in self._items if emit.inline(gone.doc) == key), None)
            if found is not None:
                self._items.remove(found)
                self._exact.setdefault(key, []).append(found)

    def item(self, value: Doc, column: int) -> str:
        """The lines of a list item whose dash stands at ``column``."""
        same = self._exact.get(emit.inline(value))
        if same:
            return _shifted(same.pop(), column)
        if isinstance(value, dict) and value and "" not in value:
            changed = self._almost(value, column)
            return changed if changed is not None else self._fresh(value, column)
        return " " * column + emit.item(value, column)

    def entry(self, key: str, value: Doc, column: int) -> str:
        """The lines of a mapping's entry whose key stands at ``column``."""
        gone = self._entries.get(key)
        if gone is not None and emit.inline(gone.doc) == emit.inline(value):
            del self._entries[key]
            return _shifted(gone, column)
        if isinstance(value, list) and any(isinstance(each, dict) for each in value):
            items = "".join("\n" + self.item(each, column + 2) for each in value)
            return f"{' ' * column}{emit.scalar(key)}:{items}"
        return " " * column + emit.entry(key, value, column)

    def _fresh(self, value: dict[str, Doc], column: int) -> str:
        entries = [self.entry(key, each, column + 2) for key, each in value.items()]
        return " " * column + "- " + "\n".join(entries).lstrip(" ")

    def _almost(self, value: Doc, column: int) -> str | None:
        """The block that says nearly the same, with the difference spliced in."""
        likely = max(self._items, key=lambda gone: likeness(gone.doc, value), default=None)
        if likely is None or likeness(likely.doc, value) < ALMOST_THE_SAME:
            return None
        text = _WRAP + _shifted(likely, column) + "\n"
        root = parse_yaml(text).root
        node = root.get("items") if root is not None else None
        if root is None or not isinstance(node, Sequence) or len(node.items) != 1:
            return None
        changed = self._change(text, root, node.items[0], likely.doc, value)
        if changed is None:
            return None
        self._items.remove(likely)
        return changed.removeprefix(_WRAP).removesuffix("\n")


def _items_within(values: Iterable[Doc]) -> Iterable[Doc]:
    for value in values:
        if isinstance(value, dict):
            yield value
            for part in value.values():
                if isinstance(part, list):
                    yield from _items_within(part)


def _shifted(gone: _Gone, column: int) -> str:
    """A block's lines for another column, without the last line end."""
    lines = gone.text.removesuffix("\n").split("\n")
    if column >= gone.column:
        more = " " * (column - gone.column)
        lines = [more + line if line.strip() else line for line in lines]
    else:
        less = gone.column - column
        lines = [line[min(less, len(line) - len(line.lstrip(" "))) :] for line in lines]
    return "\n".join(lines)
