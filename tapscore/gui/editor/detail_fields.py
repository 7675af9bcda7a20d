"""Small fields that the details of rows are made of."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QHBoxLayout, QWidget


class ChecksRow(QWidget):
    """Names with a box each, side by side."""

    changed = Signal()

    def __init__(self, what: str) -> None:
        super().__init__()
        self._what = what
        self._boxes: list[QCheckBox] = []
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(0, 0, 0, 0)

    @property
    def chosen(self) -> tuple[str, ...]:
        """The names whose boxes are checked."""
        return tuple(box.text() for box in self._boxes if box.isChecked())

    def show_names(self, names: tuple[str, ...], chosen: tuple[str, ...]) -> None:
        """Show a box for each name."""
        if tuple(box.text() for box in self._boxes) != names:
            while (item := self._row.takeAt(0)) is not None:
                widget = item.widget()
                if widget is not None:
                    widget.deleteLater()
            self._boxes = [QCheckBox(name) for name in names]
            for box in self._boxes:
                box.setAccessibleName(f"{box.text()} {self._what}")
                box.clicked.connect(self.changed)
                self._row.addWidget(box)
            self._row.addStretch(1)
        for box in self._boxes:
            box.setChecked(box.text() in chosen)


def words_of(text: str) -> str | None:
    """What was typed, without spare spaces; None for nothing."""
    return " ".join(text.split()) or None


def fill(combo: QComboBox, words: tuple[str, ...], current: str, other: str) -> None:
    """Show a choice: ``other`` first, then the words."""
    wanted = [other, *(word for word in words if word != other)]
    if [combo.itemText(i) for i in range(combo.count())] != wanted:
        combo.clear()
        combo.addItems(wanted)
    combo.setCurrentText(current)
