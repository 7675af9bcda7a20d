"""What stands in the board's place while a story has none: what to do about it."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from tapscore.wording.catalogue import say


class NoBoard(QWidget):
    """A sentence and a button for each way to a board."""

    usual_wanted = Signal()
    kept_wanted = Signal()
    """The board that was kept is to be this story's."""
    measures_wanted = Signal()
    """Her own board is to be described."""

    def __init__(self) -> None:
        super().__init__()
        self.said = QLabel(
            say("No board yet: with one you can say who sits where, and which spot is tapped.")
        )
        self.said.setWordWrap(True)
        self.kept = QPushButton(say("Put my board here"))
        self.usual = QPushButton(say("Lay out a board of 120 by 120 cm"))
        self.measures = QPushButton(say("Type my board's measures"))
        column = QVBoxLayout(self)
        column.setContentsMargins(12, 8, 12, 8)
        column.addWidget(self.said)
        for button, wanted in (
            (self.kept, self.kept_wanted),
            (self.usual, self.usual_wanted),
            (self.measures, self.measures_wanted),
        ):
            button.clicked.connect(wanted)
            column.addWidget(button)
