"""A document as data: headings, words, tables and lines to fill in."""

from attrs import field, frozen


@frozen
class Heading:
    """The title of a part."""

    text: str = field(repr=False)


@frozen
class Words:
    """A paragraph, with a few bold words before it if any."""

    text: str = field(repr=False)
    bold: str = field(default="", repr=False)
    set_in: bool = False


@frozen
class WrittenTable:
    """A table: the first column names the rows."""

    heads: tuple[str, ...] = field(repr=False)
    rows: tuple[tuple[str, ...], ...] = field(repr=False)

    @property
    def lines(self) -> tuple[tuple[str, ...], ...]:
        """The heads and the rows, with no cell empty."""
        given = (self.heads, *self.rows)
        return tuple(tuple(cell if cell.strip() else NOTHING for cell in row) for row in given)


@frozen
class ToFill:
    """A label with lines to write on by hand."""

    label: str = field(repr=False)
    lines: int = 1


NOTHING = "–"
"""Stands in an empty cell, so that a table has a cell everywhere."""


Part = Heading | Words | WrittenTable | ToFill


@frozen
class WrittenDocument:
    """Everything on some sheets of paper, in reading order."""

    title: str = field(repr=False)
    beneath: str = field(repr=False)
    """A line under the title."""
    parts: tuple[Part, ...] = field(repr=False)
    paper: str = "A4"
    landscape: bool = False
    text_pt: float = 12.0
    """Larger where it is read from further off than the hand."""
    subject: str = ""
    """What kind of paper it is, for the file's properties."""
