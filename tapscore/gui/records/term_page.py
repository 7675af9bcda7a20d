"""One pupil's term: the grid, every note to choose for a review, and what adults add."""

from collections.abc import Callable
from datetime import date

from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtWidgets import (
    QAbstractItemView,
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPlainTextEdit,
    QPushButton,
    QSplitter,
    QTableWidget,
    QTableWidgetItem,
    QVBoxLayout,
    QWidget,
)

from tapscore.exports.written.document import NOTHING
from tapscore.gui.records.pupils_page import WritePaper
from tapscore.gui.records.sitting import Sitting
from tapscore.gui.scrolled import scrolled
from tapscore.gui.wrapped_items import wrap_items
from tapscore.records.edits import term_of, with_pupil, with_term
from tapscore.records.model import Pupil, Term
from tapscore.records.note_cells import NotUnderstoodError, day
from tapscore.records.said import NoteKey, TermSheet, stories, term_sheet
from tapscore.wording.catalogue import say
from tapscore.wording.dates import brief_date, day_and_month
from tapscore.workflow.records.made import review_of, term_around
from tapscore.workflow.records.papers import said_line, term_paper

BY_HAND = (  # in the order of ``Term``
    ("outcome", say("Intended outcome")),
    ("next_step", say("Next steps")),
    ("parent_line", say("In the parent’s or carer’s words")),
    ("kept", say("Kept where, until when")),
)


LINES = 2


