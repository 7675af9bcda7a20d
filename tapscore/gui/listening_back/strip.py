"""The whole rehearsal on one strip, above the written one, line by line."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QFocusEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPalette,
    QPen,
    QPolygonF,
)
from PySide6.QtWidgets import QSizePolicy, QWidget

from tapscore.gui.aloud import say_aloud
from tapscore.wording.catalogue import say
from tapscore.workflow.rehearsals import LineHeard

NARROWEST_PX = 30
_MARGIN_PX = 8
_LOUDEST_DB = 12.0
"""So far from the middle a block is at its highest, or its lowest."""
_LEAST_HIGH = 0.42
"""Share of the room that the softest block takes: its tempo stands in it."""
NOTHING_YET = say("No rehearsal yet.")


class RehearsalStrip(QWidget):
    """Told above, written below; a line at a time is current, by mouse or arrow keys."""

    chosen = Signal(int)
    """The line that became current, by its place in the list."""
    heard = Signal(int)
    """The line that shall be heard."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._lines: tuple[LineHeard, ...] = ()
        self.current = -1
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.MinimumExpanding, QSizePolicy.Policy.Fixed)
        self._name()

    def show_lines(self, lines: Sequence[LineHeard]) -> None:
        """Draw another rehearsal."""
        self._lines = tuple(lines)
        self.current = 0 if lines else -1
        self.setMinimumWidth(NARROWEST_PX * max(len(lines), 8))
        self._name()
        self.update()

    def go_to(self, line: int) -> None:
        """Make a line current."""
        if 0 <= line < len(self._lines) and line != self.current:
            self.current = line
            self._name()
            self.update()

    def sizeHint(self) -> QSize:  # noqa: N802
        """Qt: two rows with room between them and words beneath."""
        return QSize(640, 8 * self.fontMetrics().height())

    def block(self, line: int, *, told: bool) -> QRectF:
        """Where a line is drawn; one that was not found stands between its neighbours."""
        high = self.fontMetrics().height()
        begin, end = self._told(line) if told else self._written(self._lines[line])
        room = self.width() - 2 * _MARGIN_PX
        left, right = _MARGIN_PX + room * begin, _MARGIN_PX + room * end
        top = high * 1.2 if told else high * 5.6
        return QRectF(left, top, max(right - left, 4.0), high * (2.6 if told else 1.4))

    def _written(self, line: LineHeard) -> tuple[float, float]:
        """Where it begins and ends, as shares of the whole story."""
        first = self._lines[0].written_begin_sec
        whole = max(self._lines[-1].written_end_sec - first, 1.0)
        begin, end = line.written_begin_sec, line.written_end_sec
        return (begin - first) / whole, (end - first) / whole

    def _told(self, at: int) -> tuple[float, float]:
        """The same as it was told: what is there of it over what is there of the story."""
        found = [n for n, line in enumerate(self._lines) if line.begin_sec is not None]
        if not found:
            return self._written(self._lines[at])
        if at not in found:
            before = self._told(max((n for n in found if n < at), default=found[0]))[1]
            after = self._told(min((n for n in found if n > at), default=found[-1]))[0]
            if at < found[0] or at > found[-1]:
                return self._written(self._lines[at])
            third = max(after - before, 0.0) / 3
            return before + third, after - third
        low = self._written(self._lines[found[0]])[0]
        high = self._written(self._lines[found[-1]])[1]
        begins = self._lines[found[0]].begin_sec or 0.0
        wide = max((self._lines[found[-1]].end_sec or 0.0) - begins, 1.0)
        line = self._lines[at]
        begin, end = line.begin_sec or 0.0, line.end_sec or 0.0
        scale = (high - low) / wide
        return low + scale * (begin - begins), low + scale * (end - begins)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002, N802
        """Qt: both rows."""
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        palette = self.palette()
        painter.fillRect(self.rect(), palette.base())
        ink = palette.text().color()
        painter.setPen(ink)
        high = self.fontMetrics().height()
        if not self._lines:
            painter.drawText(self.rect(), Qt.AlignmentFlag.AlignCenter, NOTHING_YET)
            return
        painter.drawText(QPointF(_MARGIN_PX, high), say("as told"))
        painter.drawText(QPointF(_MARGIN_PX, high * 5.3), say("as written"))
        for at, line in enumerate(self._lines):
            self._paint_line(painter, at, line)
        if self.hasFocus():
            painter.setPen(QPen(palette.highlight().color(), 2))
            painter.drawRect(self.rect().adjusted(1, 1, -1, -1))

    def _paint_line(self, painter: QPainter, at: int, line: LineHeard) -> None:
        palette = self.palette()
        ink = palette.text().color()
        told, written = self.block(at, told=True), self.block(at, told=False)
        current = at == self.current
        painter.setPen(QPen(ink, 2 if current else 1))
        painter.setBrush(palette.highlight() if current else palette.base())
        painter.drawRect(written)
        words = QPalette.ColorRole.HighlightedText if current else QPalette.ColorRole.Text
        painter.setPen(palette.color(words))
        short = _fitting(painter, written.width(), _short(line))
        painter.drawText(written, Qt.AlignmentFlag.AlignCenter, short)
        painter.setPen(QPen(ink, 1, Qt.PenStyle.DotLine))
        painter.drawLine(
            QPointF(told.center().x(), told.bottom()), QPointF(written.center().x(), written.top())
        )
        if line.begin_sec is None:
            painter.setPen(QPen(ink, 1, Qt.PenStyle.DashLine))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(told)
            painter.setPen(ink)
            painter.drawText(told, Qt.AlignmentFlag.AlignCenter, "?")
            return
        style = Qt.PenStyle.SolidLine if line.sure else Qt.PenStyle.DashLine
        painter.setPen(QPen(ink, 2 if current else 1, style))
        painter.setBrush(palette.highlight() if current else palette.base())
        painter.drawPolygon(_shape(told, line))
        if line.told_tempo is not None and line.sure:
            painter.setPen(palette.color(words))
            painter.drawText(
                told,
                Qt.AlignmentFlag.AlignHCenter | Qt.AlignmentFlag.AlignBottom,
                _fitting(painter, told.width(), str(line.told_tempo)),
            )

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Qt: a line is chosen and heard."""
        where = event.position()
        for at in range(len(self._lines)):
            for told in (True, False):
                if self.block(at, told=told).adjusted(-2, -6, 2, 6).contains(where):
                    self._choose(at)
                    self.heard.emit(at)
                    return

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Qt: arrows go from line to line, Enter and Space let it be heard."""
        steps = {
            Qt.Key.Key_Left: self.current - 1,
            Qt.Key.Key_Right: self.current + 1,
            Qt.Key.Key_Home: 0,
            Qt.Key.Key_End: len(self._lines) - 1,
        }
        key = Qt.Key(event.key())
        if key in steps and self._lines:
            self._choose(min(max(steps[key], 0), len(self._lines) - 1))
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space) and self.current >= 0:
            self.heard.emit(self.current)
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:  # noqa: N802
        """Qt: drawn with a frame."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:  # noqa: N802
        """Qt: drawn without it."""
        super().focusOutEvent(event)
        self.update()

    def _choose(self, line: int) -> None:
        if line == self.current:
            return
        self.go_to(line)
        self.chosen.emit(line)
        said = self._lines[line].sentence
        say_aloud(self, said)

    def _name(self) -> None:
        said = self._lines[self.current].sentence if self.current >= 0 else NOTHING_YET
        self.setAccessibleName(say("The rehearsal above the story. {said}", said=said))
        self.setToolTip(said)


def _short(line: LineHeard) -> str:
    """A line's number, or the beginning of its refrain's name."""
    number = "".join(letter for letter in line.name if letter.isdigit())
    return number if line.name == say("Line {number}", number=number) else "R"


def _fitting(painter: QPainter, width: float, text: str) -> str:
    return text if painter.fontMetrics().horizontalAdvance(text) <= width else ""


def _shape(box: QRectF, line: LineHeard) -> QPolygonF:
    """As high as it sounded loud, and rising or falling where it swelled."""
    rest = 1 - _LEAST_HIGH
    middle = _LEAST_HIGH + rest / 2 * (1 + _held((line.level_db or 0.0) / _LOUDEST_DB))
    lean = rest / 2 * _held((line.swell_db or 0.0) / 2 / _LOUDEST_DB)
    left, right = (min(max(middle + way * lean, _LEAST_HIGH), 1.0) for way in (-1, 1))
    return QPolygonF(
        [
            box.bottomLeft(),
            QPointF(box.left(), box.bottom() - left * box.height()),
            QPointF(box.right(), box.bottom() - right * box.height()),
            box.bottomRight(),
        ]
    )


def _held(value: float) -> float:
    return min(max(value, -1.0), 1.0)
