"""What each place gets from the taps of a line, where to tap, and what the map leaves open."""

from html import escape

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QHeaderView,
    QLabel,
    QScrollArea,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from tapscore.board.limits import LIMITS
from tapscore.gui.felt.answer import MAP_REFERENCE, TABLE_REFERENCE, FeltAnswer
from tapscore.wording.catalogue import say

ASK = say("Choose a place under “Show what is felt”, above, to see what it gets from the taps.")

NO_PLACE = say("Put a pupil's place on the board first, under “On the board”.")


class FeltDetails(QScrollArea):
    """A table and sentences; only the first sentence while nothing is chosen."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setWidgetResizable(True)
        self.setAccessibleName(say("What is felt"))
        self.table = QTableWidget(0, 1)
        self.table.setAccessibleName(say("What each place gets from this line"))
        self.table.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        self.table.verticalHeader().setVisible(False)
        self.table.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.table.setWordWrap(True)
        self.table.setTabKeyNavigation(False)
        self.text = QLabel(ASK)
        self.text.setWordWrap(True)
        self.text.setTextFormat(Qt.TextFormat.RichText)
        self.text.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        content = QWidget()
        column = QVBoxLayout(content)
        column.addWidget(self.table)
        column.addWidget(self.text)
        column.addStretch(1)
        self.setWidget(content)
        self.table.setVisible(False)
        self._ask = ASK

    def allow(self, can_ask: bool) -> None:
        """Whether there is a place to ask for."""
        before, self._ask = self._ask, ASK if can_ask else NO_PLACE
        if self.text.text() == before:
            self.text.setText(self._ask)

    def show_answer(self, found: FeltAnswer | None) -> None:
        """Show an answer; None while nothing is to be shown."""
        self.table.setVisible(found is not None and bool(found.rows))
        if found is None:
            self.text.setText(self._ask)
            return
        self._fill(found)
        parts = [TABLE_REFERENCE, MAP_REFERENCE] if found.rows else [found.summary, MAP_REFERENCE]
        lines = "".join(f"<p>{escape(part)}</p>" for part in parts)
        for head, said in (
            (say("Where to tap"), found.suggestions),
            (say("Mind"), found.warnings),
            (say("What the model leaves open"), LIMITS),
        ):
            if said:
                items = "".join(f"<p style='margin-top:2px'>{escape(each)}</p>" for each in said)
                lines += f"<p style='margin-bottom:0'><b>{head}</b></p>{items}"
        self.text.setText(lines)

    def _fill(self, found: FeltAnswer) -> None:
        table = self.table
        table.setColumnCount(1 + len(found.places))
        table.setHorizontalHeaderLabels([say("Taps of this line"), *found.places])
        table.setRowCount(len(found.rows))
        for number, row in enumerate(found.rows):
            for column, text in enumerate((row.taps, *row.words)):
                table.setItem(number, column, QTableWidgetItem(text))
        header = table.horizontalHeader()
        header.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        header.setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        table.resizeRowsToContents()
        high = header.sizeHint().height() + sum(
            table.rowHeight(number) for number in range(len(found.rows))
        )
        table.setFixedHeight(high + 2 * table.frameWidth() + 2)