class TermPage(QWidget):
    """Nothing here is added up."""

    def __init__(self, sitting: Sitting, today: Callable[[], date], write: WritePaper) -> None:
        super().__init__()
        self._sitting, self._today, self._write = sitting, today, write
        self.pupil, self.story = QComboBox(), QComboBox()
        self.begins, self.ends = QLineEdit(), QLineEdit()
        self.grid = QTableWidget()
        self.notes = QListWidget()
        self.fields = {key: QPlainTextEdit() for key, _ in BY_HAND}
        self.said = QLabel()
        self.make = QPushButton(say("Make the &term sheet ..."))
        self.review = QPushButton(say("Make a paper of the notes &chosen ..."))
        self._sheet: TermSheet | None = None
        self._build()
        for box in (self.pupil, self.story):
            box.currentIndexChanged.connect(self.refresh)
        for line in (self.begins, self.ends):
            line.editingFinished.connect(self.refresh)
        for field in self.fields.values():
            field.textChanged.connect(self.put_away)
        self.make.clicked.connect(self._make)
        self.review.clicked.connect(self._review)

    def _build(self) -> None:
        top = QHBoxLayout()
        for text, widget in (
            (say("P&upil"), self.pupil),
            (say("&Story"), self.story),
            (say("Fr&om"), self.begins),
            (say("&To"), self.ends),
        ):
            said = QLabel(text)
            said.setBuddy(widget)
            widget.setAccessibleName(text.replace("&", ""))
            top.addWidget(said)
            top.addWidget(widget, 2 if widget is self.story else 1)
        self.story.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.grid.setAccessibleName(say("Tellings across, moments down"))
        self.grid.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.grid.setTabKeyNavigation(False)
        self.notes.setAccessibleName(say("Notes by moment, ticked for a review"))
        wrap_items(self.notes)
        notes = QVBoxLayout()
        notes.setContentsMargins(0, 0, 0, 0)
        label = QLabel(say("&Notes by moment, ticked for a review"))
        label.setBuddy(self.notes)
        notes.addWidget(label)
        notes.addWidget(self.notes, 1)
        below = QWidget()
        below.setLayout(notes)
        form = QFormLayout()
        form.setContentsMargins(8, 4, 12, 0)
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapAllRows)
        for key, name in BY_HAND:
            field = self.fields[key]
            field.setAccessibleName(name)
            field.setTabChangesFocus(True)
            field.ensurePolished()  # for the size of letters that is set
            field.setFixedHeight(field.fontMetrics().lineSpacing() * LINES + 18)
            form.addRow(name, field)
        across = QSplitter(Qt.Orientation.Horizontal)
        across.addWidget(below)
        across.addWidget(scrolled(form, say("What adults add")))
        across.setSizes([700, 400])
        down = QSplitter(Qt.Orientation.Vertical)
        down.addWidget(self.grid)
        down.addWidget(across)
        foot = QHBoxLayout()
        self.said.setWordWrap(True)
        foot.addWidget(self.said, 1)
        for button in (self.make, self.review):
            foot.addWidget(button)
        whole = QVBoxLayout(self)
        whole.addLayout(top)
        whole.addWidget(down, 1)
        whole.addLayout(foot)

    def show_record(self) -> None:
        """List pupils and stories."""
        record = self._sitting.record
        begins, ends = term_around(max(self._today(), record.newest or self._today()))
        self.begins.setText(f"{begins:%d/%m/%Y}")
        self.ends.setText(f"{ends:%d/%m/%Y}")
        for field in self.fields.values():
            field.setReadOnly(bool(self._sitting.read_only))
        self.refresh_lists()

    def refresh_lists(self) -> None:
        """The pupils or stories are others now."""
        record = self._sitting.record
        for box, texts in (
            (self.pupil, [pupil.mark for pupil in record.pupils]),
            (self.story, list(stories(record))),
        ):
            before = box.currentText()
            with QSignalBlocker(box):
                box.clear()
                box.addItems(texts)
                box.setCurrentIndex(max(box.findText(before), 0) if texts else -1)
        self.refresh()

    def begin(self) -> None:
        """Put the keyboard where choosing begins."""
        self.refresh_lists()
        self.pupil.setFocus()

    @property
    def span(self) -> tuple[date, date] | None:
        """The dates typed; None, said, where they can't be read."""
        try:
            begins, ends = (day(line.text().strip()) for line in (self.begins, self.ends))
        except NotUnderstoodError:
            self.said.setText(say("Write both dates as 10/03/2027."))
            return None
        if ends < begins:
            self.said.setText(say("The last day is before the first one."))
            return None
        return begins, ends

    def refresh(self) -> None:
        """Show what is chosen."""
        if not self._sitting.is_open:
            return
        self._sheet = None
        self.said.setText("")
        span, pupil = self.span, self._chosen_pupil()
        if span is not None and pupil is not None:
            record = self._sitting.record
            self._sheet = term_sheet(record, pupil, self.story.currentText(), *span)
        self._show(self._sheet)
        self._show_by_hand(pupil, span)

    def put_away(self) -> None:
        """Put what adults wrote into the record."""
        if not self._sitting.is_open or self._sitting.read_only:
            return
        span, pupil = self.span, self._chosen_pupil()
        if span is None or pupil is None:
            return
        written = (self.fields[key].toPlainText().strip() for key, _ in BY_HAND)
        story = self.story.currentText()
        held = term_of(pupil, *span, story)
        term = Term(held.begins, held.ends, story, *written)
        if term != held:
            self._sitting.change(lambda record: with_pupil(record, with_term(pupil, term)))

    def _show(self, sheet: TermSheet | None) -> None:
        self.grid.clear()
        self.notes.clear()
        tellings = sheet.tellings if sheet else ()
        rows = sheet.grid if sheet else ()
        self.grid.setColumnCount(len(tellings))
        self.grid.setRowCount(len(rows))
        self.grid.setHorizontalHeaderLabels([brief_date(told.date) for told in tellings])
        self.grid.setVerticalHeaderLabels([moment for moment, _ in rows])
        for row, (moment, cells) in enumerate(rows):
            for column, cell in enumerate(cells):
                item = QTableWidgetItem(cell or NOTHING)
                when = day_and_month(tellings[column].date)
                said = f"{moment}, {when}: {cell or say('nothing written')}"
                item.setData(Qt.ItemDataRole.AccessibleTextRole, said)
                self.grid.setItem(row, column, item)
        self.grid.resizeColumnsToContents()
        for moment, found in sheet.by_moment if sheet else ():
            for said_note in found:
                when, line = said_line(said_note, moment=False)
                entry = QListWidgetItem(f"{moment}, {when}: {line}")
                entry.setFlags(entry.flags() | Qt.ItemFlag.ItemIsUserCheckable)
                entry.setCheckState(Qt.CheckState.Checked)
                entry.setData(Qt.ItemDataRole.UserRole, said_note.key)
                self.notes.addItem(entry)
        if sheet is None or not sheet.by_moment:
            self.said.setText(self.said.text() or say("No notes between these dates yet."))
        self.make.setEnabled(sheet is not None)
        self.review.setEnabled(self.notes.count() > 0)

    def _show_by_hand(self, pupil: Pupil | None, span: tuple[date, date] | None) -> None:
        term = term_of(pupil, *span, self.story.currentText()) if pupil and span else None
        for key, field in self.fields.items():
            with QSignalBlocker(field):
                field.setPlainText(str(getattr(term, key)) if term else "")
            field.setEnabled(term is not None)

    def _chosen_pupil(self) -> Pupil | None:
        return self._sitting.record.marked(self.pupil.currentText())

    def _chosen_notes(self) -> frozenset[NoteKey]:
        items = (self.notes.item(row) for row in range(self.notes.count()))
        return frozenset(
            tuple(item.data(Qt.ItemDataRole.UserRole))
            for item in items
            if item.checkState() is Qt.CheckState.Checked
        )

    def _make(self) -> None:
        self.put_away()
        span, pupil = self.span, self._chosen_pupil()
        if self._sheet is not None and span is not None and pupil is not None:
            term = term_of(pupil, *span, self.story.currentText())
            self._write(term_paper(self._sheet, term), "term-sheet")

    def _review(self) -> None:
        self.put_away()
        span, pupil = self.span, self._chosen_pupil()
        if span is not None and pupil is not None:
            story = self.story.currentText()
            paper = review_of(self._sitting.record, pupil, story, *span, only=self._chosen_notes())
            self._write(paper, "for-the-review")
