"""Paints a strip of a line: syllables over their marks, bar lines, the hairpin of a swell."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPen

from tapscore.exports import marks
from tapscore.gui.editor.lane_layout import PlacedCell, Strip
from tapscore.gui.editor.row_brush import RowBrush
from tapscore.gui.editor.row_geometry import text_width
from tapscore.gui.painting import outline, tap_outline
from tapscore.screen.rows import Row

Levels = dict[int, float]
"""Loudness of each tap by its number in the line."""


def paint_strip(
    brush: RowBrush,
    left: float,
    top: float,
    strip: Strip,
    row: Row,
    levels: Levels,
) -> None:
    """Paint words over marks, with ``left`` and ``top`` where they begin."""
    sizes, painter = brush.sizes, brush.painter
    lane_top = top + sizes.words_high
    middle = lane_top + sizes.lane_high * 0.5
    measured = row.line is not None and row.line.lane is not None
    if measured:
        painter.setPen(QPen(QColor(brush.inks.line), 1.2))
        for x in strip.bar_xs:
            painter.drawLine(
                QPointF(left + x, lane_top + 2), QPointF(left + x, lane_top + sizes.lane_high)
            )
    for cell in strip.cells:
        if cell.syllable is not None:
            brush.text(
                left + cell.x,
                top,
                sizes.words_high,
                cell.syllable.text,
                sizes.words_px,
                brush.ink,
                True,
            )
            if cell.syllable.word in brush.state.unknown:
                _not_in_dictionary(brush, left + cell.x, top, cell)
            if not cell.syllable.ends_word:
                _dot(brush, left + cell.x, top, cell)
        if measured:
            _cell(brush, left, middle, cell, row, levels)


def _not_in_dictionary(brush: RowBrush, x: float, top: float, cell: PlacedCell) -> None:
    """Small strokes under the letters, as a pencil would leave them."""
    assert cell.syllable is not None
    sizes, painter = brush.sizes, brush.painter
    y = top + sizes.words_high * 0.93
    end = x + text_width(cell.syllable.text, sizes.words_px, True)
    pen = QPen(brush.plum, max(sizes.words_px * 0.09, 2.0))
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    painter.setPen(pen)
    step = sizes.words_px * 0.42
    while x < end - step * 0.4:
        painter.drawLine(QPointF(x, y), QPointF(min(x + step * 0.5, end), y))
        x += step


def _dot(brush: RowBrush, x: float, top: float, cell: PlacedCell) -> None:
    assert cell.syllable is not None
    sizes, painter = brush.sizes, brush.painter
    end = x + text_width(cell.syllable.text, sizes.words_px, True)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(brush.muted)
    radius = sizes.words_px * 0.07
    painter.drawEllipse(
        QPointF(end + sizes.spacing.syllable_gap * 0.45, top + sizes.words_high * 0.56),
        radius,
        radius,
    )


def _cell(
    brush: RowBrush,
    left: float,
    middle: float,
    cell: PlacedCell,
    row: Row,
    levels: Levels,
) -> None:
    sizes, painter = brush.sizes, brush.painter
    unit = sizes.words_px
    x = left + cell.x + unit * 0.45
    painter.setPen(Qt.PenStyle.NoPen)
    column = cell.column
    if column.event is None or not column.cell.mark.tapped:
        painter.setBrush(brush.muted)
        if column.event is not None:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(brush.muted, 1.5))
            painter.drawEllipse(QPointF(x, middle), unit * 0.14, unit * 0.14)
        elif column.on_beat:
            painter.drawRect(QRectF(x - 1, middle - unit * 0.2, 2, unit * 0.4))
        else:
            painter.drawEllipse(QPointF(x, middle), 1.5, 1.5)
    else:
        detail = column.cell.detail
        stroke = (detail.stroke if detail else None) or row.manner.stroke
        size = marks.mark_size(levels.get(column.event, 1.0), unit * 1.3)
        painter.setBrush(brush.ink)
        painter.translate(x, middle)
        tail = round(left + cell.end_x - unit * 0.4 - x, 1) if cell.held else None
        painter.drawPath(tap_outline(stroke, round(size, 1), unit, column.cell.accent, tail))
        painter.translate(-x, -middle)
    if brush.state.event is not None and brush.state.event == cell.event:
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(brush.teal, 2.5))
        box = QRectF(x - unit * 0.7, middle - unit * 0.75, unit * 1.4, unit * 1.5)
        painter.drawRoundedRect(box, 5, 5)


def paint_swell(brush: RowBrush, left: float, top: float, strip: Strip, levels: Levels) -> None:
    """Paint the hairpin of a swell under a strip."""
    high = brush.sizes.label_px * 0.7
    points = [
        (
            left + cell.x + brush.sizes.words_px * 0.45,
            high * marks.hairpin_share(levels[cell.event]),
        )
        for cell in strip.cells
        if cell.event is not None and cell.event in levels
    ]
    brush.painter.setPen(Qt.PenStyle.NoPen)
    brush.painter.setBrush(brush.plum)
    brush.painter.drawPath(outline(lambda sink: marks.hairpin(sink, points, top + high, 1.5)))
