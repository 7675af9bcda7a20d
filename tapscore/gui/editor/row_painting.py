"""Paints one row of the story: words over marks, or a heading, a wait, a refrain's return."""

from functools import partial

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen, QPolygonF

from tapscore.exports import marks
from tapscore.gui.editor.lane_painting import Levels, paint_strip, paint_swell
from tapscore.gui.editor.row_brush import LEFT, RowBrush, RowState
from tapscore.gui.editor.row_geometry import (
    MARGIN,
    RowSizes,
    beside_left,
    beside_lines,
    finding_box,
    fold_box,
    foot_lines,
    head_of,
    line_layout,
    metrics,
    prop_tags,
    slip_box,
    strip_high,
    tag_width,
    text_width,
    wait_width,
    warn_label,
    warn_label_width,
    warn_lines,
    words_top,
)
from tapscore.gui.fonts import font
from tapscore.gui.listening.cursor_painting import (
    line_cursor,
    paint_line_cursor,
    paint_row_cursor,
)
from tapscore.gui.painting import outline
from tapscore.gui.palettes import Inks
from tapscore.model.story import Line, Wait
from tapscore.rhythm.layout import line_layout as timed_layout
from tapscore.rhythm.layout import tap_levels
from tapscore.screen.rows import Row, RowKind
from tapscore.wording.catalogue import say


class RowPainter:
    """Paints rows with one painter, in one set of inks, at one text size."""

    def __init__(self, painter: QPainter, inks: Inks, scale: float) -> None:
        self._painter = painter
        self._inks = inks
        self._scale = scale

    def paint(self, rect: QRectF, row: Row, state: RowState) -> None:
        """Paint ``row`` within ``rect``."""
        painter = self._painter
        brush = RowBrush(painter, self._inks, self._scale, RowSizes(self._scale), state)
        painter.save()
        painter.setClipRect(rect)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if brush.state.selected:
            painter.fillRect(rect, QColor(brush.inks.selected))
        if row.refrain is not None or row.kind in (RowKind.RETURN, RowKind.REFRAIN):
            _rail(brush, rect)
        match row.kind:
            case RowKind.LINE:
                _line(brush, rect, row)
            case RowKind.SECTION | RowKind.REFRAIN:
                _heading(brush, rect, row)
            case RowKind.WAIT:
                _wait(brush, rect, row)
            case _:
                _note(brush, rect, row)
        if brush.state.playing_share is not None and row.kind is not RowKind.LINE:
            paint_row_cursor(
                painter, brush.cursor_colours, brush.sizes, rect, brush.state.playing_share
            )
        if brush.state.finding:
            _look_again(brush, rect)
        if brush.state.noted:
            _noted(brush, rect)
        if brush.state.focused:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(brush.teal, 2))
            painter.drawRoundedRect(rect.adjusted(2, 2, -2, -2), 4, 4)
        painter.restore()


def _rail(brush: RowBrush, rect: QRectF) -> None:
    rail = QRectF(rect.left() + 6, rect.top(), 4, rect.height())
    brush.painter.fillRect(rail, QColor(brush.inks.teal))


def _look_again(brush: RowBrush, rect: QRectF) -> None:
    size, box = brush.sizes.label_px, finding_box(rect, brush.sizes)
    sign = "!" if brush.state.finding == "must mend" else "?"
    painter = brush.painter
    amber = QColor(brush.inks.amber)
    if brush.state.selected and brush.inks.name == "high contrast":
        amber = QColor(brush.inks.on_selected)
    painter.setPen(QPen(amber, 1.5))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(box)
    painter.setFont(font(size, bold=True))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, sign)


def _noted(brush: RowBrush, rect: QRectF) -> None:
    """A small written slip at the right edge."""
    slip = slip_box(rect, brush.sizes)
    painter = brush.painter
    painter.setPen(QPen(brush.muted, 1.3))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(slip)
    for share in (0.3, 0.55, 0.8):
        y = slip.top() + slip.height() * share
        painter.drawLine(QPointF(slip.left() + 3, y), QPointF(slip.right() - 3, y))


