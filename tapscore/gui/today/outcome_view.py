"""The table of today's roles, and what nobody can do."""

from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import (
    QHeaderView,
    QLabel,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from tapscore.wording.catalogue import say
from tapscore.workflow.today.outcome import Outcome

BETWEEN_PX = 6
HEADS = (say("Who"), say("Hands today"), say("Sheets to print"))
FIRST = say(
    "Write who is here, choose who takes which role if it matters, "
    "and press “Suggest who does what”."
)


class OutcomeView(QWidget):
    """Shows an outcome, or what to do to have one."""

    def __init__(self) -> None:
        super().__init__()
        self.table = QTableWidget(0, len(HEADS))
        self.table.setAccessibleName(say("Who does what today"))
        self.table.setHorizontalHeaderLabels(list(HEADS))
        self.table.verticalHeader().hide()
        self.table.setEditTriggers(QTableWidget.EditTrigger.NoEditTriggers)
        self.table.setWordWrap(True)
        self.table.setTabKeyNavigation(False)
        self.table.setShowGrid(False)
        self.table.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        header = self.table.horizontalHeader()
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft)
        header.setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        header.setStyleSheet(
            "QHeaderView::section { border: none; border-bottom: 1px solid palette(mid);"
            " padding: 4px 3px; background: palette(window); }"
        )
        header.sectionResized.connect(self._fit_rows)
        self.said = QLabel(FIRST)
        self.said.setWordWrap(True)
        self.said.setAccessibleDescription(say("What nobody can do today"))
        self.said.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(14)
        column.addWidget(self.said)
        column.addWidget(self.table, 1)
        self.table.hide()
        column.addStretch(0)

    def say(self, text: str) -> None:
        """Say something instead of an outcome."""
        self.table.hide()
        self.said.setText(text)

    def show_outcome(self, outcome: Outcome) -> None:
        """Show who does what, and above it what is left."""
        if outcome.problem is not None and not outcome.rows:
            self.say(outcome.problem)
            return
        self.table.setRowCount(len(outcome.rows))
        for number, row in enumerate(outcome.rows):
            for place, text in enumerate((row.who, row.hands, row.cards)):
                item = QTableWidgetItem(text)
                item.setTextAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignTop)
                self.table.setItem(number, place, item)
        left = (
            say("Nobody can do this today ({count}):", count=len(outcome.left))
            if outcome.left
            else "",
            *outcome.left,
        )
        good = (
            () if outcome.left or outcome.not_today else (say("Everything is done by somebody."),)
        )
        groups = (outcome.told, (*good, *left, *outcome.notes))
        texts = ("\n".join(line for line in group if line) for group in groups)
        self.said.setText("\n\n".join(filter(None, texts)))
        self.table.show()
        self._fit_rows()

    @Slot()
    def _fit_rows(self) -> None:
        """Rows as high as their words, with room between them."""
        self.table.resizeRowsToContents()
        for row in range(self.table.rowCount()):
            self.table.setRowHeight(row, self.table.rowHeight(row) + BETWEEN_PX)
