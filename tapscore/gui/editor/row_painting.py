"""Paints one row of the story: words over marks, or a heading, a wait, a refrain's return."""

from functools import partial

from attrs import frozen
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QPainter, QPen

from tapscore.exports import marks
from tapscore.gui.editor.lane_layout import PlacedCell, Strip
from tapscore.gui.editor.mark_painting import outline, tap_outline
from tapscore.gui.editor.row_geometry import (
    MARGIN,
    Sizes,
    foot_lines,
    line_layout,
    strip_high,
    text_width,
)
from tapscore.gui.editor.rows import Row, RowKind
from tapscore.gui.fonts import font
from tapscore.gui.listening.cursor_painting import (
    CursorColours,
    line_cursor,
    paint_line_cursor,
    paint_row_cursor,
)
from tapscore.gui.palettes import Inks
from tapscore.model.loudness import Loudness
from tapscore.model.story import Line, Offer, RefrainUse, Wait
from tapscore.model.strokes import Stroke
from tapscore.rhythm.layout import line_layout as timed_layout
from tapscore.rhythm.layout import tap_levels

_LEFT = Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter


@frozen
class RowState:
    """What a row is besides its content."""

    selected: bool = False
    focused: bool = False
    event: int | None = None
    """Which mark of the row the cursor is on."""
    playing_share: float | None = None
    """How far through the line the sound is, from 0 to 1."""
    finding: str = ""
    """``"must mend"``, ``"look again"`` or nothing."""


