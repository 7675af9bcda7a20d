"""Says that single keys change taps now, and how to end that."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from tapscore.wording.catalogue import say

WORDS = say(
    "<b>Tapping</b>: Left and Right go from tap to tap.  <b>Space</b> tap or none  "
    "<b>S</b> strong  <b>A</b> one more  <b>H</b> hold, <b>Shift+H</b> less  "
    "<b>N</b> another rhythm.  <b>Escape</b> ends it."
)


class TapStrip(QWidget):
    """Stands above the story for as long as the tapping mode lasts."""

    done = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("strip")
        self.text = QLabel(WORDS)
        self.text.setWordWrap(True)
        self.text.setAccessibleDescription(say("Tapping mode"))
        button = QPushButton(say("Done"))
        button.setAccessibleName(say("End the tapping mode"))
        button.clicked.connect(self.done)
        row = QHBoxLayout(self)
        row.setContentsMargins(16, 6, 16, 6)
        row.addWidget(self.text, 1)
        row.addWidget(button)
        self.hide()
