"""A story's copy for next year: what goes, what to look at, and then the copy in a window."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QCheckBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from tapscore.gui.enter import CalmDialog
from tapscore.gui.scrolled import open_roomy, scrolled
from tapscore.wording.catalogue import say
from tapscore.wording.grammar import quoted
from tapscore.workflow.next_year import NextYear, copy_text

HEADS = {
    say("Own note"): say("own notes in the file"),
    say("Accepted"): say("what was accepted as it is"),
    say("Term"): say("the term"),
    say("Class"): say("the class"),
    say("To change next year"): say("what was to change next year"),
}
NEXT_YEAR = say("Copy for next year")
FRESH = say(
    "Nothing is changed in the old story. The copy opens in a window of its own; save it there."
)
MAKE = say("&Make the copy")
RECORDINGS = say("take the recordings along")
VOICES = say("They are adults' own voices: ask those who speak.")
LOOK = say("These may hold initials or a date. What is ticked stays; the rest is left out:")


class NextYearDialog(CalmDialog):
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
        make: str = MAKE,
        recordings: bool = False,
    ) -> None:
        """``name``, ``after`` and ``make`` say what is made, what comes then, and by what.

        With ``recordings`` it asks whether they are taken along.
        """
        super().__init__(parent)
        self.setWindowTitle(name)
        self._copy = copy
        self.boxes: list[QCheckBox] = []
        column = QVBoxLayout()
        column.setSpacing(8)
        column.addWidget(
            _words(
                say(
                    "“{title}”: words, rhythm, board and props stay. {after}",
                    title=title,
                    after=after,
                )
            )
        )
        if copy.traces:
            column.addWidget(_words(LOOK))
        for trace in copy.traces:
            box = QCheckBox(say("keep: {where}", where=trace.where))
            box.setChecked(not trace.can_go)
            box.setEnabled(trace.can_go)
            told = f"{quoted(trace.text)}: {', '.join(trace.found)}"
            more = "" if trace.can_go else say(". Write it otherwise in the copy.")
            box.setAccessibleName(say("keep {where}, {told}", where=trace.where, told=told))
            self.boxes.append(box)
            column.addWidget(box)
            column.addWidget(_words(f"{told}{more}", indent=True))
        self.recordings = QCheckBox(RECORDINGS)
        self.recordings.setVisible(recordings)
        if recordings:
            column.addSpacing(6)
            column.addWidget(self.recordings)
            column.addWidget(_words(VOICES, indent=True))
        for where, whats in _by_place(copy):
            column.addSpacing(6)
            column.addWidget(_words(say("Left out: {where}", where=where)))
            for what in whats:
                column.addWidget(_words(f"\N{BULLET} {what}", indent=True))
        column.addStretch(1)
        self.make = QPushButton(make)
        self.make.clicked.connect(self._make)
        self.make.setDefault(True)
        cancel = QPushButton(say("Cancel"))
        cancel.clicked.connect(self.reject)
        row = QHBoxLayout()
        row.addStretch(1)
        row.addWidget(self.make)
        row.addWidget(cancel)
        whole = QVBoxLayout(self)
        whole.addWidget(scrolled(column, say("What stays and what goes")), 1)
        whole.addLayout(row)
        open_roomy(self, 640, 560)

    def _make(self) -> None:
        pairs = zip(self._copy.traces, self.boxes, strict=True)
        text = copy_text(self._copy, [trace for trace, box in pairs if not box.isChecked()])
        self.accept()
        self.made.emit(text)


def _by_place(copy: NextYear) -> tuple[tuple[str, list[str]], ...]:
    """What goes, under one word for each kind."""
    found: dict[str, list[str]] = {}
    for where, what in copy.gone:
        found.setdefault(where, []).append(what.removeprefix("- "))
    return tuple((HEADS.get(where, where), whats) for where, whats in found.items())


def _words(text: str, *, indent: bool = False) -> QLabel:
    label = QLabel(text)
    label.setTextFormat(Qt.TextFormat.PlainText)
    label.setWordWrap(True)
    if indent:
        label.setContentsMargins(22, 0, 0, 0)
    return label
