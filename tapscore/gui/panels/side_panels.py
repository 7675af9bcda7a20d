"""The panels beside the story: one is seen, and a word for each is always in sight."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QButtonGroup, QStackedWidget, QToolButton, QVBoxLayout, QWidget

from tapscore.gui.flow import FlowBar


class SidePanels(QWidget):
    """Words that go on in a second row where the room ends, and the panel chosen below."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bar = FlowBar("Panels", gap_px=4, margins=(8, 6, 8, 6))
        self._group = QButtonGroup(self)
        self._stack = QStackedWidget()
        self.panels: tuple[QWidget, ...] = ()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._bar)
        column.addWidget(self._stack, 1)
        self._group.idClicked.connect(self.show_number)

    def add(self, panel: QWidget, title: str) -> None:
        """One more panel."""
        button = QToolButton()
        button.setText(title)
        button.setCheckable(True)
        self._group.addButton(button, self._stack.addWidget(panel))
        self._bar.add(button)
        self.panels = (*self.panels, panel)
        button.setChecked(self._stack.count() == 1)

    def remove(self, panel: QWidget) -> None:
        """One panel less; it goes elsewhere."""
        button = self._group.button(self._stack.indexOf(panel))
        if panel is self.current:
            self.show_number(0)
        self._group.removeButton(button)
        self._stack.removeWidget(panel)
        self.panels = tuple(each for each in self.panels if each is not panel)
        button.deleteLater()
        button.hide()

    def set_title(self, panel: QWidget, title: str) -> None:
        """Another word for a panel."""
        self._group.button(self._stack.indexOf(panel)).setText(title)

    @property
    def current(self) -> QWidget:
        """The panel that is seen."""
        return self.panels[self._stack.currentIndex()]

    def title(self, panel: QWidget) -> str:
        """The word for a panel."""
        return self._group.button(self._stack.indexOf(panel)).text()

    def show_panel(self, panel: QWidget) -> None:
        """Let a panel be seen."""
        self.show_number(self._stack.indexOf(panel))

    def show_number(self, number: int) -> None:
        """Let the panel of that number be seen."""
        self._group.button(number).setChecked(True)
        if number != self._stack.currentIndex():
            self._stack.setCurrentIndex(number)
            self.changed.emit()
