"""What to look at again: a list that leads to the place, mends, or accepts with a reason."""

from PySide6.QtCore import QSignalBlocker, Qt, Signal, SignalInstance
from PySide6.QtWidgets import (
    QApplication,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from tapscore.checks.accepting import AcceptedFinding
from tapscore.gui.flow import FlowColumn
from tapscore.gui.wrapped_items import wrap_items
from tapscore.model.finding import Finding, Severity
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
        wrap_items(self.list)
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


_SIGNS = {Severity.MUST_MEND: "!", Severity.LOOK_AGAIN: "?", Severity.ADVICE: "i"}
NOTHING = say("Nothing to mend. Read the story aloud once, at the board.")


class FindingsPanel(QWidget):
    """Lists findings in words; what to do about the chosen one stands below."""

    chosen = Signal(object)
    """A finding whose line is to be shown."""
    place_wanted = Signal(object)
    """A finding whose place is to be gone to, in whatever panel it stands."""
    current_changed = Signal(object)
    mend_wanted = Signal(object)
    accept_wanted = Signal(object)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.nothing = QLabel(NOTHING)
        self.nothing.setWordWrap(True)
        self.nothing.setAlignment(Qt.AlignmentFlag.AlignTop)
        # So that the keys have somewhere to be when the last finding is mended.
        self.nothing.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self._findings: tuple[Finding, ...] = ()
        self.list = QListWidget()
        wrap_items(self.list)
        self.list.setSpacing(3)
        self.list.setAccessibleName(say("Look again"))
        self.list.setAccessibleDescription(say("What to mend or look at; Enter goes to the place."))
        self.remedy = QLabel()
        self.remedy.setWordWrap(True)
        self.remedy.setAccessibleDescription(say("What to do"))
        self.would = QLabel()
        self.would.setWordWrap(True)
        self.would.setTextFormat(Qt.TextFormat.PlainText)
        self.would.setAccessibleDescription(say("What mending it would change"))
        self.mend = QPushButton(say("&Mend it"))
        self.accept = QPushButton(say("&Keep it so ..."))
        self.accept.setToolTip(say("It is meant to be like this: say why"))
        self.go = QPushButton(say("&Go there"))
        self.go.setToolTip(say("To the line, or to the panel where it stands (Enter)"))
        self.kept = KeptFindings()
        buttons = FlowColumn()
        for button in (self.mend, self.accept, self.go):
            buttons.addWidget(button)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(8, 8, 8, 8)
        layout.addWidget(self.nothing)
        layout.addWidget(self.list, 1)
        layout.addWidget(self.remedy)
        layout.addWidget(self.would)
        layout.addLayout(buttons)
        layout.addWidget(self.kept)
        self.list.itemActivated.connect(lambda item: self._tell(item, self.place_wanted))
        self.go.clicked.connect(lambda: self.place_wanted.emit(self.current))
        self.list.itemClicked.connect(lambda item: self._tell(item, self.chosen))
        self.list.currentItemChanged.connect(lambda *_: self._show_current())
        self.mend.clicked.connect(lambda: self.mend_wanted.emit(self.current))
        self.accept.clicked.connect(lambda: self.accept_wanted.emit(self.current))
        self.show_findings((), ())

    @property
    def current(self) -> Finding | None:
        """The chosen finding."""
        number = self.list.currentRow()
        return self._findings[number] if 0 <= number < len(self._findings) else None

    @property
    def has_keys(self) -> bool:
        """Whether the keys go to this panel now."""
        focused = QApplication.focusWidget()
        return focused is not None and self.isAncestorOf(focused)

    def show_findings(
        self, findings: tuple[Finding, ...], accepted: tuple[AcceptedFinding, ...]
    ) -> None:
        """Show these findings instead of the ones before, and those that are accepted.

        Nobody is told of a choice while the list is between the two: what would be told of
        is gone, and asking Qt for it crashed.  So items are used again, and hold only words.
        """
        number, had_keys = self.list.currentRow(), self._list_has_keys()
        with QSignalBlocker(self.list):
            while self.list.count() > len(findings):
                self.list.takeItem(self.list.count() - 1)
            while self.list.count() < len(findings):
                self.list.addItem("")
            self._findings = findings
            for row, finding in enumerate(findings):
                item = self.list.item(row)
                message, remedy = finding.said(Surface.WINDOW)
                said = f"{finding.severity.words}: {message} {remedy}"
                item.setText(f"{_SIGNS[finding.severity]}  {message}")
                item.setToolTip(f"{finding.severity.words}: {remedy}")
                item.setData(int(Qt.ItemDataRole.AccessibleTextRole), said)
            self.list.setCurrentRow(min(max(number, 0), self.list.count() - 1))
        self.nothing.setVisible(not findings)
        if had_keys and not findings:
            self.nothing.setFocus()
        for part in (self.list, self.remedy, self.mend, self.accept, self.go):
            part.setVisible(bool(findings))
        self.kept.show_kept(accepted)
        self._show_current()

    def can_mend(self, words: str | None, would: str = "") -> None:
        """Say what mending the chosen finding would do; None where it can't be done here."""
        had_keys = self.mend.hasFocus()
        self.mend.setEnabled(words is not None)
        if had_keys and words is None:
            self.list.setFocus()
        self.mend.setToolTip(words or say("Only you can decide how to mend this."))
        self.would.setText(say("Mending it would change:\n{would}", would=would) if would else "")
        self.would.setVisible(bool(would))

    def _list_has_keys(self) -> bool:
        parts = (self.list, self.mend, self.accept, self.go, self.nothing)
        return any(part.hasFocus() for part in parts)

    def _show_current(self) -> None:
        finding = self.current
        self.remedy.setText(finding.said(Surface.WINDOW).remedy if finding else "")
        had_keys = self.accept.hasFocus()
        self.accept.setEnabled(finding is not None and not finding.must_mend)
        if had_keys and not self.accept.isEnabled():
            self.list.setFocus()
        mended_by_keys = self.mend.hasFocus()
        self.can_mend(None)
        self.current_changed.emit(finding)
        if mended_by_keys and self.mend.isEnabled():
            self.mend.setFocus()

    def _tell(self, item: QListWidgetItem, signal: SignalInstance) -> None:
        number = self.list.row(item)
        if 0 <= number < len(self._findings):
            signal.emit(self._findings[number])