def _heading(brush: RowBrush, rect: QRectF, row: Row) -> None:
    size = brush.sizes.words_px * 1.05
    x = rect.left() + (brush.sizes.gutter if row.kind is RowKind.REFRAIN else MARGIN + 6)
    if row.fold is not None:
        _fold_mark(brush, rect, row)
        x = fold_box(rect, row, brush.sizes).right() + 4
    room = rect.right() - MARGIN - x
    title = metrics(size, bold=True).elidedText(row.title, Qt.TextElideMode.ElideRight, room)
    end = brush.text(x, rect.top() + 6, rect.height() - 6, title, size, brush.ink, True)
    if row.kind is RowKind.REFRAIN:
        brush.text(
            end + 12,
            rect.top() + 6,
            rect.height() - 6,
            say("the refrain"),
            brush.sizes.label_px,
            brush.muted,
            False,
        )
    if row.folded is not None:
        _folded_words(brush, end + 14, rect.top() + 6, rect.height() - 6, row.folded)
    pen = QPen(QColor(brush.inks.line), 1)
    brush.painter.setPen(pen)
    y = rect.bottom() - 3
    brush.painter.drawLine(QPointF(x, y), QPointF(rect.right() - MARGIN, y))


def _fold_mark(brush: RowBrush, rect: QRectF, row: Row) -> None:
    """A small wedge: down where something is shown below, to the right where it is folded."""
    centre = fold_box(rect, row, brush.sizes).center()
    if row.kind is RowKind.SECTION:
        centre += QPointF(0, 3)  # as its words stand
    size = brush.sizes.label_px * 0.36
    across = [(-size, -size * 0.6), (size, -size * 0.6), (0.0, size * 0.8)]
    if row.folded is not None:
        across = [(y, x) for x, y in across]
    brush.painter.setPen(Qt.PenStyle.NoPen)
    brush.painter.setBrush(brush.muted)
    brush.painter.drawPolygon(QPolygonF([centre + QPointF(x, y) for x, y in across]))


def _folded_words(brush: RowBrush, x: float, top: float, high: float, count: int) -> None:
    words = say("{count:1 row|# rows} folded away", count=count)
    brush.text(x, top, high, words, brush.sizes.label_px, brush.muted, False)


def _wait(brush: RowBrush, rect: QRectF, row: Row) -> None:
    item = row.item
    assert isinstance(item, Wait)
    sizes, painter = brush.sizes, brush.painter
    label = head_of(row)
    box = QRectF(
        rect.left() + sizes.gutter,
        rect.center().y() - sizes.label_high / 2 - 3,
        wait_width(label, sizes),
        sizes.label_high + 6,
    )
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(brush.ink)
    painter.drawRoundedRect(box, 4, 4)
    painter.setPen(QColor(brush.inks.selected if brush.state.selected else brush.inks.paper))
    painter.setFont(font(sizes.label_px, bold=True))
    painter.drawText(box, Qt.AlignmentFlag.AlignCenter, label)
    _beside(brush, rect, row, brush.ink if item.look_for else brush.muted)


def _note(brush: RowBrush, rect: QRectF, row: Row) -> None:
    head, sizes = head_of(row), brush.sizes
    if row.fold is not None:
        _fold_mark(brush, rect, row)
    x = rect.left() + sizes.gutter
    brush.text(x, rect.top(), rect.height(), head, sizes.words_px * 0.9, brush.ink, True)
    _beside(brush, rect, row, brush.muted)


def _beside(brush: RowBrush, rect: QRectF, row: Row, ink: QColor) -> None:
    sizes = brush.sizes
    x = rect.left() + beside_left(row, sizes)
    lines = beside_lines(row, sizes, round(rect.width()))
    top = rect.center().y() - len(lines) * sizes.label_high / 2
    for number, text in enumerate(lines):
        y = top + number * sizes.label_high
        brush.text(x, y, sizes.label_high, text, sizes.label_px, ink, False)


