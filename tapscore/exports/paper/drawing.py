"""A page as data: text and shapes in reading order, before anything draws them.

Points, from the top left corner, to the right and *down*.  A screen preview and the PDF
writer draw the same pages.
"""

from collections.abc import Callable

from attrs import evolve, field, frozen

from tapscore.exports.marks import PathSink
from tapscore.exports.paper.inks import Ink
from tapscore.exports.paper.pages import Paper

Op = tuple[str, tuple[float, ...]]
"""``("M", (x, y))``, ``("L", (x, y))``, ``("C", (x1, y1, x2, y2, x, y))`` or ``("Z", ())``."""


FROM_LEFT, FROM_RIGHT = "from left", "from right"


@frozen
class TextRun:
    """A run of text on one line; (x, y) is the left end of its base line."""

    x: float
    y: float
    text: str
    size_pt: float
    ink: Ink
    bold: bool
    width_pt: float
    spoken: str | None = None
    """What a reader takes from it if not ``text``: the whole word on its first syllable,
    nothing on the others."""
    way: str = ""
    """In a line with letters that run from right to left: which way this run does.  Spaces
    between runs are then part of them."""


@frozen
class Shape:
    """Outlines filled with one ink."""

    _ops: tuple[Op, ...]
    ink: Ink
    x: float = 0.0
    y: float = 0.0
    """How far the outlines are moved: a shape is moved often on its way to its page."""

    @property
    def ops(self) -> tuple[Op, ...]:
        """Its outlines where they are on the page."""
        if not self.x and not self.y:
            return self._ops
        return tuple(_moved_op(op, self.x, self.y) for op in self._ops)


@frozen
class Panel:
    """A box: filled, edged or both; its edge may be dashed."""

    x: float
    y: float
    width_pt: float
    height_pt: float
    radius_pt: float = 0.0
    fill: Ink | None = None
    edge: Ink | None = None
    edge_pt: float = 0.0
    dash_pt: float = 0.0


@frozen
class StraightLine:
    """A straight line."""

    x0: float
    y0: float
    x1: float
    y1: float
    ink: Ink
    thick_pt: float


@frozen
class Photo:
    """A picture of dots, as a JPEG file."""

    x: float
    y: float
    width_pt: float
    height_pt: float
    jpeg: bytes = field(repr=False)


Element = TextRun | Shape | Panel | StraightLine | Photo


@frozen
class TableCell:
    """Where a block stands in a table."""

    table: int
    """Which table of the document."""
    row: int
    scope: str = ""
    """For a head (TH): Column or Row."""


@frozen
class TaggedBlock:
    """Elements that belong together: a heading, a paragraph, a picture, a table's cell."""

    tag: str
    """PDF structure type (H1, H2, P, Figure, TH, TD), or Artifact for mere decoration."""
    elements: tuple[Element, ...]
    alt: str = ""
    """For a picture: what it says, in words."""
    cell: TableCell | None = None
    language: str = ""
    """Tag (BCP 47) of the language it is in, where that is not the document's."""


@frozen
class Page:
    """One printed page."""

    paper: Paper
    blocks: tuple[TaggedBlock, ...]
    bookmarks: tuple[str, ...] = ()

    @property
    def texts(self) -> tuple[TextRun, ...]:
        """Every run of text, in reading order."""
        return tuple(e for block in self.blocks for e in block.elements if isinstance(e, TextRun))


class Outline:
    """A path sink that keeps what is drawn on it."""

    def __init__(self) -> None:
        self.ops: list[Op] = []

    def move_to(self, x: float, y: float) -> None:
        """Begin a new outline."""
        self.ops.append(("M", (x, y)))

    def line_to(self, x: float, y: float) -> None:
        """Go on in a straight line."""
        self.ops.append(("L", (x, y)))

    def curve_to(self, x1: float, y1: float, x2: float, y2: float, x: float, y: float) -> None:
        """Go on in a cubic curve."""
        self.ops.append(("C", (x1, y1, x2, y2, x, y)))

    def close(self) -> None:
        """Close the outline."""
        self.ops.append(("Z", ()))


def shape(colour: Ink, draw: Callable[[PathSink], None]) -> Shape:
    """Make a shape of whatever ``draw`` draws."""
    outline = Outline()
    draw(outline)
    return Shape(tuple(outline.ops), colour)


def outlines(drawn: Shape, steps: int = 12) -> list[list[tuple[float, float]]]:
    """A shape's outlines as points, its curves in so many straight pieces."""
    made: list[list[tuple[float, float]]] = []
    for name, values in drawn.ops:
        points = list(zip(values[0::2], values[1::2], strict=True))
        if name == "M":
            made.append(points)
        elif name == "L":
            made[-1] += points
        elif name == "C":
            start = made[-1][-1]
            made[-1] += [_on_curve((start, *points), i / steps) for i in range(1, steps + 1)]
    return made


def _on_curve(points: tuple[tuple[float, float], ...], t: float) -> tuple[float, float]:
    """The point of a cubic curve (its ends and handles) at ``t`` from 0 to 1."""
    weights = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
    axes = zip(*points, strict=True)
    x, y = (sum(w * p for w, p in zip(weights, axis, strict=True)) for axis in axes)
    return x, y


def moved(element: Element, dx: float, dy: float) -> Element:
    """Give the same element elsewhere on the page."""
    if isinstance(element, Shape):
        return Shape(element._ops, element.ink, element.x + dx, element.y + dy)
    if isinstance(element, TextRun):
        return TextRun(
            element.x + dx,
            element.y + dy,
            element.text,
            element.size_pt,
            element.ink,
            element.bold,
            element.width_pt,
            element.spoken,
            element.way,
        )
    if isinstance(element, StraightLine):
        return StraightLine(
            element.x0 + dx,
            element.y0 + dy,
            element.x1 + dx,
            element.y1 + dy,
            element.ink,
            element.thick_pt,
        )
    return evolve(element, x=element.x + dx, y=element.y + dy)


def moved_block(block: TaggedBlock, dx: float, dy: float) -> TaggedBlock:
    """Give the same block elsewhere on the page."""
    if not dx and not dy:
        return block
    elements = tuple(moved(e, dx, dy) for e in block.elements)
    return TaggedBlock(block.tag, elements, block.alt, block.cell, block.language)


def extent(element: Element) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of what an element covers (handles of curves included)."""
    if isinstance(element, TextRun):
        top = element.y - 0.75 * element.size_pt
        return element.x, top, element.x + element.width_pt, element.y + 0.24 * element.size_pt
    if isinstance(element, Panel):
        half = element.edge_pt / 2
        right, foot = element.x + element.width_pt, element.y + element.height_pt
        return element.x - half, element.y - half, right + half, foot + half
    if isinstance(element, Photo):
        return element.x, element.y, element.x + element.width_pt, element.y + element.height_pt
    if isinstance(element, StraightLine):
        half = element.thick_pt / 2
        across = (half, 0.0) if element.x0 == element.x1 else (0.0, half)
        left, right = sorted((element.x0, element.x1))
        top, foot = sorted((element.y0, element.y1))
        return left - across[0], top - across[1], right + across[0], foot + across[1]
    xs = [v for _, values in element._ops for v in values[0::2]]
    ys = [v for _, values in element._ops for v in values[1::2]]
    return min(xs) + element.x, min(ys) + element.y, max(xs) + element.x, max(ys) + element.y


def _moved_op(op: Op, dx: float, dy: float) -> Op:
    name, values = op
    return name, tuple(v + (dy if i % 2 else dx) for i, v in enumerate(values))
