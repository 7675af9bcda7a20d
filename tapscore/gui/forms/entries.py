"""The fields of forms: what each shows, and the change that somebody made in it.

A field tells of a change only when it was typed or chosen in; showing a value never does.
A value it has no way to show is shown in the file's words and stays as it is; where the
things chosen differ, the field says so and is empty.
"""

from collections.abc import Callable, Sequence
from fractions import Fraction
from functools import partial
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QValidator
from PySide6.QtWidgets import (
    QAbstractSpinBox,
    QCheckBox,
    QGridLayout,
    QLineEdit,
    QWidget,
)

from tapscore.gui.scrolled import in_lines
from tapscore.model.manner import EVERYONE
from tapscore.model.tempo import Tempo, number_text
from tapscore.storyfile.records import Field
from tapscore.storyfile.typed import WrongValueError, text_of, typed_value
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term

SEVERAL, NOT_SAID = say("several"), say("not said")
_LINE_LETTERS = 18
"""Of the words beside a box: a panel has room for so many, in large letters, too."""
Change = Callable[[Any], Any]
"""From what a thing says to what it shall say."""


def always(value: object) -> Change:
    """A change to the same value, whatever it was."""
    return lambda _: value


class WordsEntry(QLineEdit):
    """Free words; every key is told at once."""

    changed = Signal(object)

    def __init__(
        self,
        hint: str = "",
        *,
        needed: bool = False,
        reads: Callable[[str], object] = lambda text: " ".join(text.split()),
    ) -> None:
        super().__init__()
        self._hint = hint
        self._needed = needed
        self._reads = reads
        self.textEdited.connect(self._typed)

    def show_value(self, value: str | None, nothing: Any = "") -> None:
        """Show words; what is being typed stays as it is."""
        self.setPlaceholderText(self._hint or str(nothing))
        if self._reads(self.text()) != self._reads(value or ""):
            self.setText(value or "")
            if not self.hasFocus():
                self.setCursorPosition(0)  # longer words are read from their beginning

    def show_several(self) -> None:
        """Show that the things chosen differ."""
        self.setPlaceholderText(SEVERAL)
        if not self.hasFocus() or self.text():
            self.setText("")

    def finish(self) -> None:
        """Tell what is not told yet."""

    def focusOutEvent(self, event: QFocusEvent) -> None:  # noqa: N802
        """Qt: longer words are read from their beginning again."""
        super().focusOutEvent(event)
        if event.reason() != Qt.FocusReason.PopupFocusReason:
            self.setCursorPosition(0)

    def _typed(self, text: str) -> None:
        words = " ".join(text.split())
        if words or not self._needed:
            self.changed.emit(always(words or None))


def from_the_edge(field: QAbstractSpinBox) -> None:
    """Let a figure begin where other fields' words do: style sheets don't reach it."""
    edit = field.findChild(QLineEdit)
    if isinstance(edit, QLineEdit):
        edit.setTextMargins(6, 0, 0, 0)


class KindEntry(QAbstractSpinBox):
    """A number, a tempo: whatever the file takes for this key, with arrows for numbers."""

    changed = Signal(object)
    refused = Signal(str)

    def __init__(self, field: Field, *, step: int = 1) -> None:
        super().__init__()
        self._field = field
        self._step = step
        self._shown = ""
        self._nothing: Any = None
        self.lineEdit().setPlaceholderText("")
        self.editingFinished.connect(self.finish)

    def value(self) -> Any:
        """What is in the field; raises WrongValueError."""
        return typed_value(self._field, self.text())

    def setValue(self, value: Any) -> None:  # noqa: N802
        """Type a value, as somebody would."""
        self.lineEdit().setText(text_of(self._field, value))
        self.finish()

    def show_value(self, value: Any, nothing: Any = None) -> None:
        """Show a value; where there is none, what holds instead."""
        self._nothing = nothing
        text = text_of(self._field, value)
        hint = nothing if isinstance(nothing, str) else text_of(self._field, nothing)
        self._show(text, hint)

    def show_several(self) -> None:
        """Show that the things chosen differ."""
        self._nothing = None
        self._show("", SEVERAL)

    def finish(self) -> None:
        """Tell of what was typed, if it was; what is no such value stays, with a word why."""
        if self.text() == self._shown:
            return
        try:
            value = self.value()
        except WrongValueError as error:
            self.setToolTip(str(error))
            self.refused.emit(str(error))
            return
        if value is None and self._field.required:
            self.lineEdit().setText(self._shown)
            return
        self._shown = self.text()
        self.setToolTip("")
        self.changed.emit(always(value))

    def validate(self, text: str, position: int) -> tuple[QValidator.State, str, int]:
        """Qt: anything may be typed; it is looked at when it is done."""
        return QValidator.State.Acceptable, text, position

    def fixup(self, text: str) -> str:
        """Qt: nothing is put right behind somebody's back."""
        return text

    def stepEnabled(self) -> QAbstractSpinBox.StepEnabledFlag:  # noqa: N802
        """Qt: the arrows."""
        return QAbstractSpinBox.StepEnabledFlag.StepUpEnabled | (
            QAbstractSpinBox.StepEnabledFlag.StepDownEnabled
        )

    def stepBy(self, steps: int) -> None:  # noqa: N802
        """Qt: a step up or down from what is shown, or from what holds instead."""
        try:
            value = self.value()
            base = self._nothing if value is None else value
            if isinstance(base, Tempo) and base.end is None:
                base = base.start
            if not isinstance(base, int | Fraction):
                return
            text = number_text(Fraction(base) + steps * self._step)
            typed_value(self._field, text)
        except WrongValueError:
            return
        self.lineEdit().setText(text)
        self.finish()

    def drop(self) -> None:
        """Forget what was typed and could not be taken."""
        self._shown = self.text()

    def _show(self, text: str, hint: str) -> None:
        self.lineEdit().setPlaceholderText(hint)
        if self.text() == self._shown:
            # Otherwise somebody is typing still.
            self._shown = text
            self.lineEdit().setText(text)
            self.setToolTip("")