def _line(brush: RowBrush, rect: QRectF, row: Row) -> None:
    line, sizes = row.line, brush.sizes
    assert line is not None
    top = rect.top() + MARGIN
    left = rect.left() + sizes.gutter
    if line.warn_first:
        top = _warn_first(brush, left, top, rect, line)
    _tags(brush, rect, top, line)
    top = rect.top() + words_top(row, brush.scale, round(rect.width()))
    if row.number is not None:
        brush.text(
            rect.left() + 18,
            top,
            sizes.words_high,
            str(row.number),
            sizes.words_px * 0.85,
            brush.muted,
            False,
        )
    layout = line_layout(line, row.metre, brush.scale, round(rect.width()))
    levels: Levels = {}
    if line.lane is not None:
        timed = timed_layout(line, row.metre)
        exact = tap_levels(timed, row.manner.loudness)
        levels = {tap: float(level) for tap, level in zip(timed.tapped, exact, strict=True)}
    share = brush.state.playing_share
    playing = line_cursor(row, layout, sizes, share) if share is not None else None
    for number, strip in enumerate(layout.strips):
        paint_strip(brush, left, top, strip, row, levels)
        if playing is not None and playing[0] == number:
            x = left + playing[1]
            paint_line_cursor(brush.painter, brush.cursor_colours, sizes, row, x, top)
        top += strip_high(row, sizes)
        swell = row.manner.loudness
        if len(swell) > 1 and line.lane is not None:
            paint_swell(brush, left, top, strip, levels)
            top += sizes.label_px * 0.8
    for text in foot_lines(row, sizes, round(rect.width())):
        brush.text(left, top, sizes.label_high, text, sizes.label_px, brush.muted, False)
        top += sizes.label_high


def _warn_first(brush: RowBrush, left: float, top: float, rect: QRectF, line: Line) -> float:
    sizes, painter = brush.sizes, brush.painter
    amber = QColor(brush.inks.amber)
    lines = warn_lines(line, sizes, round(rect.width()))
    label = warn_label_width(sizes)
    width = label + max(text_width(text, sizes.label_px) for text in lines) + 14
    box = QRectF(left, top, min(width, rect.right() - left - MARGIN), len(lines) * sizes.label_high)
    pen = QPen(amber, 2, Qt.PenStyle.DashLine)
    painter.setPen(pen)
    painter.setBrush(QColor(brush.inks.cream))
    painter.drawRoundedRect(box, 4, 4)
    brush.text(left + 10, top, sizes.label_high, warn_label(), sizes.label_px, amber, True)
    for number, text in enumerate(lines):
        y = top + number * sizes.label_high
        brush.text(left + label, y, sizes.label_high, text, sizes.label_px, amber, False)
    return top + box.height() + 8


def _tags(brush: RowBrush, rect: QRectF, top: float, line: Line) -> None:
    sizes, painter = brush.sizes, brush.painter
    right = rect.right() - MARGIN
    for tag in reversed(prop_tags(line)):
        width = tag_width(tag, sizes)
        box = QRectF(right - width, top, width, sizes.label_high)
        painter.setPen(QPen(brush.ink, 1.5))
        painter.setBrush(brush.ground)
        painter.drawPath(outline(partial(_tag, box=box)))
        painter.setFont(font(sizes.label_px, bold=True))
        painter.drawText(box.adjusted(18, 0, 0, 0), LEFT, tag)
        right -= width + 8


def _tag(sink: marks.PathSink, box: QRectF) -> None:
    left, top, right, bottom = box.left(), box.top(), box.right(), box.bottom()
    middle = box.center().y()
    marks.polygon(
        sink, ((left, middle), (left + 12, top), (right, top), (right, bottom), (left + 12, bottom))
    )
