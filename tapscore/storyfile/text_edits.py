"""The edits of a text: what is cut out and what is written in."""

from collections.abc import Callable

from attrs import frozen

from tapscore.storyfile import emit
from tapscore.storyfile.blocks import Block, Blocks
from tapscore.storyfile.kinds import Doc
from tapscore.storyfile.nodes import Mapping, Sequence
from tapscore.storyfile.origins import BlockOrigin, Source


@frozen(eq=False)
class New:
    """Something to be written between what is kept; ``key`` where it is a mapping's."""

    key: str | None
    value: Doc
    origin: BlockOrigin | None = None


@frozen(eq=False)
class Writing:
    """How something new is written."""

    lines: Callable[[New, int], str]
    """On lines of its own, from a column on."""
    in_brackets: Callable[[New], str | None]
    """As it stood in brackets on one line; None for what did not."""


class TextEdits:
    """Gathers edits of one text; nothing is changed before ``result``."""

    def __init__(self, source: Source, writing: Writing) -> None:
        self._source = source
        self._text = source.text
        self._blocks = Blocks(source.text)
        self._writing = writing
        self._edits: list[tuple[int, int, str]] = []

    def result(self, start: int, end: int) -> str:
        """A stretch of the text with every edit made; all must lie in it."""
        parts: list[str] = []
        at = start
        for first, behind, text in sorted(self._edits, key=lambda edit: edit[:2]):
            parts += (self._text[at:first], text.replace("\n", self._source.newline))
            at = max(behind, at)
        return "".join(parts) + self._text[at:end]

    def cut(self, start: int, end: int, text: str) -> None:
        """Put ``text`` in place of a stretch."""
        self._edits.append((start, end, text))

    def replace(self, start: int, end: int, text: str) -> None:
        """Like ``cut``, but comments within the stretch move above the line it begins in."""
        comments = self._source.comments_in(start, end)
        self._write_above(start, [each for each in comments if each not in text])
        self.cut(start, end, text)

    def keep_as_comment(self, start: int, end: int) -> None:
        """Write what stands in a stretch above it as well, as comments."""
        lines = self._text[start:end].splitlines()
        self._write_above(start, [f"# {line.strip()}" for line in lines if line.strip()])

    def _write_above(self, at: int, comments: list[str]) -> None:
        line = self._blocks.line_start(at)
        before = self._text[line:at]
        space = " " * (len(before) - len(before.lstrip(" ")))
        if comments:
            self.cut(line, line, "".join(f"{space}{each}\n" for each in comments))

    def arrange(self, node: Mapping | Sequence, final: list[int | New]) -> None:
        """Delete what is not in ``final`` and write what is new there, in that order."""
        blocks = self._source.blocks(node)
        kept = [each for each in final if isinstance(each, int)]
        gone = sorted(set(range(len(blocks))) - set(kept))
        if len(kept) == len(final) and not gone:
            return
        runs = _runs(final)
        if node.flow:
            self._arrange_flow(node, kept, runs, gone)
            return
        if not kept and runs.get(None):
            self._replace_blocks(blocks, runs[None])
            return
        for position in gone:
            self._delete(blocks[position])
        for after, news in runs.items():
            if after is not None:
                self.insert_at(blocks[after].next_line, self._blocks.column(blocks[0].start), news)
            elif kept:
                self._insert_before(blocks[kept[0]], news)

    def insert_at(self, at: int, column: int, news: tuple[New, ...]) -> None:
        """Write new things on lines of their own at the beginning of a line."""
        text = self._lines(news, column)
        at_line = at == 0 or self._text[at - 1] == "\n"
        self.cut(at, at, f"{text}\n" if at_line else f"\n{text}")

    def _lines(self, news: tuple[New, ...], column: int) -> str:
        return "\n".join(self._writing.lines(new, column) for new in news)

    def _delete(self, block: Block) -> None:
        if block.own_lines:
            self.cut(block.first_line, block.next_line, "")
        else:
            self.cut(block.start, block.end, "")

    def _replace_blocks(self, blocks: tuple[Block, ...], news: tuple[New, ...]) -> None:
        first = blocks[0]
        text = self._lines(news, self._blocks.column(first.start))
        if first.own_lines:
            self.cut(first.first_line, first.next_line, f"{text}\n")
        else:
            self.cut(first.start, first.end, text.lstrip(" "))
        for block in blocks[1:]:
            self._delete(block)

    def _insert_before(self, block: Block, news: tuple[New, ...]) -> None:
        column = self._blocks.column(block.start)
        text = self._lines(news, column)
        if block.own_lines:
            self.cut(block.first_line, block.first_line, f"{text}\n")
        else:
            self.cut(block.start, block.start, f"{text.lstrip(' ')}\n{' ' * column}")

    def _arrange_flow(
        self,
        node: Mapping | Sequence,
        kept: list[int],
        runs: dict[int | None, tuple[New, ...]],
        gone: list[int],
    ) -> None:
        blocks = self._source.blocks(node)
        texts = {a: ", ".join(map(self._flow_text, news)) for a, news in runs.items()}
        if not kept:
            self.replace(blocks[0].start, blocks[-1].end, texts.get(None, ""))
            return
        one_line = "\n" not in self._text[node.start : node.end]
        last = kept[-1]
        for position in gone:
            if position < last:
                self.cut(blocks[position].start, self._behind_comma(blocks, position), "")
            elif one_line:
                self.cut(blocks[position - 1].end, blocks[position].end, "")
            elif position == last + 1:
                self.cut(blocks[position].start, blocks[-1].end, "")
        for after, text in texts.items():
            if after is None:
                self.cut(blocks[kept[0]].start, blocks[kept[0]].start, f"{text}, ")
            else:
                self.cut(blocks[after].end, blocks[after].end, f", {text}")

    def _behind_comma(self, blocks: tuple[Block, ...], position: int) -> int:
        """Where what follows an item in brackets begins, comments above it included."""
        end, start = blocks[position].end, blocks[position + 1].start
        line = self._blocks.line_end(self._text.find(",", end, start))
        return line if self._source.comments_in(line, start) else start

    def _flow_text(self, new: New) -> str:
        copied = self._writing.in_brackets(new)
        if copied is not None:
            return copied
        return emit.inline(new.value) if new.key is None else emit.inline_entry(new.key, new.value)


def _runs(final: list[int | New]) -> dict[int | None, tuple[New, ...]]:
    """New things by the kept thing they come after."""
    runs: dict[int | None, list[New]] = {}
    after: int | None = None
    for each in final:
        if isinstance(each, int):
            after = each
        else:
            runs.setdefault(after, []).append(each)
    return {after: tuple(news) for after, news in runs.items()}