class RowPainter:
    """Paints rows with one painter, in one set of inks, at one text size."""

    def __init__(self, painter: QPainter, inks: Inks, scale: float) -> None:
        self._painter = painter
        self._inks = inks
        self._sizes = Sizes(scale)
        self._scale = scale

    def paint(self, rect: QRectF, row: Row, state: RowState) -> None:
        """Paint ``row`` within ``rect``."""
        painter = self._painter
        painter.save()
        painter.setClipRect(rect)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if state.selected:
            painter.fillRect(rect, QColor(self._inks.selected))
        if row.refrain is not None or row.kind in (RowKind.RETURN, RowKind.REFRAIN):
            self._rail(rect)
        match row.kind:
            case RowKind.LINE:
                self._line(rect, row, state)
            case RowKind.SECTION | RowKind.REFRAIN:
                self._heading(rect, row, state)
            case RowKind.WAIT:
                self._wait(rect, row, state)
            case _:
                self._note(rect, row, state)
        if state.playing_share is not None and row.kind is not RowKind.LINE:
            paint_row_cursor(
                painter, self._cursor_colours(state), self._sizes, rect, state.playing_share
            )
        if state.finding:
            self._look_again(rect, state)
        if state.focused:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(self._teal(state), 2))
            painter.drawRoundedRect(rect.adjusted(2, 2, -2, -2), 4, 4)
        painter.restore()

    def _ink(self, state: RowState) -> QColor:
        return QColor(self._inks.on_selected if state.selected else self._inks.ink)

    def _muted(self, state: RowState) -> QColor:
        return QColor(self._inks.on_selected if state.selected else self._inks.muted)

    def _teal(self, state: RowState) -> QColor:
        plain = state.selected and self._inks.selected == self._inks.teal
        return QColor(self._inks.on_selected if plain else self._inks.teal)

    def _cursor_colours(self, state: RowState) -> CursorColours:
        ground = self._inks.selected if state.selected else self._inks.paper
        return CursorColours(self._teal(state), QColor(ground))

    def _plum(self, state: RowState) -> QColor:
        plain = state.selected and self._inks.selected == self._inks.plum
        return QColor(self._inks.on_selected if plain else self._inks.plum)

    def _text(
        self, x: float, y: float, high: float, text: str, size_px: float, ink: QColor, bold: bool
    ) -> float:
        painter = self._painter
        painter.setFont(font(size_px, bold=bold))
        painter.setPen(ink)
        width = text_width(text, size_px, bold)
        painter.drawText(QRectF(x, y, width + 4, high), _LEFT, text)
        return x + width

    def _rail(self, rect: QRectF) -> None:
        rail = QRectF(rect.left() + 6, rect.top(), 4, rect.height())
        self._painter.fillRect(rail, QColor(self._inks.teal))

    def _look_again(self, rect: QRectF, state: RowState) -> None:
        size = self._sizes.label_px
        x, y = rect.left() + 18, rect.bottom() - size - 8
        sign = "!" if state.finding == "must mend" else "?"
        painter = self._painter
        amber = QColor(self._inks.amber)
        if state.selected and self._inks.name == "high contrast":
            amber = QColor(self._inks.on_selected)
        painter.setPen(QPen(amber, 1.5))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(QRectF(x, y, size * 1.2, size * 1.2))
        painter.setFont(font(size, bold=True))
        painter.drawText(QRectF(x, y, size * 1.2, size * 1.2), Qt.AlignmentFlag.AlignCenter, sign)

    def _heading(self, rect: QRectF, row: Row, state: RowState) -> None:
        size = self._sizes.words_px * 1.05
        x = rect.left() + (self._sizes.gutter if row.kind is RowKind.REFRAIN else MARGIN + 6)
        end = self._text(
            x, rect.top() + 6, rect.height() - 6, row.title, size, self._ink(state), True
        )
        if row.kind is RowKind.REFRAIN:
            self._text(
                end + 12,
                rect.top() + 6,
                rect.height() - 6,
                "the refrain",
                self._sizes.label_px,
                self._muted(state),
                False,
            )
        pen = QPen(QColor(self._inks.line), 1)
        self._painter.setPen(pen)
        y = rect.bottom() - 3
        self._painter.drawLine(QPointF(x, y), QPointF(rect.right() - MARGIN, y))

    def _wait(self, rect: QRectF, row: Row, state: RowState) -> None:
        item = row.item
        assert isinstance(item, Wait)
        sizes, painter = self._sizes, self._painter
        label = f"Wait {float(item.least_sec):g}"
        width = text_width(label, sizes.label_px, True) + 28
        box = QRectF(
            rect.left() + sizes.gutter,
            rect.center().y() - sizes.label_high / 2 - 3,
            width,
            sizes.label_high + 6,
        )
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self._ink(state))
        painter.drawRoundedRect(box, 4, 4)
        painter.setPen(QColor(self._inks.selected if state.selected else self._inks.paper))
        painter.setFont(font(sizes.label_px, bold=True))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, label)
        words = item.look_for or "what to look for is not written yet"
        prefix = "Look for: " if item.look_for else ""
        self._text(
            box.right() + 14,
            rect.top(),
            rect.height(),
            prefix + words,
            sizes.label_px,
            self._ink(state) if item.look_for else self._muted(state),
            False,
        )

    def _note(self, rect: QRectF, row: Row, state: RowState) -> None:
        item, sizes = row.item, self._sizes
        head, rest = "", row.title
        if isinstance(item, Offer):
            head = f"Offer {item.prop}"
            look = f", look for: {item.look_for}" if item.look_for else ""
            rest = f"to each pupil, at least {float(item.turn_sec):g} seconds each{look}"
        elif isinstance(item, RefrainUse):
            head, rest = item.name, "the refrain returns"
        elif row.kind is RowKind.UNREAD:
            head, rest = "Not understood", "mend it in the file: see Look again"
        x = rect.left() + sizes.gutter
        if head:
            x = self._text(
                x, rect.top(), rect.height(), head, sizes.words_px * 0.9, self._ink(state), True
            )
            x += 14
        self._text(x, rect.top(), rect.height(), rest, sizes.label_px, self._muted(state), False)

    def _line(self, rect: QRectF, row: Row, state: RowState) -> None:
        line, sizes = row.line, self._sizes
        assert line is not None
        top = rect.top() + MARGIN
        left = rect.left() + sizes.gutter
        if line.warn_first:
            top = self._warn_first(left, top, rect, line.warn_first)
        if row.number is not None:
            self._text(
                rect.left() + 18,
                top,
                sizes.words_high,
                str(row.number),
                sizes.words_px * 0.85,
                self._muted(state),
                False,
            )
        self._tags(rect, top, line, state)
        layout = line_layout(line, row.metre, self._scale, round(rect.width()))
        levels: Levels = {}
        if line.lane is not None:
            timed = timed_layout(line, row.metre)
            exact = tap_levels(timed, row.manner.loudness or (Loudness.QUIET,))
            levels = {tap: float(level) for tap, level in zip(timed.tapped, exact, strict=True)}
        share = state.playing_share
        playing = line_cursor(row, layout, sizes, share) if share is not None else None
        for number, strip in enumerate(layout.strips):
            self._strip(left, top, strip, row, levels, state)
            if playing is not None and playing[0] == number:
                x = left + playing[1]
                paint_line_cursor(self._painter, self._cursor_colours(state), sizes, row, x, top)
            top += strip_high(row, sizes)
            swell = row.manner.loudness or ()
            if len(swell) > 1 and line.lane is not None:
                self._swell(left, top, strip, levels, state)
                top += sizes.label_px * 0.8
        for text in foot_lines(row):
            self._text(left, top, sizes.label_high, text, sizes.label_px, self._muted(state), False)
            top += sizes.label_high

    def _warn_first(self, left: float, top: float, rect: QRectF, words: str) -> float:
        sizes, painter = self._sizes, self._painter
        amber = QColor(self._inks.amber)
        label = "Warn first:"
        width = text_width(label, sizes.label_px, True) + text_width(words, sizes.label_px) + 32
        box = QRectF(left, top, min(width, rect.right() - left - MARGIN), sizes.label_high)
        pen = QPen(amber, 2, Qt.PenStyle.DashLine)
        painter.setPen(pen)
        painter.setBrush(QColor(self._inks.cream))
        painter.drawRoundedRect(box, 4, 4)
        x = self._text(left + 10, top, box.height(), label, sizes.label_px, amber, True)
        self._text(x + 8, top, box.height(), words, sizes.label_px, amber, False)
        return top + box.height() + 8

    def _tags(self, rect: QRectF, top: float, line: Line, state: RowState) -> None:
        sizes, painter = self._sizes, self._painter
        tags = [f"{e.prop} in" for e in line.props_in] + [f"{p} out" for p in line.props_out]
        right = rect.right() - MARGIN
        for tag in reversed(tags):
            width = text_width(tag, sizes.label_px, True) + 30
            box = QRectF(right - width, top, width, sizes.label_high)
            painter.setPen(QPen(self._ink(state), 1.5))
            painter.setBrush(QColor(self._inks.selected if state.selected else self._inks.paper))
            painter.drawPath(outline(partial(_tag, box=box)))
            painter.setFont(font(sizes.label_px, bold=True))
            painter.drawText(box.adjusted(18, 0, 0, 0), _LEFT, tag)
            right -= width + 8

    def _strip(
        self,
        left: float,
        top: float,
        strip: Strip,
        row: Row,
        levels: "Levels",
        state: RowState,
    ) -> None:
        sizes, painter = self._sizes, self._painter
        lane_top = top + sizes.words_high
        middle = lane_top + sizes.lane_high * 0.5
        measured = row.line is not None and row.line.lane is not None
        if measured:
            painter.setPen(QPen(QColor(self._inks.line), 1.2))
            for x in strip.bar_xs:
                painter.drawLine(
                    QPointF(left + x, lane_top + 2), QPointF(left + x, lane_top + sizes.lane_high)
                )
        for cell in strip.cells:
            if cell.syllable is not None:
                self._text(
                    left + cell.x,
                    top,
                    sizes.words_high,
                    cell.syllable.text,
                    sizes.words_px,
                    self._ink(state),
                    True,
                )
                if not cell.syllable.ends_word:
                    self._dot(left + cell.x, top, cell, state)
            if measured:
                self._cell(left, middle, cell, row, levels, state)

    def _dot(self, x: float, top: float, cell: PlacedCell, state: RowState) -> None:
        assert cell.syllable is not None
        sizes, painter = self._sizes, self._painter
        end = x + text_width(cell.syllable.text, sizes.words_px, True)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(self._muted(state))
        radius = sizes.words_px * 0.07
        painter.drawEllipse(
            QPointF(end + sizes.spacing.syllable_gap * 0.45, top + sizes.words_high * 0.56),
            radius,
            radius,
        )

    def _cell(
        self,
        left: float,
        middle: float,
        cell: PlacedCell,
        row: Row,
        levels: "Levels",
        state: RowState,
    ) -> None:
        sizes, painter = self._sizes, self._painter
        unit = sizes.words_px
        x = left + cell.x + unit * 0.45
        painter.setPen(Qt.PenStyle.NoPen)
        if cell.event is None or not cell.cell.mark.tapped:
            painter.setBrush(self._muted(state))
            if cell.event is not None:
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.setPen(QPen(self._muted(state), 1.5))
                painter.drawEllipse(QPointF(x, middle), unit * 0.14, unit * 0.14)
            elif cell.on_beat:
                painter.drawRect(QRectF(x - 1, middle - unit * 0.2, 2, unit * 0.4))
            else:
                painter.drawEllipse(QPointF(x, middle), 1.5, 1.5)
        else:
            detail = cell.cell.detail
            stroke = (detail.stroke if detail else None) or row.manner.stroke or Stroke.FINGERTIPS
            size = marks.mark_size(levels.get(cell.event, 1.0), unit * 1.3)
            painter.setBrush(self._ink(state))
            painter.translate(x, middle)
            painter.drawPath(tap_outline(stroke, round(size, 1)))
            painter.translate(-x, -middle)
            if cell.cell.accent:
                bar = outline(
                    lambda sink: marks.accent_bar(sink, x, middle - unit * 0.58, unit * 0.6)
                )
                painter.drawPath(bar)
            if cell.held:
                end = left + cell.end_x - unit * 0.4
                tail = outline(
                    lambda sink: marks.hold_tail(sink, x + size * 0.5, end, middle, unit * 0.12)
                )
                painter.drawPath(tail)
        if state.event is not None and state.event == cell.event:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(self._teal(state), 2.5))
            box = QRectF(x - unit * 0.7, middle - unit * 0.75, unit * 1.4, unit * 1.5)
            painter.drawRoundedRect(box, 5, 5)

    def _swell(
        self, left: float, top: float, strip: Strip, levels: "Levels", state: RowState
    ) -> None:
        high = self._sizes.label_px * 0.7
        points = [
            (left + cell.x + self._sizes.words_px * 0.45, high * (0.1 + 0.225 * levels[cell.event]))
            for cell in strip.cells
            if cell.event is not None and cell.event in levels
        ]
        self._painter.setPen(Qt.PenStyle.NoPen)
        self._painter.setBrush(self._plum(state))
        self._painter.drawPath(
            outline(lambda sink: marks.swell_wedge(sink, points, top + high, 1.5))
        )


Levels = dict[int, float]


def _tag(sink: marks.PathSink, box: QRectF) -> None:
    left, top, right, bottom = box.left(), box.top(), box.right(), box.bottom()
    middle = box.center().y()
    marks.polygon(
        sink, ((left, middle), (left + 12, top), (right, top), (right, bottom), (left + 12, bottom))
    )
