"""A story's copy for next year: what goes, what to look at, and then the copy in a window."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QCheckBox, QDialog, QLabel, QPushButton, QVBoxLayout, QWidget

from tapscore.gui.scrolled import open_roomy, scrolled
from tapscore.workflow.next_year import NextYear, copy_text

NEXT_YEAR = "Copy for next year"
FRESH = "Nothing is changed in the old story. The copy opens in a window of its own; save it there."
LOOK = "These may hold initials or a date. What is ticked stays; the rest is left out:"


class NextYearDialog(QDialog):
    """Shows what goes and asks about each text that may hold initials or a date."""

    made = Signal(str)
    """The text of the copy."""

    def __init__(
        self,
        parent: QWidget,
        title: str,
        copy: NextYear,
        *,
        name: str = NEXT_YEAR,
        after: str = FRESH,
    ) -> None:
        """``name`` and ``after`` say what is made, and what comes then."""
        super().__init__(parent)
        self.setWindowTitle(name)
        self._copy = copy
        self.boxes: list[QCheckBox] = []
        column = QVBoxLayout()
        column.setSpacing(8)
        column.addWidget(_words(f"“{title}”: words, rhythm, board and props stay. {after}"))
        if copy.gone:
            column.addWidget(_words("Not in the copy:"))
            for where, what in copy.gone:
                column.addWidget(_words(f"{where}: {what}"))
        if copy.traces:
            column.addWidget(_words(LOOK))
        for trace in copy.traces:
            box = QCheckBox(f"keep: {trace.where}")
            box.setChecked(not trace.can_go)
            box.setEnabled(trace.can_go)
            told = f"“{trace.text}”: {', '.join(trace.found)}"
            more = "" if trace.can_go else ". Write it otherwise in the copy."
            box.setAccessibleName(f"keep {trace.where}, {told}")
            self.boxes.append(box)
            column.addWidget(box)
            column.addWidget(_words(f"{told}{more}"))
        column.addStretch(1)
        self.make = QPushButton("&Make the copy")
        self.make.clicked.connect(self._make)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(8, 8, 8, 8)
        whole.addWidget(scrolled(column, "What stays and what goes"), 1)
        whole.addWidget(self.make)
        open_roomy(self, 640, 560)

    def _make(self) -> None:
        pairs = zip(self._copy.traces, self.boxes, strict=True)
        text = copy_text(self._copy, [trace for trace, box in pairs if not box.isChecked()])
        self.accept()
        self.made.emit(text)


def _words(text: str) -> QLabel:
    label = QLabel(text)
    label.setWordWrap(True)
    return label
