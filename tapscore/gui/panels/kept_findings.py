"""What is kept as it is, each with its reason: folded away, to be looked at and taken back."""

from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtWidgets import QListWidget, QPushButton, QVBoxLayout, QWidget

from tapscore.checks.accepting import AcceptedFinding
from tapscore.wording.catalogue import say
from tapscore.wording.text import Surface


class KeptFindings(QWidget):
    """A button that says how many; pressed, it shows them."""

    current_changed = Signal(object)
    take_back_wanted = Signal(object)
    """A finding that is to be looked at again."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._kept: tuple[AcceptedFinding, ...] = ()
        self.unfold = QPushButton()
        self.unfold.setCheckable(True)
        self.list = QListWidget()
        self.list.setWordWrap(True)
        self.list.setSpacing(3)
        self.list.setAccessibleName(say("Kept as they are"))
        self.back = QPushButton(say("&Look at it again"))
        self.back.setToolTip(say("It stands under “Look again” as before"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.unfold, 0, Qt.AlignmentFlag.AlignLeft)
        column.addWidget(self.list, 1)
        column.addWidget(self.back, 0, Qt.AlignmentFlag.AlignLeft)
        self.unfold.toggled.connect(self._fold)
        self.list.currentRowChanged.connect(lambda _: self.current_changed.emit(self.current))
        self.back.clicked.connect(lambda: self.take_back_wanted.emit(self.current))
        self.show_kept(())

    @property
    def current(self) -> AcceptedFinding | None:
        """The one that is chosen."""
        number = self.list.currentRow()
        return self._kept[number] if 0 <= number < len(self._kept) else None

    def show_kept(self, kept: tuple[AcceptedFinding, ...]) -> None:
        """Show these instead of the ones before."""
        number, had_keys = self.list.currentRow(), self.back.hasFocus()
        with QSignalBlocker(self.list):
            self._kept = kept
            self.list.clear()
            for each in kept:
                message = each.finding.said(Surface.WINDOW).message
                self.list.addItem(say("{message}\nKept: {why}", message=message, why=each.why))
            self.list.setCurrentRow(min(max(number, 0), len(kept) - 1))
        self.unfold.setText(say("{count} kept as they are, with a reason", count=len(kept)))
        if had_keys:
            (self.list if kept else self.unfold).setFocus()
        self.setVisible(bool(kept))
        self._fold(self.unfold.isChecked())

    def _fold(self, shown: bool) -> None:
        self.list.setVisible(shown)
        self.back.setVisible(shown)
