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
class Grid:
    """A table: the first column names the rows."""

    heads: tuple[str, ...] = field(repr=False)
    rows: tuple[tuple[str, ...], ...] = field(repr=False)


@frozen
class ToFill:
    """A label with lines to write on by hand."""

    label: str = field(repr=False)
    lines: int = 1


Part = Heading | Words | Grid | ToFill


@frozen
class Document:
    """Everything on some sheets of paper, in reading order."""

    title: str = field(repr=False)
    beneath: str = field(repr=False)
    """A line under the title."""
    parts: tuple[Part, ...] = field(repr=False)
    paper: str = "A4"
    landscape: bool = False
    subject: str = ""
    """What kind of paper it is, for the file's properties."""
