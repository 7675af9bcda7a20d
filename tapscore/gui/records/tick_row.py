"""Boxes to tick by a letter each: one stop of the Tab key for the whole row."""

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, QSignalBlocker, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence
from PySide6.QtWidgets import QCheckBox, QSizePolicy, QWidget

from tapscore.gui.flow import FlowColumn
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term


class TickRow(QWidget):
    """A few choices, of which one or several hold.

    The underlined letter ticks a box and takes the tick away again; Left and Right go from
    box to box, Space ticks.  ``own`` are further boxes that stand for themselves.
    """

    changed = Signal()

    def __init__(
        self, name: str, choices: Sequence[str], *, several: bool = False, own: Sequence[str] = ()
    ) -> None:
        super().__init__()
        self._several = several
        self._alone = len(choices)
        self.boxes: list[QCheckBox] = []
        self._letters: list[str] = []
        flow = FlowColumn(self)
        for choice in (*choices, *own):
            said = term(choice)
            free = (c for c in (*said.casefold(), *"123456789") if c not in self._letters)
            letter = next(c for c in free if c.isalnum())
            self._letters.append(letter)
            box = QCheckBox(_underlined(said, letter))
            box.setShortcut(QKeySequence())  # with Alt the letters belong to the page
            box.setAccessibleName(say("{name}: {choice}", name=name, choice=said))
            box.setAccessibleDescription(say("key {letter}", letter=letter))
            box.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
            box.installEventFilter(self)
            box.toggled.connect(self._toggled)
            self.boxes.append(box)
            flow.addWidget(box)
        self._choices = (*choices, *own)
        self._stop(0)
        self.setAccessibleName(name)
        policy = QSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)

    @property
    def chosen(self) -> tuple[str, ...]:
        """What is ticked among the choices."""
        pairs = zip(self._choices[: self._alone], self.boxes, strict=False)
        return tuple(choice for choice, box in pairs if box.isChecked())

    @property
    def ticked(self) -> tuple[str, ...]:
        """What is ticked among the further boxes."""
        pairs = zip(self._choices[self._alone :], self.boxes[self._alone :], strict=True)
        return tuple(choice for choice, box in pairs if box.isChecked())

    def show_chosen(self, chosen: Sequence[str]) -> None:
        """Tick just these."""
        for choice, box in zip(self._choices, self.boxes, strict=True):
            with QSignalBlocker(box):
                box.setChecked(choice in chosen)
        ticked = [number for number, box in enumerate(self.boxes) if box.isChecked()]
        self._stop(ticked[0] if ticked else 0)

    def focus(self) -> None:
        """Go there by keyboard."""
        box = next(b for b in self.boxes if b.focusPolicy() & Qt.FocusPolicy.TabFocus)
        box.setFocus(Qt.FocusReason.TabFocusReason)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        """Qt: letters tick, arrows go."""
        if event.type() is QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            return self._pressed(watched, event)
        return super().eventFilter(watched, event)

    def _pressed(self, box: QObject, event: QKeyEvent) -> bool:
        if event.modifiers() & ~(
            Qt.KeyboardModifier.ShiftModifier | Qt.KeyboardModifier.KeypadModifier
        ):
            return False
        here = self.boxes.index(box) if isinstance(box, QCheckBox) else 0
        step = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(Qt.Key(event.key()), 0)
        if step:
            self._go((here + step) % len(self.boxes))
            return True
        letter = event.text().casefold()
        if letter and letter in self._letters:
            at = self._letters.index(letter)
            self._go(at)
            self.boxes[at].toggle()
            return True
        return False

    def _go(self, at: int) -> None:
        self._stop(at)
        self.boxes[at].setFocus(Qt.FocusReason.OtherFocusReason)

    def _stop(self, at: int) -> None:
        for number, box in enumerate(self.boxes):
            here = number == at
            box.setFocusPolicy(Qt.FocusPolicy.StrongFocus if here else Qt.FocusPolicy.ClickFocus)

    def _toggled(self, on: bool) -> None:
        sender = self.sender()
        if on and not self._several and sender in self.boxes[: self._alone]:
            for box in self.boxes[: self._alone]:
                if box is not sender and box.isChecked():
                    with QSignalBlocker(box):
                        box.setChecked(False)
        self.changed.emit()


def _underlined(choice: str, letter: str) -> str:
    at = choice.casefold().find(letter)
    if at < 0:
        return f"{choice} (&{letter})"
    return f"{choice[:at]}&{choice[at:]}"
