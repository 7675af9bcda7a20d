"""The fields of forms in which one of a few is chosen: from a list, a picture, a loudness."""

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtGui import QFocusEvent
from PySide6.QtWidgets import QComboBox, QVBoxLayout, QWidget

from tapscore.gui.forms.entries import NOT_SAID, SEVERAL, Change, always
from tapscore.model.loudness import WORDS, Loudness, Swell, swell_text
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term

NO_PICTURE = say("none")
_CHOICE_LETTERS = 15
"""A choice has room for so many; where there is less it goes below its label."""
_BRING = object()
_NOT_CHOSEN = object()


class ChoiceEntry(QComboBox):
    """One of a few; ``nothing`` comes first where nothing may be said."""

    changed = Signal(object)

    def __init__(self, choices: Sequence[tuple[str, Any]] = (), *, needed: bool = False) -> None:
        super().__init__()
        self._choices = tuple(choices)
        self._needed = needed
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.setMinimumContentsLength(_CHOICE_LETTERS)
        self.activated.connect(self._chosen)

    def offer(self, choices: Sequence[tuple[str, Any]]) -> None:
        """What there is to choose from."""
        self._choices = tuple(choices)

    def show_value(self, value: Any, nothing: Any = NOT_SAID) -> None:
        """Show what is chosen; what is not among the choices is shown as it is."""
        known = any(each == value for _, each in self._choices)
        odd = [] if known or value is None else [(_said(value), value)]
        none = [] if self._needed and value is not None else [(str(nothing), None)]
        self._fill([*none, *odd, *self._choices], value)

    def show_several(self) -> None:
        """Show that the things chosen differ."""
        self._fill([(SEVERAL, _NOT_CHOSEN), *self._choices], _NOT_CHOSEN)

    def finish(self) -> None:
        """Nothing is ever left to tell."""

    def _fill(self, items: Sequence[tuple[str, Any]], value: Any) -> None:
        with QSignalBlocker(self):
            if [self.itemText(i) for i in range(self.count())] != [text for text, _ in items]:
                self.clear()
                self.addItems([text for text, _ in items])
            self._values = [each for _, each in items]
            self.setCurrentIndex(next(i for i, each in enumerate(self._values) if each == value))

    def _chosen(self, index: int) -> None:
        value = self._values[index]
        if value is not _NOT_CHOSEN:
            self.changed.emit(always(value))


class PictureEntry(ChoiceEntry):
    """A picture beside the story, or one that is brought there.

    What lies there (``beside``) is looked for when somebody comes to the field, not at each key.
    """

    bring_wanted = Signal()

    def __init__(self, beside: Callable[[], Sequence[str]]) -> None:
        super().__init__([(say("Bring one in ..."), _BRING)])
        self._beside = beside
        self._shown: tuple[str | None, Any] = (None, "")

    def show_value(self, value: Any, nothing: Any = NO_PICTURE) -> None:
        """Show the picture's name."""
        self._shown = (value, nothing)
        super().show_value(value, nothing)

    def focusInEvent(self, event: QFocusEvent) -> None:  # noqa: N802
        """Qt: somebody comes to the field."""
        names = [*((name, name) for name in self._beside()), (say("Bring one in ..."), _BRING)]
        if names != list(self._choices):
            self.offer(names)
            self.show_value(*self._shown)
        super().focusInEvent(event)

    def bring(self, name: str) -> None:
        """A picture was brought beside the story."""
        self.changed.emit(always(name))

    def _chosen(self, index: int) -> None:
        if self._values[index] is _BRING:
            self.show_value(*self._shown)
            self.bring_wanted.emit()
        else:
            super()._chosen(index)


class SwellEntry(QWidget):
    """A loudness, and the one it changes to on the way."""

    changed = Signal(object)

    def __init__(self) -> None:
        super().__init__()
        self.first = ChoiceEntry([(term(word), (Loudness(n),)) for n, word in enumerate(WORDS)])
        self.last = ChoiceEntry(
            [
                (say("to {loudness}", loudness=term(word)), Loudness(n))
                for n, word in enumerate(WORDS)
            ]
        )
        self.last.setAccessibleName(say("Changing to"))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.first)
        column.addWidget(self.last)
        self.first.changed.connect(self._first_changed)
        self.last.changed.connect(self._last_changed)

    @property
    def fields(self) -> tuple[QWidget, ...]:
        """What keys reach in it.  It is no proxy: Tab would come to it at its own place as well."""
        return (self.first, self.last)

    def setAccessibleName(self, name: str) -> None:  # noqa: N802
        """Qt: the name is the first field's."""
        self.first.setAccessibleName(name)

    def show_value(self, value: Swell | None, nothing: Any = NOT_SAID) -> None:
        """Show a loudness; more than two steps are shown in words, and stay."""
        longer = value is not None and len(value) > 2
        self.first.show_value(value if longer or value is None else value[:1], nothing)
        self.last.setEnabled(value is not None and not longer)
        self.last.show_value(value[1] if value and len(value) == 2 else None, say("and stays so"))

    def show_several(self) -> None:
        """Show that the things chosen differ."""
        self.first.show_several()
        self.last.show_value(None, say("and stays so"))
        self.last.setEnabled(False)

    def finish(self) -> None:
        """Nothing is ever left to tell."""

    def _first_changed(self, change: Change) -> None:
        new = change(None)

        def changed(old: Swell | None) -> Swell | None:
            return (*new, *old[1:]) if new and old and len(new) == 1 and len(old) == 2 else new

        self.changed.emit(changed)

    def _last_changed(self, change: Change) -> None:
        last = change(None)
        self.changed.emit(lambda old: old and (old[:1] if last is None else (old[0], last)))


def _said(value: object) -> str:
    return swell_text(value) if isinstance(value, tuple) else str(value)
