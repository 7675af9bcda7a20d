"""The shared drawings as Qt paints them: outlines of marks, and elements of a picture."""

from collections.abc import Callable, Iterable
from functools import lru_cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPen

from tapscore.exports import marks
from tapscore.exports.paper.drawing import Element, Op, Panel, Shape, StraightLine, TextRun
from tapscore.exports.paper.inks import AMBER, CREAM, INK, LINE, MUTED, PLUM, TEAL, Ink
from tapscore.gui.fonts import font
from tapscore.gui.palettes import Inks
from tapscore.model.strokes import Stroke


class QtSink:
    """Takes a mark's outline and makes a Qt path of it."""

    def __init__(self) -> None:
        self.path = QPainterPath()

    def move_to(self, x: float, y: float) -> None:
        """Begin a new outline."""
        self.path.moveTo(x, y)

    def line_to(self, x: float, y: float) -> None:
        """Go on in a straight line."""
        self.path.lineTo(x, y)

    def curve_to(self, x1: float, y1: float, x2: float, y2: float, x: float, y: float) -> None:
        """Go on in a cubic curve with two handles."""
        self.path.cubicTo(x1, y1, x2, y2, x, y)

    def close(self) -> None:
        """Close the outline."""
        self.path.closeSubpath()


def outline(draw: Callable[[QtSink], None]) -> QPainterPath:
    """The path of whatever ``draw`` draws."""
    sink = QtSink()
    draw(sink)
    return sink.path


@lru_cache(maxsize=256)
def tap_outline(
    stroke: Stroke, size: float, unit: float, accent: bool, tail: float | None
) -> QPainterPath:
    """A whole tap centred on (0, 0), its tail ending at ``tail``."""
    return outline(
        lambda sink: marks.whole_tap(
            sink, stroke, 0.0, 0.0, size, unit=unit, accent=accent, tail=tail
        )
    )


def text_width(text: str, size_px: float, bold: bool) -> float:
    """Width of a text on the screen."""
    return QFontMetricsF(font(size_px, bold=bold)).horizontalAdvance(text)


def paint_elements(painter: QPainter, elements: Iterable[Element], inks: Inks) -> None:
    """Paint a picture's elements in the screen's own inks; paper's ground is the screen's."""
    for element in elements:
        if isinstance(element, TextRun):
            painter.setPen(_colour(element.ink, inks))
            painter.setFont(font(element.size_pt, bold=element.bold))
            painter.drawText(QPointF(element.x, element.y), element.text)
        elif isinstance(element, Panel):
            box = QRectF(element.x, element.y, element.width_pt, element.height_pt)
            painter.setPen(Qt.PenStyle.NoPen)
            if element.edge:
                painter.setPen(QPen(_colour(element.edge, inks), element.edge_pt))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            if element.fill:
                painter.setBrush(_colour(element.fill, inks))
            painter.drawRoundedRect(box, element.radius_pt, element.radius_pt)
        elif isinstance(element, Shape):
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(_colour(element.ink, inks))
            painter.drawPath(_path(element.ops))
        elif isinstance(element, StraightLine):
            painter.setPen(QPen(_colour(element.ink, inks), element.thick_pt))
            painter.drawLine(QPointF(element.x0, element.y0), QPointF(element.x1, element.y1))


_NAMES = {
    INK: "ink",
    MUTED: "muted",
    LINE: "line",
    TEAL: "teal",
    AMBER: "amber",
    CREAM: "cream",
    PLUM: "plum",
}


def _colour(ink: Ink, inks: Inks) -> QColor:
    """The screen's colour for an ink of the page; grounds are the screen's paper."""
    return QColor(getattr(inks, _NAMES.get(ink, "paper")))


def _path(ops: tuple[Op, ...]) -> QPainterPath:
    sink = QtSink()
    draw: dict[str, Callable[..., None]] = {
        "M": sink.move_to,
        "L": sink.line_to,
        "C": sink.curve_to,
        "Z": sink.close,
    }
    for name, values in ops:
        draw[name](*values)
    sink.path.setFillRule(Qt.FillRule.WindingFill)
    return sink.path