class FlagEntry(QCheckBox):
    """Yes or no."""

    changed = Signal(object)

    def __init__(self, text: str) -> None:
        super().__init__(in_lines(text, _LINE_LETTERS))
        self.clicked.connect(lambda on: self.changed.emit(always(bool(on))))

    def show_value(self, value: bool, nothing: Any = None) -> None:  # noqa: ARG002
        """Show yes or no."""
        self.setTristate(False)
        self.setChecked(bool(value))

    def show_several(self) -> None:
        """Show that the things chosen differ."""
        self.setCheckState(Qt.CheckState.PartiallyChecked)

    def finish(self) -> None:
        """Nothing is ever left to tell."""


class NamesEntry(QWidget):
    """Names with a box each; one press is for that name alone."""

    changed = Signal(object)

    def __init__(self, what: str) -> None:
        super().__init__()
        self._what = what
        self.boxes: dict[str, QCheckBox] = {}
        self._shown: tuple[str, ...] = ()
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(0, 0, 0, 0)
        self._grid.setVerticalSpacing(0)

    @property
    def fields(self) -> tuple[QWidget, ...]:
        """What keys reach in it."""
        return tuple(self.boxes.values())

    def offer(self, names: Sequence[str], told: dict[str, str] | None = None) -> None:
        """A box for each name; ``told`` says it in other words."""
        if tuple(self.boxes) == tuple(names):
            return
        for box in self.boxes.values():
            self._grid.removeWidget(box)
            box.deleteLater()
        self.boxes = {
            name: QCheckBox(in_lines((told or {}).get(name) or term(name), _LINE_LETTERS))
            for name in names
        }
        for number, (name, box) in enumerate(self.boxes.items()):
            said = " ".join(box.text().split())
            box.setAccessibleName(say("{name} {does}", name=said, does=self._what))
            box.clicked.connect(partial(self._pressed, name))
            self._grid.addWidget(box, number, 0)

    def show_value(self, value: tuple[str, ...], nothing: Any = ()) -> None:
        """Tick these names; where nothing is said, those that hold instead."""
        self._shown = tuple(value or nothing or ())
        if EVERYONE in self._shown:
            self._shown = tuple(self.boxes)
        for name, box in self.boxes.items():
            box.setTristate(False)
            box.setChecked(name in self._shown)

    def show_several(self) -> None:
        """Show that the things chosen differ."""
        self._shown = ()
        for box in self.boxes.values():
            box.setCheckState(Qt.CheckState.PartiallyChecked)

    def finish(self) -> None:
        """Nothing is ever left to tell."""

    def _pressed(self, name: str) -> None:
        on, shown, known = self.boxes[name].isChecked(), self._shown, tuple(self.boxes)

        def changed(old: tuple[str, ...]) -> tuple[str, ...]:
            names = known if EVERYONE in old else old or shown
            if on:
                return names if name in names else (*names, name)
            return tuple(each for each in names if each != name)

        self.changed.emit(changed)
