"""A list of named things with a form for the chosen one: the shape of Props and Roles."""

from collections.abc import Callable

from PySide6.QtCore import QSignalBlocker
from PySide6.QtWidgets import (
    QFormLayout,
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)


class NamedListPanel(QScrollArea):
    """Names above, fields of the chosen one below, and a way to add and take away."""

    def __init__(self, what: str, example: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._what = what
        self.names = QListWidget()
        self.names.setAccessibleName(f"{what}s")
        self.new_name = QLineEdit()
        self.new_name.setPlaceholderText(f"New {what}, for example {example}")
        self.new_name.setAccessibleName(f"Name of a new {what}")
        self.add = QPushButton("Add")
        self.add.setAccessibleName(f"Add {what}")
        self.remove = QPushButton("Take away")
        self.remove.setAccessibleName(f"Take {what} away")
        self.form = QFormLayout()
        content = QWidget()
        column = QVBoxLayout(content)
        self.setWidget(content)
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setAccessibleName(f"{what.capitalize()}s of the story")
        self.names.setMinimumHeight(96)
        column.addWidget(self.names, 1)
        row = QHBoxLayout()
        row.addWidget(self.new_name, 1)
        row.addWidget(self.add)
        row.addWidget(self.remove)
        column.addLayout(row)
        column.addLayout(self.form)
        self.names.currentRowChanged.connect(lambda _: self.show_current())

    def connect_changes(self, added: Callable[[str], None], removed: Callable[[str], None]) -> None:
        """Call ``added`` with a new name, ``removed`` with the chosen one."""

        def add() -> None:
            name = " ".join(self.new_name.text().split())
            if name:
                self.new_name.clear()
                added(name)
                self.choose(name)

        def remove() -> None:
            if self.current:
                removed(self.current)

        self.add.clicked.connect(add)
        self.new_name.returnPressed.connect(add)
        self.remove.clicked.connect(remove)

    @property
    def current(self) -> str:
        """The chosen name, empty if there is none."""
        item = self.names.currentItem()
        return item.text() if item else ""

    def choose(self, name: str) -> None:
        """Choose a name."""
        for number in range(self.names.count()):
            if self.names.item(number).text() == name:
                self.names.setCurrentRow(number)

    def show_names(self, names: tuple[str, ...]) -> None:
        """Show these names, the same one chosen as before."""
        chosen = self.current
        if [self.names.item(i).text() for i in range(self.names.count())] != list(names):
            with QSignalBlocker(self.names):
                self.names.clear()
                self.names.addItems(list(names))
                self.names.setCurrentRow(max(names.index(chosen) if chosen in names else 0, 0))
        self.remove.setEnabled(bool(names))
        self.show_current()

    def show_current(self) -> None:
        """Fill the form; for the panels that are made of this one."""
        raise NotImplementedError
