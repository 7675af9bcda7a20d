"""What is said at a window's foot, in as many lines as it needs: Qt's own bar cuts it off."""

from PySide6.QtCore import QEvent, QRect, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QStatusBar, QWidget

_EDGE_PX = (6, 3)
_LEAST_MS, _LETTER_MS = 5000, 70


class StatusLine(QStatusBar):
    """As high as its words are at the window's width."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.messageChanged.connect(self._fit)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Qt: another width may need another number of lines."""
        super().resizeEvent(event)
        self._fit()

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802
        """Qt: larger letters."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange):
            self._fit()

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Qt: the words alone."""
        del event
        painter = QPainter(self)
        painter.setPen(self.palette().windowText().color())
        flags = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignVCenter
        painter.drawText(self._room(self.height()), int(flags), self.currentMessage())

    def _fit(self) -> None:
        flags = int(Qt.TextFlag.TextWordWrap)
        said = self.currentMessage()
        needed = self.fontMetrics().boundingRect(self._room(1_000_000), flags, said).height()
        one = self.fontMetrics().lineSpacing()
        self.setMinimumHeight(max(needed, one) + 2 * _EDGE_PX[1])

    def _room(self, high: int) -> QRect:
        across, down = _EDGE_PX
        return QRect(across, down, max(self.width() - 2 * across, 1), max(high - 2 * down, 1))


def reading_ms(text: str) -> int:
    """How long something said stands: long enough to be read."""
    return max(_LEAST_MS, _LETTER_MS * len(text))
