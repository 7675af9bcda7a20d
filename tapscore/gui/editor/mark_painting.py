"""The shared outlines of the marks as Qt paths."""

from collections.abc import Callable
from functools import lru_cache

from PySide6.QtGui import QPainterPath

from tapscore.exports import marks
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
def tap_outline(stroke: Stroke, size: float) -> QPainterPath:
    """The mark of a stroke centred on (0, 0)."""
    return outline(lambda sink: marks.tap_mark(sink, stroke, 0.0, 0.0, size))
