"""The felt map painted on the board's picture."""

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QImage, QPainter, QPainterPath, QPen

from tapscore.board.words import WORDS
from tapscore.gui.felt.answer import Picture
from tapscore.gui.fonts import font
from tapscore.gui.palettes import Inks

WORD_PX = 12
_HALO_PX = 4.0


def word_boxes() -> tuple[tuple[int, int], ...]:
    """Width and height (pixels) that each word on the map needs."""
    metrics = QFontMetricsF(font(WORD_PX, bold=True))
    high = round(metrics.height()) + 2
    return tuple((round(metrics.horizontalAdvance(word)) + 8, high) for word in WORDS)


class MapUnderlay:
    """A picture of the map, stretched into the sheet's frame until a new one is there."""

    def __init__(self, picture: Picture, width: int) -> None:
        high, wide, _ = picture.pixels.shape
        self._image = QImage(
            picture.pixels.tobytes(), wide, high, 3 * wide, QImage.Format.Format_RGB888
        ).copy()
        self._words = picture.words
        self._width = width

    def paint(self, painter: QPainter, frame: QRectF, inks: Inks) -> None:
        """Paint it into ``frame``, its words on it."""
        whole = QPainterPath()
        whole.addRoundedRect(frame, 6, 6)
        painter.save()
        painter.setClipPath(whole)
        painter.drawImage(frame, self._image)
        scale = frame.width() / self._width
        for word, x, y in self._words:
            middle = QPointF(frame.left() + x * scale, frame.top() + y * scale)
            _haloed(painter, middle, WORDS[word], inks)
        painter.restore()


def _haloed(painter: QPainter, middle: QPointF, text: str, inks: Inks) -> None:
    face = font(WORD_PX, bold=True)
    metrics = QFontMetricsF(face)
    left = middle.x() - metrics.horizontalAdvance(text) / 2
    path = QPainterPath()
    path.addText(QPointF(left, middle.y() + metrics.capHeight() / 2), face, text)
    pen = QPen(QColor(inks.paper), _HALO_PX)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.strokePath(path, pen)
    painter.fillPath(path, QColor(inks.ink))
