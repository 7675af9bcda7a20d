"""Tap a rhythm in with the space bar."""

import time
from collections.abc import Callable
from html import escape

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from tapscore.gui.asking import Asking
from tapscore.gui.enter import CalmDialog
from tapscore.model.lane import Lane
from tapscore.model.metre import Metre
from tapscore.model.story import Line
from tapscore.model.words import printed
from tapscore.storyfile.lane_text import lane_text
from tapscore.wording.catalogue import say
from tapscore.workflow.tapping_in import TappedLane, lanes_from_taps


class TapInDialog(CalmDialog):
    """Says the words, counts the taps, and offers what was understood."""

    def __init__(
        self,
        parent: QWidget,
        line: Line,
        metre: Metre,
        keep: Callable[[Lane], object],
        clock: Callable[[], float] = time.perf_counter,
        asking: Asking | None = None,
    ) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(say("Tap the rhythm in"))
        self.resize(640, 300)
        self._line = line
        self._metre = metre
        self._keep = keep
        self._clock = clock
        self._asking = asking or Asking()
        self._taps_sec: list[float] = []
        self._found: tuple[TappedLane, ...] = ()
        words = QLabel(f"<b style='font-size:22px'>{escape(printed(line.words))}</b>")
        words.setWordWrap(True)
        self.said = QLabel()
        self.said.setWordWrap(True)
        self.ways = QComboBox()
        self.ways.setAccessibleName(say("How the taps are read"))
        self.ways.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.again = QPushButton(say("Again"))
        self.keep_button = QPushButton(say("Keep it"))
        close = QPushButton(say("Close"))
        for button in (self.again, self.keep_button, close):
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.again.clicked.connect(self._start_again)
        self.keep_button.clicked.connect(self._keep_chosen)
        close.clicked.connect(self.reject)
        buttons = QHBoxLayout()
        buttons.addStretch(1)
        for button in (close, self.again, self.keep_button):
            buttons.addWidget(button)
        column = QVBoxLayout(self)
        column.addWidget(words)
        column.addWidget(self.said)
        column.addWidget(self.ways)
        column.addStretch(1)
        column.addLayout(buttons)
        self._start_again()

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Qt: the space bar is a tap, Return says that the line is over."""
        if event.key() == Qt.Key.Key_Space and not event.isAutoRepeat():
            self._taps_sec.append(self._clock())
            self._show()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self._found:
            self._keep_chosen()
        else:
            super().keyPressEvent(event)

    def reject(self) -> None:
        """Qt: Escape asks before a whole rhythm is lost."""
        whole = len(self._taps_sec) >= len(self._line.syllables) and bool(self._found)
        if not whole or self._asking.may_throw_away(self, say("This rhythm is not kept yet.")):
            super().reject()

    def _start_again(self) -> None:
        self._taps_sec.clear()
        self._show()
        self.setFocus()

    def _show(self) -> None:
        count = len(self._line.syllables)
        taps = len(self._taps_sec)
        self._found = lanes_from_taps(self._line.words, self._metre, self._taps_sec)
        self.ways.clear()
        self.ways.addItems([_way_text(way) for way in self._found])
        self.ways.setVisible(bool(self._found) and taps >= count)
        self.keep_button.setEnabled(bool(self._found))
        if not taps:
            self.said.setText(
                say(
                    "Say the words and press the space bar with every syllable. "
                    "A steady pace helps; small slips don't matter."
                )
            )
        elif taps < count:
            self.said.setText(say("{taps} of {count} syllables.", taps=taps, count=count))
        else:
            self.said.setText(say("Press Return to keep this rhythm, or tap it again."))

    def _keep_chosen(self) -> None:
        if self._found:
            self._keep(self._found[max(self.ways.currentIndex(), 0)].lane)
            self.accept()


def _way_text(way: TappedLane) -> str:
    parts = [way.pace, say("{tempo} beats a minute", tempo=way.tempo), lane_text(way.lane)]
    if way.missed:
        parts.append(say("without a tap: {words}", words=", ".join(way.missed)))
    if way.extra:
        parts.append(say("{extra} taps left out", extra=way.extra))
    return "  ·  ".join(parts)
