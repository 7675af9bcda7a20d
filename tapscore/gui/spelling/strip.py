"""Goes through the words that the dictionary lacks, above the story."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QComboBox, QLabel, QPushButton, QVBoxLayout, QWidget

from tapscore.gui.editor.editing import StoryEditing
from tapscore.gui.editor.story_view import StoryView
from tapscore.gui.flow import FlowColumn
from tapscore.gui.spelling.check import SpellingCheck
from tapscore.wording.catalogue import say
from tapscore.words.spelling import plain_word, suggestions
from tapscore.workflow.find_words import FoundWords, find_words

ALL_KNOWN = say("The dictionary has every word of this story, or you said that it is right.")


class SpellingStrip(QWidget):
    """One word at a time: what may be meant, or that it is right as it is."""

    done = Signal()

    def __init__(
        self,
        check: SpellingCheck,
        view: StoryView,
        editing: StoryEditing,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._check = check
        self._view = view
        self._editing = editing
        self._places: tuple[FoundWords, ...] = ()
        self._at = 0
        self.said = QLabel()
        self.said.setAccessibleDescription(say("Word"))
        self.said.setWordWrap(True)
        self.said.setTextFormat(Qt.TextFormat.PlainText)
        self.instead = QComboBox()
        self.instead.setEditable(True)
        self.instead.setAccessibleName(say("Put in its place"))
        self.instead.setMinimumContentsLength(12)
        self.change = QPushButton(say("Change it"))
        self.change_all = QPushButton(say("Change all"))
        self.right = QPushButton(say("It is right"))
        self.right.setToolTip(say("Not marked any more, in any story"))
        self.next = QPushButton(say("Next"))
        close = QPushButton(say("Done"))
        close.setAccessibleName(say("End looking through the spelling"))
        self._parts = (self.instead, self.change, self.change_all, self.right, self.next)
        flow = FlowColumn()
        for part in (*self._parts, close):
            flow.addWidget(part)
        column = QVBoxLayout(self)
        column.setContentsMargins(16, 6, 16, 6)
        column.addWidget(self.said)
        column.addLayout(flow)
        self.next.clicked.connect(lambda: self._go(self._at + 1))
        self.change.clicked.connect(self._change)
        self.change_all.clicked.connect(self._change_all)
        self.right.clicked.connect(self._is_right)
        close.clicked.connect(self.done)
        check.changed.connect(self._follow)
        self.hide()

    def begin(self) -> None:
        """Show the first of them."""
        self.show()
        self._places = self._check.places()
        self._go(0)
        (self.instead if self._places else self).setFocus()

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Qt: Escape ends it."""
        if event.key() == Qt.Key.Key_Escape:
            self.done.emit()
        elif event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and self.instead.hasFocus():
            self._change()
        else:
            super().keyPressEvent(event)

    @property
    def _place(self) -> FoundWords | None:
        return self._places[self._at] if self._places else None

    def _go(self, at: int) -> None:
        self._at = at % len(self._places) if self._places else 0
        place = self._place
        for part in self._parts:
            part.setEnabled(place is not None)
        self.instead.clear()
        if place is None:
            self.said.setText(ALL_KNOWN)
            return
        self._view.go_to(place.path, focus=False)
        self.said.setText(
            say(
                "“{place}” is not in the dictionary ({at} of {count}).",
                place=place.text,
                at=self._at + 1,
                count=len(self._places),
            )
        )
        self.instead.addItems(suggestions(place.text) or (place.text,))

    def _follow(self) -> None:
        if not self.isHidden():
            self._places = self._check.places()
            self._go(min(self._at, max(len(self._places) - 1, 0)))

    def _change(self) -> None:
        place = self._place
        new = " ".join(self.instead.currentText().split())
        if place is not None and new:
            self._editing.replace_words((place,), new)
            self._after()

    def _change_all(self) -> None:
        place = self._place
        new = " ".join(self.instead.currentText().split())
        if place is not None and new:
            found = find_words(self._editing.story, place.text, whole=True)
            self._editing.replace_words(found, new)
            self._after()

    def _after(self) -> None:
        """Go on at once; the dictionary is asked again in a moment."""
        self._places = self._check.places()
        self._go(min(self._at, max(len(self._places) - 1, 0)))
        self.instead.setFocus()

    def _is_right(self) -> None:
        place = self._place
        if place is not None:
            self._check.is_right(plain_word(place.text))
