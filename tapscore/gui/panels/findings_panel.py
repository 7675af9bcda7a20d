"""What to look at again: a list that leads to the place."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from tapscore.model.finding import Finding, Severity

_SIGNS = {Severity.MUST_MEND: "!", Severity.LOOK_AGAIN: "?", Severity.ADVICE: "i"}
_FINDING = int(Qt.ItemDataRole.UserRole)


class FindingsPanel(QWidget):
    """Lists findings in words; choosing one goes to its place."""

    chosen = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._nothing = QLabel("Nothing to mend. Read the story aloud once, at the board.")
        self._nothing.setWordWrap(True)
        self._nothing.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.list = QListWidget()
        self.list.setWordWrap(True)
        self.list.setAccessibleName("Look again")
        self.list.setAccessibleDescription("What to mend or look at; Enter goes to the place.")
        self.list.itemActivated.connect(self._activated)
        self.list.itemClicked.connect(self._activated)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(8, 8, 8, 8)
        layout.addWidget(self._nothing)
        layout.addWidget(self.list, 1)
        self.show_findings(())

    def show_findings(self, findings: tuple[Finding, ...]) -> None:
        """Show these findings instead of the ones before."""
        current = self.list.currentRow()
        self.list.clear()
        for finding in findings:
            item = QListWidgetItem(f"{_SIGNS[finding.severity]}  {finding.message}")
            item.setToolTip(f"{finding.severity.value}: {finding.remedy}")
            item.setData(_FINDING, finding)
            item.setData(
                int(Qt.ItemDataRole.AccessibleTextRole),
                f"{finding.severity.value}: {finding.message} {finding.remedy}",
            )
            self.list.addItem(item)
        self.list.setCurrentRow(min(current, self.list.count() - 1))
        self.list.setVisible(bool(findings))
        self._nothing.setVisible(not findings)

    def _activated(self, item: QListWidgetItem) -> None:
        self.chosen.emit(item.data(_FINDING))
