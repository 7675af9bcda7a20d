"""How loud the voice reaches the microphone: a bar with words, and nothing that flashes."""

from itertools import pairwise
from math import log10

from PySide6.QtCore import QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QSizePolicy, QWidget

from tapscore.gui.aloud import say_aloud
from tapscore.wording.catalogue import say

LOWEST_DB = -54.0
SOFT_DB, LOUD_DB = -30.0, -3.0
"""Between them a voice is well recorded (common practice, no source)."""
FALL_DB = 1.0
"""How far the bar sinks each time it is told of less."""
_GAP_PX = 8
_WORDS = (say("no sound"), say("soft"), say("good"), say("too loud"))


class LevelMeter(QWidget):
    """Shows the loudest of the last moments."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shown_db = LOWEST_DB
        self._word = _WORDS[0]
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName(say("How loud: no sound"))

    @property
    def word(self) -> str:
        """What the bar means: no sound, soft, good or too loud."""
        return self._word

    def show_level(self, peak: float) -> None:
        """A new moment, its highest sample from 0 to 1; 0 clears the bar."""
        level_db = max(20 * log10(peak), LOWEST_DB) if peak > 0 else LOWEST_DB
        sunk = self._shown_db - FALL_DB if peak > 0 else LOWEST_DB
        self._shown_db = max(level_db, sunk, LOWEST_DB)
        word = _word(self._shown_db)
        if word != self._word:
            self._word = word
            self.setAccessibleName(say("How loud: {word}", word=word))
            if word == _WORDS[3]:
                say_aloud(self, word)
        self.update()

    def sizeHint(self) -> QSize:  # noqa: N802
        """Qt: room for its words side by side, and high enough."""
        words = sum(self.fontMetrics().horizontalAdvance(word) for word in _WORDS[2:])
        least = round((words + 3 * _GAP_PX) / (1 - _share(SOFT_DB)))
        return QSize(max(240, least), self.fontMetrics().height() * 2 + 14)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: ARG002, N802
        """Qt: the bar, two marks between which it should be, and the words below."""
        painter = QPainter(self)
        ink = self.palette().windowText().color()
        line = self.fontMetrics().height()
        high = self.height() - line - 4
        frame = QRectF(0.5, 0.5, self.width() - 1, high - 1)
        painter.setPen(QPen(ink, 1))
        painter.drawRect(frame)
        filled = frame.adjusted(3, 3, -3, -3)
        filled.setWidth(filled.width() * _share(self._shown_db))
        painter.fillRect(filled, self.palette().highlight())
        places = [_share(SOFT_DB) * frame.width(), _share(LOUD_DB) * frame.width()]
        for x in places:
            painter.drawLine(round(x), 0, round(x), round(high) + 3)
        # the last word is wider than its part: the one before stands beside it, not under it
        last = frame.width() - self.fontMetrics().horizontalAdvance(_WORDS[3]) - _GAP_PX
        ends = [0.0, places[0], min(places[1], last), frame.width()]
        for (left, right), word in zip(pairwise(ends), _WORDS[1:], strict=True):
            font = painter.font()
            font.setBold(word == self._word)
            painter.setFont(font)
            room = QRectF(left, high + 3, right - left, line)
            painter.drawText(room, Qt.AlignmentFlag.AlignCenter, word)


def _share(level_db: float) -> float:
    return (level_db - LOWEST_DB) / -LOWEST_DB


def _word(level_db: float) -> str:
    if level_db <= LOWEST_DB:
        return _WORDS[0]
    if level_db < SOFT_DB:
        return _WORDS[1]
    return _WORDS[2] if level_db < LOUD_DB else _WORDS[3]
