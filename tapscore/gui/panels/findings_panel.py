"""What to look at again: a list that leads to the place, mends, or accepts with a reason."""

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from tapscore.model.finding import Finding, Severity
from tapscore.wording.text import Surface

_SIGNS = {Severity.MUST_MEND: "!", Severity.LOOK_AGAIN: "?", Severity.ADVICE: "i"}


class FindingsPanel(QWidget):
    """Lists findings in words; what to do about the chosen one stands below."""

    chosen = Signal(object)
    current_changed = Signal(object)
    mend_wanted = Signal(object)
    accept_wanted = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._nothing = QLabel("Nothing to mend. Read the story aloud once, at the board.")
        self._nothing.setWordWrap(True)
        self._nothing.setAlignment(Qt.AlignmentFlag.AlignTop)
        self._findings: tuple[Finding, ...] = ()
        self.list = QListWidget()
        self.list.setWordWrap(True)
        self.list.setSpacing(3)
        self.list.setAccessibleName("Look again")
        self.list.setAccessibleDescription("What to mend or look at; Enter goes to the place.")
        self.remedy = QLabel()
        self.remedy.setWordWrap(True)
        self.remedy.setAccessibleName("What to do")
        self.mend = QPushButton("Mend it")
        self.accept = QPushButton("Keep it so ...")
        self.accept.setToolTip("It is meant to be like this: say why")
        self.accepted = QLabel()
        buttons = QHBoxLayout()
        buttons.addWidget(self.mend)
        buttons.addWidget(self.accept)
        buttons.addStretch(1)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(8, 8, 8, 8)
        layout.addWidget(self._nothing)
        layout.addWidget(self.list, 1)
        layout.addWidget(self.remedy)
        layout.addLayout(buttons)
        layout.addWidget(self.accepted)
        self.list.itemActivated.connect(self._activated)
        self.list.itemClicked.connect(self._activated)
        self.list.currentItemChanged.connect(lambda *_: self._show_current())
        self.mend.clicked.connect(lambda: self.mend_wanted.emit(self.current))
        self.accept.clicked.connect(lambda: self.accept_wanted.emit(self.current))
        self.show_findings((), 0)

    @property
    def current(self) -> Finding | None:
        """The chosen finding."""
        number = self.list.currentRow()
        return self._findings[number] if 0 <= number < len(self._findings) else None

    def show_findings(self, findings: tuple[Finding, ...], accepted: int) -> None:
        """Show these findings instead of the ones before, and how many are accepted.

        Nobody is told of a choice while the list is between the two: what would be told of
        is gone, and asking Qt for it crashed.  So items are used again, and hold only words.
        """
        number = self.list.currentRow()
        with QSignalBlocker(self.list):
            while self.list.count() > len(findings):
                self.list.takeItem(self.list.count() - 1)
            while self.list.count() < len(findings):
                self.list.addItem("")
            self._findings = findings
            for row, finding in enumerate(findings):
                item = self.list.item(row)
                message, remedy = finding.said(Surface.WINDOW)
                said = f"{finding.severity.value}: {message} {remedy}"
                item.setText(f"{_SIGNS[finding.severity]}  {message}")
                item.setToolTip(f"{finding.severity.value}: {remedy}")
                item.setData(int(Qt.ItemDataRole.AccessibleTextRole), said)
            self.list.setCurrentRow(min(max(number, 0), self.list.count() - 1))
        for part in (self.list, self.remedy, self.mend, self.accept):
            part.setVisible(bool(findings))
        self._nothing.setVisible(not findings)
        self.accepted.setText(f"{accepted} kept as they are, with a reason.")
        self.accepted.setVisible(bool(accepted))
        self._show_current()

    def can_mend(self, words: str | None) -> None:
        """Say what mending the chosen finding would do; None where it can't be done here."""
        self.mend.setEnabled(words is not None)
        self.mend.setToolTip(words or "Only you can decide how to mend this.")

    def _show_current(self) -> None:
        finding = self.current
        self.remedy.setText(finding.said(Surface.WINDOW).remedy if finding else "")
        self.accept.setEnabled(finding is not None and not finding.must_mend)
        self.can_mend(None)
        self.current_changed.emit(finding)

    def _activated(self, item: QListWidgetItem) -> None:
        number = self.list.row(item)
        if 0 <= number < len(self._findings):
            self.chosen.emit(self._findings[number])
