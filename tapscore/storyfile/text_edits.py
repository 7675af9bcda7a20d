"""The edits of a text: what is cut out, what is written in, and what goes elsewhere."""

from attrs import frozen

from tapscore.storyfile import emit
from tapscore.storyfile.blocks import Block, Blocks
from tapscore.storyfile.kinds import Doc, NamedDoc
from tapscore.storyfile.moved import Change, MovedBlocks
from tapscore.storyfile.nodes import Mapping, Node, Sequence


@frozen
class _Cut:
    start: int
    end: int
    text: str


@frozen
class New:
    """Something to be written between what is kept; ``key`` where it is a mapping's."""

    key: str | None
    value: Doc


@frozen
class _Insertion:
    """New things for one place of a block list or mapping."""

    start: int
    end: int
    column: int
    news: tuple[New, ...]
    before: str = ""
    after: str = ""
    within_line: bool = False
    """Whether it starts behind something else on its line."""


class TextEdits:
    """Gathers edits of one text; nothing is changed before ``result``."""

    def __init__(self, text: str, change: Change) -> None:
        self.blocks = Blocks(text)
        self._text = text
        self._edits: list[_Cut | _Insertion] = []
        self._moved = MovedBlocks(change)

    def result(self) -> str:
        """The text with every edit made."""
        newline = "\r\n" if "\r\n" in self._text else "\n"
        self._moved.match(
            new.value
            for edit in self._edits
            if isinstance(edit, _Insertion)
            for new in edit.news
            if new.key is None
        )
        parts: list[str] = []
        at = 0
        for edit in sorted(self._edits, key=lambda e: (e.start, e.end)):
            parts.append(self._text[at : edit.start])
            parts.append(self._new_text(edit).replace("\n", newline))
            at = max(edit.end, at)
        return "".join(parts) + self._text[at:]

    def _new_text(self, edit: _Cut | _Insertion) -> str:
        if isinstance(edit, _Cut):
            return edit.text
        texts = [
            self._moved.item(new.value, edit.column)
            if new.key is None
            else self._moved.entry(new.key, new.value, edit.column)
            for new in edit.news
        ]
        text = "\n".join(texts)
        return edit.before + (text.lstrip(" ") if edit.within_line else text) + edit.after

    def cut(self, start: int, end: int, text: str) -> None:
        """Put ``text`` in place of a stretch."""
        self._edits.append(_Cut(start, end, text))

    def arrange(self, node: Mapping | Sequence, final: list[int | New], old: Doc) -> None:
        """Delete what is not in ``final`` and write what is new there, in that order."""
        blocks = self.blocks.of(node)
        kept = [each for each in final if isinstance(each, int)]
        gone = sorted(set(range(len(blocks))) - set(kept))
        if len(kept) == len(final) and not gone:
            return
        if node.flow:
            self._arrange_flow(node, final, blocks, gone)
            return
        for position in gone:
            self._remember(node, position, blocks[position], old)
        runs = _runs(final)
        if not kept and runs.get(None):
            self._replace_blocks(blocks, runs[None])
            return
        for position in gone:
            self._delete(blocks[position])
        for after, news in runs.items():
            if after is not None:
                self._insert_after(blocks[after], blocks[0], news)
            elif kept:
                self._insert_before(blocks[kept[0]], news)

    def _column(self, block: Block) -> int:
        return block.start - self.blocks.line_start(block.start)

    def _delete(self, block: Block) -> None:
        if block.own_lines:
            self.cut(block.first_line, block.next_line, "")
        else:
            self.cut(block.start, block.end, "")

    def _replace_blocks(self, blocks: tuple[Block, ...], news: tuple[New, ...]) -> None:
        first, column = blocks[0], self._column(blocks[0])
        if first.own_lines:
            start, end = first.first_line, first.next_line
            self._edits.append(_Insertion(start, end, column, news, after="\n"))
        else:
            start, end = first.start, first.end
            self._edits.append(_Insertion(start, end, column, news, within_line=True))
        for block in blocks[1:]:
            self._delete(block)

    def _insert_after(self, block: Block, first: Block, news: tuple[New, ...]) -> None:
        self.insert_at(block.next_line, self._column(first), news)

    def insert_at(self, at: int, column: int, news: tuple[New, ...]) -> None:
        """Write new things on lines of their own at the beginning of a line."""
        if self._text[:at].endswith("\n"):
            self._edits.append(_Insertion(at, at, column, news, after="\n"))
        else:
            self._edits.append(_Insertion(at, at, column, news, before="\n"))

    def _insert_before(self, block: Block, news: tuple[New, ...]) -> None:
        column = self._column(block)
        if block.own_lines:
            at = block.first_line
            self._edits.append(_Insertion(at, at, column, news, after="\n"))
        else:
            at, after = block.start, "\n" + " " * column
            self._edits.append(_Insertion(at, at, column, news, after=after, within_line=True))

    def _arrange_flow(
        self,
        node: Mapping | Sequence,
        final: list[int | New],
        blocks: tuple[Block, ...],
        gone: list[int],
    ) -> None:
        runs = {after: ", ".join(map(_flow_text, news)) for after, news in _runs(final).items()}
        kept = [each for each in final if isinstance(each, int)]
        if not kept:
            self.cut(blocks[0].start, blocks[-1].end, runs.get(None, ""))
            return
        one_line = "\n" not in self._text[node.span.start : node.span.end]
        last = kept[-1]
        for position in gone:
            following = next((i for i in kept if i > position), None)
            if following is not None:
                self.cut(blocks[position].start, blocks[position + 1].start, "")
            elif one_line:
                self.cut(blocks[position - 1].end, blocks[position].end, "")
            elif position == last + 1:
                self.cut(blocks[position].start, blocks[-1].end, "")
        for after, text in runs.items():
            if after is None:
                self.cut(blocks[kept[0]].start, blocks[kept[0]].start, f"{text}, ")
            else:
                self.cut(blocks[after].end, blocks[after].end, f", {text}")

    def _remember(self, node: Mapping | Sequence, position: int, block: Block, old: Doc) -> None:
        """Keep the text of a block that goes, in case it turns up somewhere else."""
        if isinstance(node, Mapping):
            child, name = node.entries[position].value, node.entries[position].key.value
            doc = old.get(name) if isinstance(old, dict) else None
            key = name if isinstance(old, NamedDoc) else ""
        else:
            child, key = node.items[position], None
            doc = old[position] if isinstance(old, list) and position < len(old) else None
        if doc is None:
            return
        if block.own_lines and key != "":
            text = self._text[block.first_line : block.next_line]
            self._moved.add(key, doc, text, self._column(block))
        if isinstance(child, Mapping) and isinstance(doc, dict):
            inner: list[tuple[Node, Doc]] = [
                (e.value, doc[e.key.value]) for e in child.entries if e.key.value in doc
            ]
        else:
            inner = [(child, doc)]
        for part, part_doc in inner:
            if (
                isinstance(part, Sequence)
                and isinstance(part_doc, list)
                and not part.flow
                and len(part.items) == len(part_doc)
            ):
                for i, inner_block in enumerate(self.blocks.of(part)):
                    self._remember(part, i, inner_block, part_doc)


def _flow_text(new: New) -> str:
    return emit.inline(new.value) if new.key is None else emit.inline_entry(new.key, new.value)


def _runs(final: list[int | New]) -> dict[int | None, tuple[New, ...]]:
    """New things by the kept thing they come after."""
    runs: dict[int | None, tuple[New, ...]] = {}
    after: int | None = None
    for each in final:
        if isinstance(each, int):
            after = each
        else:
            runs[after] = (*runs.get(after, ()), each)
    return runs
