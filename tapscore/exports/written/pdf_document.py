"""A document as tagged pages."""

from itertools import count

from attrs import evolve

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.drawing import Page, StraightLine, TableCell, TaggedBlock
from tapscore.exports.paper.fonts import missing
from tapscore.exports.paper.inks import LINE
from tapscore.exports.paper.pdf import write_pdf
from tapscore.exports.paper.running_pages import (
    TEXT_PT,
    heading,
    running_pages,
    sheet_of,
    text,
    title,
    write_on,
)
from tapscore.exports.paper.text_flow import Piece, own
from tapscore.exports.written.document import (
    Heading,
    Part,
    ToFill,
    Words,
    WrittenDocument,
    WrittenTable,
)

SET_IN_PT = 18.0
HEADING_SHARE = 4 / 3
_PAD_PT = 4.0
_NAMES_SHARE = 0.26
_LEAST_COLUMN_PT = 82.0
"""Wide enough for the longest word of an answer in 12 points."""


def pdf_document(document: WrittenDocument, language: str | None = None) -> bytes:
    """Write a document as a tagged PDF."""
    pages = document_pages(document)
    pdf, _ = write_pdf(
        pages, title=document.title, subject=document.subject or document.title, language=language
    )
    return pdf


def document_pages(document: WrittenDocument) -> tuple[Page, ...]:
    """Lay out the pages that ``pdf_document`` prints, as data."""
    sheet = sheet_of(document.paper, landscape=document.landscape)
    wide = sheet.inner_width_pt
    made = [title(document.title, document.beneath, wide)]
    tables = count(1)
    for part in document.parts:
        made += _bands(part, wide, document.text_pt, tables)
    return running_pages(made, sheet, document.title)


def not_printed(document: WrittenDocument) -> str:
    """Characters that no font here prints; a DOCX has them all."""
    texts = [document.title, document.beneath]
    for part in document.parts:
        if isinstance(part, WrittenTable):
            texts += [*part.heads, *(cell for row in part.rows for cell in row)]
        elif isinstance(part, Words):
            texts += [part.bold, part.text]
        else:
            texts.append(part.text if isinstance(part, Heading) else part.label)
    return missing(" ".join(texts))


def _bands(part: Part, wide: float, text_pt: float, tables: "count[int]") -> list[Band]:
    if isinstance(part, Heading):
        return [heading(part.text, wide, text_pt * HEADING_SHARE)]
    if isinstance(part, ToFill):
        return [write_on(part.label, wide, part.lines, text_pt)]
    if isinstance(part, WrittenTable):
        return _grid(part, wide, tables)
    left = SET_IN_PT if part.set_in else 0.0
    bold = f"{part.bold} " if part.bold else ""
    made = text(part.text, wide - left, text_pt, bold=bold)
    return [evolve(made, blocks=made.at(left, 0))]


def _grid(grid: WrittenTable, wide: float, tables: "count[int]") -> list[Band]:
    """As many columns side by side as there is room for; then the names of rows come again."""
    names = wide * _NAMES_SHARE
    most = max(int((wide - names) / _LEAST_COLUMN_PT), 1)
    others = len(grid.heads) - 1
    made: list[Band] = []
    for first in range(0, max(others, 1), most):
        chosen = range(first + 1, min(first + most, others) + 1)
        part = [(row[0], *(row[i] for i in chosen)) for row in grid.lines]
        columns = [names, *[(wide - names) / max(min(most, others), 1)] * len(chosen)]
        made += _table(part, columns, next(tables))
    return made


def _table(rows: list[tuple[str, ...]], columns: list[float], number: int) -> list[Band]:
    """A table's rows; its head comes again on each further side, as decoration."""
    head = _row(rows[0], columns, TableCell(number, 0), head=True)
    again = evolve(
        head, blocks=tuple(TaggedBlock("Artifact", block.elements) for block in head.blocks)
    )
    made = [bands.spaced(head, 10.0, with_next=True)]
    made += [
        evolve(_row(row, columns, TableCell(number, place), head=False), again=again)
        for place, row in enumerate(rows[1:], 1)
    ]
    return made


def _row(texts: tuple[str, ...], columns: list[float], cell: TableCell, *, head: bool) -> Band:
    blocks: list[TaggedBlock] = []
    x = high = 0.0
    for place, (words, wide) in enumerate(zip(texts, columns, strict=True)):
        named = head or place == 0
        said = bands.paragraph(
            (Piece(own(words), named),), TEXT_PT, wide - 2 * _PAD_PT, tag="TH" if named else "TD"
        )
        scope = "Column" if head else "Row" if place == 0 else ""
        for block in said.at(x + _PAD_PT, _PAD_PT):
            blocks.append(evolve(block, cell=evolve(cell, scope=scope)))
        high = max(high, said.height + 2 * _PAD_PT)
        x += wide
    rule = TaggedBlock("Artifact", (StraightLine(0, high, x, high, LINE, 1.4 if head else 0.7),))
    return Band((*blocks, rule), high)
