"""The lines of a story and which of them are recorded, as a table gone through by keys."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableWidget, QTableWidgetItem

from tapscore.wording.catalogue import say
from tapscore.workflow.recording_lines import LineToRecord


class LinesTable(QTableWidget):
    """A row for each line; Space and Return are for its recording."""

    space_pressed = Signal()
    return_pressed = Signal()

    def __init__(self, about: str) -> None:
        super().__init__(0, 3)
        self.setHorizontalHeaderLabels([say("Line"), say("Words"), say("Recording")])
        self.setAccessibleName(say("Lines"))
        self.setAccessibleDescription(about)
        self.verticalHeader().setVisible(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setTabKeyNavigation(False)
        self.setWordWrap(True)
        self.setShowGrid(False)
        self.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        self.horizontalHeader().setSectionResizeMode(1, QHeaderView.ResizeMode.Stretch)

    def show_lines(self, lines: Sequence[LineToRecord]) -> None:
        """Show these lines; the row chosen stays chosen."""
        self.setRowCount(len(lines))
        for row, line in enumerate(lines):
            for column, text in enumerate((line.short_name, line.words, _state(line))):
                item = self.item(row, column)
                if item is None:
                    self.setItem(row, column, QTableWidgetItem(text))
                else:
                    item.setText(text)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Qt: Space and Return are told; other keys move through the lines."""
        if event.key() == Qt.Key.Key_Space:
            if not event.isAutoRepeat():
                self.space_pressed.emit()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.return_pressed.emit()
        else:
            super().keyPressEvent(event)


def _state(line: LineToRecord) -> str:
    if line.file is not None:
        return say("recorded")
    return say("other words now") if line.other_words is not None else say("not yet")
