"""The whole story as a narrow strip: waits, loudness and props, and what is in sight now."""

from PySide6.QtCore import QEvent, QRectF, QSize, Qt, QTimer
from PySide6.QtGui import (
    QColor,
    QHelpEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
    QResizeEvent,
)
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from tapscore.gui.editor.story_rows import StoryRows
from tapscore.gui.editor.story_view import StoryView
from tapscore.model.loudness import Loudness
from tapscore.model.story import Offer, Wait
from tapscore.rhythm.describe import written_taps
from tapscore.screen.rows import Row, RowKind, row_text
from tapscore.wording.catalogue import say

WIDTH_PX = 44
_LONGER = 1.5
"""Shown where the story is so much longer than the view."""
_LEAST_PX = 2.0
_REDRAWN_MS = 150


class Overview(QWidget):
    """A press goes there.  By keyboard: Home, End, Page Up, Page Down, and Go to a line."""

    def __init__(self, view: StoryView, rows: StoryRows, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._view = view
        self._rows = rows
        self._scale = 1.0
        self._picture: QPixmap | None = None
        self.setAccessibleName(say("Overview of the story"))
        self.setAccessibleDescription(
            say("Sections, waits, loudness and props from beginning to end; a press goes there.")
        )
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(_REDRAWN_MS)
        self._later.timeout.connect(self.redraw)
        for changed in (rows.dataChanged, rows.rowsInserted, rows.rowsRemoved):
            changed.connect(lambda *_: self._later.start())
        view.verticalScrollBar().valueChanged.connect(lambda _: self.update())
        view.verticalScrollBar().rangeChanged.connect(lambda *_: self._later.start())
        self.hide()

    def set_scale(self, scale: float) -> None:
        """Follow the size of the letters."""
        self._scale = scale
        self.updateGeometry()
        self._later.start()

    def sizeHint(self) -> QSize:  # noqa: N802
        """Qt: narrow."""
        return QSize(round(WIDTH_PX * min(self._scale, 1.5)), 100)

    def redraw(self) -> None:
        """Draw it anew, and only where the story is long enough to want it."""
        self._picture = None
        self.setVisible(self._long > self._view.viewport().height() * _LONGER)
        self.update()

    def row_at(self, y: float) -> int:
        """Number of the row that is shown at a height."""
        return max(
            self._view.verticalHeader().logicalIndexAt(round(y / self._share) - self._top), 0
        )

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Qt: the story, and a frame round what is in sight."""
        del event
        if self._picture is None:
            self._picture = self._drawn()
        inks = self._view.delegate.inks
        painter = QPainter(self)
        painter.drawPixmap(0, 0, self._picture)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(inks.teal), 2))
        painter.drawRoundedRect(self._in_sight(), 3, 3)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Qt: another size."""
        super().resizeEvent(event)
        self._picture = None

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Qt: bring into sight what is shown there."""
        self._bring(event.position().y())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Qt: the same while the button is held."""
        self._bring(event.position().y())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Qt: the row that was pressed is the current one."""
        row = self._rows.rows[min(self.row_at(event.position().y()), self._rows.rowCount() - 1)]
        self._view.go_to(row.path)

    def event(self, event: QEvent) -> bool:
        """Qt: a tip says in words what is shown there."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            number = self.row_at(event.pos().y())
            if number < self._rows.rowCount():
                QToolTip.showText(event.globalPos(), row_text(self._rows.rows[number]), self)
            return True
        return super().event(event)

    @property
    def _long(self) -> int:
        return self._view.verticalHeader().length()

    @property
    def _top(self) -> int:
        return self._view.verticalScrollBar().value()

    @property
    def _share(self) -> float:
        return self.height() / max(self._long, 1)

    def _in_sight(self) -> QRectF:
        high = max(self._view.viewport().height() * self._share, 8.0)
        return QRectF(1, min(self._top * self._share, self.height() - high), self.width() - 2, high)

    def _bring(self, y: float) -> None:
        middle = y / self._share - self._view.viewport().height() / 2
        self._view.verticalScrollBar().setValue(round(middle))

    def _drawn(self) -> QPixmap:
        ratio = self.devicePixelRatioF()
        picture = QPixmap(self.size() * ratio)
        picture.setDevicePixelRatio(ratio)
        inks = self._view.delegate.inks
        picture.fill(QColor(inks.paper))
        painter = QPainter(picture)
        header = self._view.verticalHeader()
        for number, row in enumerate(self._rows.rows):
            top = header.sectionPosition(number) * self._share
            high = max(header.sectionSize(number) * self._share, _LEAST_PX)
            self._draw(painter, row, QRectF(0, top, self.width(), high))
        painter.end()
        return picture

    def _draw(self, painter: QPainter, row: Row, band: QRectF) -> None:
        inks = self._view.delegate.inks
        left, wide = 9.0, self.width() - 18.0
        if row.refrain is not None or row.kind in (RowKind.RETURN, RowKind.REFRAIN):
            painter.fillRect(QRectF(3, band.top(), 3, band.height()), QColor(inks.teal))
        if row.kind in (RowKind.SECTION, RowKind.REFRAIN):
            painter.fillRect(QRectF(left, band.top(), wide, 1.5), QColor(inks.line))
        elif isinstance(row.item, Wait | Offer):
            block = QRectF(left, band.top(), wide, max(band.height() - 1, _LEAST_PX))
            painter.fillRect(block, QColor(inks.ink))
        elif row.line is not None:
            # The louder, the longer; what is said alone is no bar.
            level = _loudest(row)
            if level is not None:
                long = wide * 0.7 * (int(level) + 1) / 5
                high = max(band.height() * 0.5, _LEAST_PX - 0.5)
                top = band.top() + (band.height() - high) / 2
                painter.fillRect(QRectF(left, top, long, high), QColor(inks.muted))
            if row.line.props_in or row.line.props_out:
                side = min(max(band.height() * 0.6, 4.0), 7.0)
                y = band.center().y()
                tag = QRectF(left + wide - side, y - side / 2, side, side)
                painter.setPen(QPen(QColor(inks.ink), 1.2))
                painter.setBrush(QColor(inks.paper))
                painter.drawRect(tag)
            if row.line.warn_first:
                painter.fillRect(QRectF(left, band.top(), wide, 1.5), QColor(inks.amber))


def _loudest(row: Row) -> Loudness | None:
    """How loud the loudest tap of a line is; None where nothing is tapped."""
    assert row.line is not None
    if row.line.lane is None:
        return None
    taps = written_taps(row.line, row.manner)
    return max((max(tap.loudness) for tap in taps), default=None)
