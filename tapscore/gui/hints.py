"""Five hints above the first story, to be read one by one or put away."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QLabel, QPushButton, QWidget

from tapscore.wording.catalogue import say

HINTS = (
    say(
        "Each line has words above and its taps below. Go from line to line with Up and Down, "
        "from tap to tap with Left and Right."
    ),
    say(
        "Type, or press Enter and change the words: syllables and taps follow. Ctrl+Shift+N gives "
        "another rhythm."
    ),
    say(
        "Press Ctrl+Enter for a line's details: how loud, how touched, where, by whom, and what "
        "warns the pupils first."
    ),
    say("On the right stands what to look at again. Choose one, and you are at its place."),
    say(
        "Press Ctrl+E to make cards and sound for your team. Save the story "
        "under a name to keep it."
    ),
)


class HintStrip(QWidget):
    """Shows one hint at a time; emits ``put_away`` when the user has seen enough."""

    put_away = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._number = 0
        self._text = QLabel()
        self._text.setWordWrap(True)
        self._text.setAccessibleDescription(say("Hint"))
        self.next = QPushButton(say("Next"))
        self.next.setAccessibleName(say("Next hint"))
        self.close_button = QPushButton(say("Put away"))
        self.close_button.setAccessibleName(say("Put the hints away"))
        row = QHBoxLayout(self)
        row.setContentsMargins(16, 6, 16, 6)
        row.addWidget(self._text, 1)
        row.addWidget(self.next)
        row.addWidget(self.close_button)
        self.next.clicked.connect(self._go_on)
        self.close_button.clicked.connect(self.put_away)
        self._show()

    def _go_on(self) -> None:
        if self._number + 1 == len(HINTS):
            self.put_away.emit()
            return
        self._number += 1
        self._show()

    def _show(self) -> None:
        place = say("{number} of {count}", number=self._number + 1, count=len(HINTS))
        self._text.setText(f"<b>{place}</b>  {HINTS[self._number]}")
        self.next.setText(say("Done") if self._number + 1 == len(HINTS) else say("Next"))
