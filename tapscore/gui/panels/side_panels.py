"""The panels beside the story: one is seen, and a word for each is always in reach."""

from collections.abc import Callable
from typing import TypeVar

from attrs import frozen
from PySide6.QtCore import QSignalBlocker, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QComboBox,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from tapscore.gui.calm_wheel import calm_the_wheel, looking_away
from tapscore.gui.flow import FlowBar
from tapscore.wording.catalogue import say

MOST_FOR_WORDS = 0.35
"""Where the words would take more of the height than this, one field has them all."""
P = TypeVar("P", bound=QWidget)


@frozen(eq=False)
class _Later:
    """A panel that nobody has looked at yet, and what keeps its place."""

    kind: type[QWidget]
    make: Callable[[], QWidget]
    place: QWidget


class SidePanels(QWidget):
    """Words that go on in a second row where the room ends, and the panel chosen below."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bar = FlowBar(say("Panels"), gap_px=4, margins=(8, 6, 8, 6))
        self.choice = QComboBox()
        self.choice.setAccessibleName(say("Panel"))
        self.choice.setToolTip(say("Which panel is seen"))
        self.choice.hide()
        self._group = QButtonGroup(self)
        self._stack = QStackedWidget()
        # A panel that would like more room gets less, and never lies over the words.
        self._stack.setMinimumHeight(1)
        self._panels: tuple[QWidget, ...] = ()
        self._later: list[_Later] = []
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._bar)
        column.addWidget(self.choice)
        column.addWidget(self._stack, 1)
        self._group.idClicked.connect(self.show_number)
        self.choice.activated.connect(self.show_number)

    def add(self, panel: QWidget, title: str) -> None:
        """One more panel."""
        button = QToolButton()
        button.setText(title)
        button.setCheckable(True)
        self._group.addButton(button, self._stack.addWidget(panel))
        self._bar.add(button)
        self.choice.addItem(title)
        self._panels = (*self._panels, panel)
        button.setChecked(self._stack.count() == 1)
        self._fit()

    def add_later(self, kind: type[P], make: Callable[[], P], title: str) -> None:
        """One more panel, which is made when somebody first looks at it or asks for it.

        Hundreds of fields that few windows ever show would take half of a window's opening.
        """
        place = QWidget()
        self._later.append(_Later(kind, make, place))
        self.add(place, title)

    @property
    def panels(self) -> tuple[QWidget, ...]:
        """All panels; those that are not made yet are."""
        for later in tuple(self._later):
            self._put(later)
        return self._panels

    def has(self, panel: QWidget) -> bool:
        """Whether a panel is among them."""
        return panel in self._panels

    def panel(self, kind: type[P]) -> P:
        """The panel of a kind, made if it is not yet."""
        for later in self._later:
            if later.kind is kind:
                self._put(later)
                break
        return next(each for each in self._panels if isinstance(each, kind))

    def _put(self, later: _Later) -> None:
        """Let a panel be where its place was kept, in the order of keys, too."""
        self._later.remove(later)
        number = self._stack.indexOf(later.place)
        seen = number == self._stack.currentIndex()
        with looking_away():
            panel = later.make()
            fields = _fields_of(panel)
            self._stack.insertWidget(number, panel)
            _come_after(later.place, fields)
            if seen:
                self._stack.setCurrentIndex(number)
            self._stack.removeWidget(later.place)
        calm_the_wheel(panel)
        self._panels = tuple(panel if each is later.place else each for each in self._panels)
        later.place.deleteLater()

    def remove(self, panel: QWidget) -> None:
        """One panel less (the last); it goes elsewhere."""
        number = self._stack.indexOf(panel)
        button = self._group.button(number)
        if panel is self.current:
            self.show_number(0)
        self._group.removeButton(button)
        self.choice.removeItem(number)
        self._stack.removeWidget(panel)
        self._panels = tuple(each for each in self._panels if each is not panel)
        button.deleteLater()
        button.hide()
        self._fit()

    def set_title(self, panel: QWidget, title: str) -> None:
        """Another word for a panel."""
        number = self._stack.indexOf(panel)
        self._group.button(number).setText(title)
        self.choice.setItemText(number, title)

    @property
    def current(self) -> QWidget:
        """The panel that is seen."""
        return self._panels[self._stack.currentIndex()]

    def title(self, panel: QWidget) -> str:
        """The word for a panel."""
        return self._group.button(self._stack.indexOf(panel)).text()

    def show_panel(self, panel: QWidget) -> None:
        """Let a panel be seen."""
        self.show_number(self._stack.indexOf(panel))

    def show_number(self, number: int) -> None:
        """Let the panel of that number be seen."""
        for later in self._later:
            if later.place is self._stack.widget(number):
                self._put(later)
                break
        self._group.button(number).setChecked(True)
        with QSignalBlocker(self.choice):
            self.choice.setCurrentIndex(number)
        if number != self._stack.currentIndex():
            self._stack.setCurrentIndex(number)
            self.changed.emit()

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Qt: there may be room for the words, or no more."""
        super().resizeEvent(event)
        self._fit()

    def _fit(self) -> None:
        crowded = self._bar.height_at(self.width()) > MOST_FOR_WORDS * self.height()
        if crowded is not self._bar.isHidden():
            focused = self._bar.isAncestorOf(self.focusWidget()) or self.choice.hasFocus()
            self._bar.setHidden(crowded)
            self.choice.setVisible(crowded)
            if focused:
                number = self._stack.currentIndex()
                (self.choice if crowded else self._group.button(number)).setFocus()


def _fields_of(panel: QWidget) -> list[QWidget]:
    """What keys reach in a panel that is nowhere yet, in order."""
    found = [panel]
    while (each := found[-1].nextInFocusChain()) is not None and each is not panel:
        found.append(each)
    return [each for each in found if each.focusPolicy() != Qt.FocusPolicy.NoFocus]


def _come_after(place: QWidget, fields: list[QWidget]) -> None:
    """Let keys reach fields where they would reach a place; Qt put them behind everything."""
    before: QWidget | None = place
    while before is not None and before.focusPolicy() == Qt.FocusPolicy.NoFocus:
        before = before.previousInFocusChain()
    for each in fields:
        if before is not None:
            QWidget.setTabOrder(before, each)
        before = each
