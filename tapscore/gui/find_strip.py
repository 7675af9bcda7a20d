"""Find and replace, above the story: what is found is chosen there as one goes on."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QCheckBox, QLabel, QLineEdit, QPushButton, QVBoxLayout, QWidget

from tapscore.gui.editor.editing import StoryEditing
from tapscore.gui.editor.story_view import StoryView
from tapscore.gui.flow import FlowColumn
from tapscore.wording.catalogue import say
from tapscore.workflow.find_words import FoundWords, find_words

_WHERE = {
    "title": say("in a heading"),
    "warn_first": say("in a warning"),
    "do": say("in what to do"),
    "look_for": say("in what to look for"),
}

_AROUND_PX = 24
"""A field's frame and margins, beside its words."""


class FindStrip(QWidget):
    """Fields and buttons; Enter goes on to the next place, Shift+Enter back, Escape ends it."""

    done = Signal()
    said = Signal(str)

    def __init__(
        self, view: StoryView, editing: StoryEditing, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._view = view
        self._editing = editing
        self._found: tuple[FoundWords, ...] = ()
        self._at = -1
        self.wanted = QLineEdit()
        self.wanted.setAccessibleName(say("Find"))
        self.wanted.setPlaceholderText(say("Find"))
        self.new = QLineEdit()
        self.new.setAccessibleName(say("Put in its place"))
        self.new.setPlaceholderText(say("Put in its place"))
        self.whole = QCheckBox(say("Whole words"))
        self.where = QLabel()
        self.where.setAccessibleDescription(say("What was found"))
        self.next = QPushButton(say("Next"))
        self.before = QPushButton(say("Before"))
        self.replace = QPushButton(say("Replace"))
        self.replace_all = QPushButton(say("Replace all"))
        close = QPushButton(say("Done"))
        close.setAccessibleName(say("End finding"))
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 6, 16, 6)
        for field in (self.wanted, self.new):
            field.ensurePolished()
            hint_px = field.fontMetrics().horizontalAdvance(field.placeholderText())
            field.setMinimumWidth(hint_px + _AROUND_PX)
        for parts in (
            (self.wanted, self.next, self.before, self.whole, self.where),
            (self.new, self.replace, self.replace_all, close),
        ):
            flow = FlowColumn()
            for part in parts:
                flow.addWidget(part)
            column.addLayout(flow)
        self.wanted.textChanged.connect(lambda _: self._look())
        self.whole.toggled.connect(lambda _: self._look())
        self.next.clicked.connect(lambda: self.go(1))
        self.before.clicked.connect(lambda: self.go(-1))
        self.replace.clicked.connect(self._replace)
        self.replace_all.clicked.connect(self._replace_all)
        close.clicked.connect(self.done)
        self.hide()
        self._look()

    def begin(self) -> None:
        """Show it, ready to type."""
        self.show()
        self.wanted.setFocus()
        self.wanted.selectAll()
        self.refresh()

    def refresh(self) -> None:
        """Look again: the story is another one."""
        if not self.isHidden():
            self._look(keep=True)

    def go(self, by: int) -> None:
        """To the next place (1) or the one before (-1), round at both ends."""
        if self._found:
            start = self._at if self._at >= 0 else (-1 if by > 0 else 0)
            self._at = (start + by) % len(self._found)
            self._show()

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Qt: Enter and Escape."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            if self.new.hasFocus():
                self._replace()
            else:
                back = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
                self.go(-1 if back else 1)
        elif event.key() == Qt.Key.Key_Escape:
            self.done.emit()
        else:
            super().keyPressEvent(event)

    def _look(self, *, keep: bool = False) -> None:
        before = self._found[self._at] if keep and self._at >= 0 and self._found else None
        self._found = find_words(
            self._editing.story, self.wanted.text(), whole=self.whole.isChecked()
        )
        self._at = _nearest(self._found, before) if before is not None else -1
        for button in (self.next, self.before, self.replace, self.replace_all):
            button.setEnabled(bool(self._found))
        self._say()

    def _show(self) -> None:
        self._view.go_to(self._found[self._at].path, focus=False)
        self._say()

    def _say(self) -> None:
        count = len(self._found)
        if not self.wanted.text().strip():
            self.where.setText("")
        elif not count:
            self.where.setText(say("nowhere in the story"))
        elif self._at < 0:
            self.where.setText(say("in {count:1 place|# places}", count=count))
        else:
            where = _WHERE.get(self._found[self._at].key, "")
            said = say("{at} of {count} {where}", at=self._at + 1, count=count, where=where)
            self.where.setText(said.strip())

    def _replace(self) -> None:
        if not self._found:
            return
        if self._at < 0:
            self.go(1)
            return
        at, old, new = self._at, self._found[self._at], self.new.text()
        self._editing.replace_words((old,), new)
        self._look()
        # the new words may hold what is looked for, too: on behind them, as far as the end
        made = [
            (each.path, each.key) == (old.path, old.key) and 0 <= each.start - old.start < len(new)
            for each in self._found
        ]
        if at + sum(made) < len(self._found):
            self._at = at + sum(made)
            self._show()

    def _replace_all(self) -> None:
        count = len(self._found)
        if count and self._editing.replace_words(self._found, self.new.text()):
            self.said.emit(
                say("Replaced in {count:1 place|# places}. Undo takes it back.", count=count)
            )
        self._look()


def _nearest(found: Sequence[FoundWords], before: FoundWords) -> int:
    return next((n for n, each in enumerate(found) if each == before), -1)
