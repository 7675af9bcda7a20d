"""The class across one story: this speaks of the story, moment by moment."""

from collections.abc import Callable

from attrs import evolve
from PySide6.QtCore import QSignalBlocker
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QHBoxLayout,
    QHeaderView,
    QLabel,
    QPlainTextEdit,
    QPushButton,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from tapscore.gui.records.pupils_page import WritePaper
from tapscore.gui.records.sitting import Sitting
from tapscore.records.said import MomentAcross, class_overview, stories
from tapscore.wording.catalogue import say
from tapscore.workflow.records.made import class_paper_of, span
from tapscore.workflow.records.papers import OVERVIEW_SAYS, answered_words

LENGTHEN = say("Lengthen this wait?")
LOOK_AGAIN = say("Change this moment?")


class ClassPage(QWidget):
    """Which moments were answered by whom, and which nobody answered."""

    def __init__(self, sitting: Sitting, write: WritePaper, go_to: Callable[[str], bool]) -> None:
        super().__init__()
        self._sitting, self._write, self._go_to = sitting, write, go_to
        self.story = QComboBox()
        self.table = QTableWidget(0, 2)
        self.keep = QPlainTextEdit()
        self.line = QPushButton(say("&Go to the line in the story"))
        self.make = QPushButton(say("Make a &paper of this ..."))
        self.said = QLabel(OVERVIEW_SAYS)
        self._rows: tuple[MomentAcross, ...] = ()
        self._build()
        self.story.currentIndexChanged.connect(self.refresh)
        self.keep.textChanged.connect(self.put_away)
        self.table.itemSelectionChanged.connect(self._chosen)
        self.table.itemActivated.connect(lambda _: self._go())
        self.line.clicked.connect(self._go)
        self.make.clicked.connect(self._make)

    def _build(self) -> None:
        top = QHBoxLayout()
        label = QLabel(say("&Story"))
        label.setBuddy(self.story)
        self.story.setAccessibleName(say("Story"))
        top.addWidget(label)
        top.addWidget(self.story, 1)
        self.table.setAccessibleName(say("Moments, and who answered"))
        self.table.setHorizontalHeaderLabels([say("Moment"), say("Answered at least once by")])
        self.table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.table.setTabKeyNavigation(False)
        self.table.setWordWrap(True)
        self.table.verticalHeader().setVisible(False)
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        label = QLabel(say("What the next story should &keep"))
        label.setBuddy(self.keep)
        self.keep.setAccessibleName(say("What the next story should keep"))
        self.keep.setTabChangesFocus(True)
        self.keep.ensurePolished()  # for the size of letters that is set
        self.keep.setFixedHeight(self.keep.fontMetrics().lineSpacing() * 4 + 18)
        self.said.setWordWrap(True)
        foot = QHBoxLayout()
        foot.addStretch(1)
        for button in (self.line, self.make):
            foot.addWidget(button)
        whole = QVBoxLayout(self)
        whole.addLayout(top)
        whole.addWidget(self.said)
        whole.addWidget(self.table, 1)
        whole.addWidget(label)
        whole.addWidget(self.keep)
        whole.addLayout(foot)

    def show_record(self) -> None:
        """List the stories."""
        record = self._sitting.record
        with QSignalBlocker(self.story):
            self.story.clear()
            self.story.addItems(list(stories(record)))
        with QSignalBlocker(self.keep):
            self.keep.setPlainText(record.next_story)
        self.keep.setReadOnly(bool(self._sitting.read_only))
        self.refresh()

    def begin(self) -> None:
        """Put the keyboard where choosing begins."""
        self.show_record()
        self.table.setFocus()

    def refresh(self) -> None:
        """Show the story that is chosen."""
        record, story = self._sitting.record, self.story.currentText()
        self._rows = class_overview(record, story, *span(record, story, None, None))
        self.table.setRowCount(len(self._rows))
        for row, each in enumerate(self._rows):
            words = answered_words(each)
            if each.nobody:
                ask = LENGTHEN if each.moment.startswith("wait") else LOOK_AGAIN
                words = f"{words}. {ask}"
            self.table.setItem(row, 0, QTableWidgetItem(each.moment))
            self.table.setItem(row, 1, QTableWidgetItem(words))
        self.table.resizeRowsToContents()
        self.make.setEnabled(bool(self._rows))
        self.line.setEnabled(False)

    def put_away(self) -> None:
        """Put what is typed into the record."""
        if self._sitting.is_open:
            text = self.keep.toPlainText().strip()
            if text != self._sitting.record.next_story:
                self._sitting.change(lambda record: evolve(record, next_story=text))

    def _chosen(self) -> None:
        self.line.setEnabled(self.table.currentRow() >= 0)

    def _go(self) -> None:
        row = self.table.currentRow()
        if 0 <= row < len(self._rows) and not self._go_to(self._rows[row].moment):
            self.said.setText(
                say("The story that is open has no such moment. Open the story it was told from.")
            )

    def _make(self) -> None:
        self.put_away()
        self._write(class_paper_of(self._sitting.record, self.story.currentText()), "class")
