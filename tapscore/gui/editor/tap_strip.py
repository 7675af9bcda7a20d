"""Says that single keys change taps now, and how to end that."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from tapscore.wording.catalogue import say

WORDS = "  ".join(
    (
        f"<b>{say('Tapping')}</b>: {say('Left and Right go from tap to tap.')}",
        f"<b>{say('Space')}</b> {say('tap or none')}",
        f"<b>S</b> {say('strong')}",
        f"<b>A</b> {say('one more')}",
        f"<b>H</b> {say('hold')}, <b>Shift+H</b> {say('less')}",
        f"<b>N</b> {say('another rhythm.')}",
        f"<b>{say('Escape')}</b> {say('ends it.')}",
    )
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
