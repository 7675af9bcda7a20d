"""The listening cursor: a thin upright line with a small head, always in one colour."""

from functools import lru_cache

from attrs import frozen
from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from tapscore.gui.editor.lane_layout import LaneLayout
from tapscore.gui.editor.row_geometry import MARGIN, RowSizes, strip_high
from tapscore.model.metre import Metre
from tapscore.model.story import Line
from tapscore.rhythm.perform import line_events
from tapscore.screen.rows import Row


def cursor_place(layout: LaneLayout, line: Line, metre: Metre, share: float) -> tuple[int, float]:
    """Strip, and pixels from its left edge, for a share (0 to 1) of the line's felt beats.

    At the moment of a tap it is just where the tap's cell is; between two cells it is as
    far on the way as the beat is.  Rest after the last cell is its right edge.
    """
    beats = share * _line_beats(line, metre)
    onset = 0.0
    for number, strip in enumerate(layout.strips):
        for index, cell in enumerate(strip.cells):
            lasts = 1 / (metre.steps_per_beat * cell.column.parts)
            if beats < onset + lasts:
                ends = strip.cells[index + 1].x if index + 1 < len(strip.cells) else strip.width
                way = max(beats - onset, 0.0) / lasts
                return number, cell.x + way * (ends - cell.x)
            onset += lasts
    last = len(layout.strips) - 1
    return max(last, 0), layout.strips[last].width if layout.strips else 0.0


@lru_cache(maxsize=256)
def _line_beats(line: Line, metre: Metre) -> float:
    return float(line_events(line, metre)[1])


@frozen
class CursorColours:
    """The cursor's own colour, and the ground's, which parts it from marks it crosses."""

    ink: QColor
    ground: QColor


MARK_CENTRE = 0.45
"""How far right of its cell's edge a mark's middle is, in letter heights."""


def line_cursor(
    row: Row, layout: LaneLayout, sizes: RowSizes, share: float
) -> tuple[int, float] | None:
    """Strip of a line, and pixels from its left edge to the cursor; None if not a line."""
    if row.line is None or not layout.strips:
        return None
    strip, x = cursor_place(layout, row.line, row.metre, share)
    return strip, x + MARK_CENTRE * sizes.words_px


def paint_line_cursor(
    painter: QPainter, colours: CursorColours, sizes: RowSizes, row: Row, x: float, top: float
) -> None:
    """Paint it over the marks of a strip whose upper edge is ``top``; ``x`` is its middle."""
    lane = strip_high(row, sizes) > sizes.words_high
    begin = top + (sizes.words_high if lane else 0.0)
    _paint(painter, colours, x, begin, top + strip_high(row, sizes), sizes)


def paint_row_cursor(
    painter: QPainter, colours: CursorColours, sizes: RowSizes, rect: QRectF, share: float
) -> None:
    """Paint it in a row without marks, ``share`` of the way across, below the words."""
    first = rect.left() + sizes.gutter - MARGIN
    x = first + share * (rect.right() - 2 * MARGIN - first)
    top = rect.bottom() - 0.32 * rect.height() if share else rect.top() + 5
    _paint(painter, colours, x, top, rect.bottom() - 4, sizes)


def _paint(
    painter: QPainter, colours: CursorColours, x: float, top: float, bottom: float, sizes: RowSizes
) -> None:
    half = sizes.words_px * 0.24
    thin = max(sizes.words_px * 0.1, 2.0)
    head = [QPointF(x - half, top), QPointF(x + half, top), QPointF(x, top + 1.4 * half)]
    painter.save()
    for ink, more in ((colours.ground, 3.0), (colours.ink, 0.0)):
        painter.setPen(QPen(ink, thin + more))
        painter.drawLine(QPointF(x, top + half), QPointF(x, bottom))
        painter.setPen(QPen(ink, 1 + more))
        painter.setBrush(ink)
        painter.drawPolygon(QPolygonF(head))
    painter.restore()
