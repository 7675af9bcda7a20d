"""How long the record is kept, notes brought in, everything written out, pupils handed over."""

from collections.abc import Callable
from datetime import date
from pathlib import Path

from attrs import evolve
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import (
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from tapscore.disc.reading import read_bounded
from tapscore.disc.reasons import reason
from tapscore.disc.whole import write_whole_bytes
from tapscore.gui.asking import Asking, kinds
from tapscore.gui.records.door import RECORDS
from tapscore.gui.records.passphrase_fields import NewPassphrase, hidden_line
from tapscore.gui.records.pupils_page import WritePaper
from tapscore.gui.records.sitting import Sitting
from tapscore.gui.scrolled import scrolled
from tapscore.model.story import Story
from tapscore.records.edits import keeping_reminder
from tapscore.records.handover import joined, speaks_of_others
from tapscore.records.model import Note, Pupil
from tapscore.records.note_cells import NotUnderstoodError, day
from tapscore.records.notes_table import Brought, blank_table, bring_in
from tapscore.records.record_file import SUFFIX, open_record
from tapscore.records.sealed import SealError
from tapscore.rhythm.moments import moments
from tapscore.rhythm.perform import perform
from tapscore.wording.catalogue import say
from tapscore.wording.grammar import quoted
from tapscore.wording.terms import term
from tapscore.workflow.records.made import hand_over
from tapscore.workflow.records.paper_files import READABLE, write_everything

KEEP_THEM, LEAVE_THEM = say("Keep these notes"), say("Leave them")
GO_ON, STOP = say("Hand over"), say("Not now")
TABLES = kinds(say("Tables"), "*.csv", "*.txt")
MOST_SHOWN = 40
"""Rows that are shown of what was understood; the rest is said in a sentence."""
MOST_LETTERS = 60
"""So many are shown of a note's words."""


class KeepingPage(QWidget):
    """Everything that is done a few times a year."""

    replaced = Signal()
    """The record has other pupils or notes now."""

    def __init__(
        self,
        sitting: Sitting,
        asking: Asking,
        story: Callable[[], Story],
        today: Callable[[], date],
        write: WritePaper,
    ) -> None:
        super().__init__()
        self._sitting, self._asking = sitting, asking
        self._story, self._today, self._write = story, today, write
        self.label, self.until = QLineEdit(), QLineEdit()
        self.bring = QPushButton(say("&Bring in notes from a table (CSV) ..."))
        self.table = QPushButton(say("An &empty table for a digital slip ..."))
        self.everything = QPushButton(say("&Write everything out, readable ..."))
        self.copy = QPushButton(say("Save a &copy ..."))
        self.chosen = QListWidget()
        self.to = QLineEdit()
        self.new = NewPassphrase()
        self.over = QPushButton(say("&Hand over the pupils ticked ..."))
        self.their_passphrase = hidden_line(say("Its passphrase: of the record to take in"))
        self.take = QPushButton(say("&Take in a record ..."))
        self.change = NewPassphrase()
        self.changing = QPushButton(say("Change the &passphrase"))
        self.said = QLabel()
        self._build()
        for line in (self.label, self.until):
            line.editingFinished.connect(self.put_away)
        self.bring.clicked.connect(self._bring)
        self.table.clicked.connect(self._empty_table)
        self.everything.clicked.connect(self._everything)
        self.copy.clicked.connect(self._copy)
        self.over.clicked.connect(self._hand_over)
        self.take.clicked.connect(self._take_in)
        self.changing.clicked.connect(self._change)

    def _build(self) -> None:
        left, right = QVBoxLayout(), QVBoxLayout()
        for side in (left, right):
            side.setContentsMargins(0, 0, 12, 0)
        form = QFormLayout()
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        for text, line in ((say("Class and year"), self.label), (say("Keep until"), self.until)):
            line.setAccessibleName(text)
            form.addRow(text, line)
        left.addWidget(QLabel(f"<b>{say('This record')}</b>"))
        left.addLayout(form)
        for button in (self.bring, self.table, self.everything, self.copy):
            left.addWidget(button)
        left.addWidget(QLabel(f"<b>{say('Another passphrase')}</b>"))
        left.addWidget(self.change)
        left.addWidget(self.changing)
        left.addStretch(1)
        right.addWidget(QLabel(f"<b>{say('To the next class or school')}</b>"))
        self.chosen.setAccessibleName(say("Pupils to hand over"))
        self.chosen.setMinimumHeight(90)
        right.addWidget(self.chosen, 1)
        further = QFormLayout()
        further.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        self.to.setAccessibleName(say("For"))
        further.addRow(say("For"), self.to)
        right.addLayout(further)
        right.addWidget(self.new)
        right.addWidget(self.over)
        right.addWidget(QLabel(f"<b>{say('From another class or school')}</b>"))
        theirs = QFormLayout()
        theirs.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        theirs.addRow(say("Its passphrase"), self.their_passphrase)
        right.addLayout(theirs)
        right.addWidget(self.take)
        across = QHBoxLayout()
        across.addWidget(scrolled(left, say("This record")), 1)
        across.addWidget(scrolled(right, say("Handing over")), 1)
        self.said.setWordWrap(True)
        self.said.setAccessibleDescription(say("What was done"))
        whole = QVBoxLayout(self)
        whole.addLayout(across, 1)
        whole.addWidget(self.said)

    def show_record(self) -> None:
        """Fill in what is kept of the record itself."""
        record = self._sitting.record
        self.label.setText(record.label)
        self.until.setText(f"{record.keep_until:%d/%m/%Y}" if record.keep_until else "")
        self.chosen.clear()
        for pupil in record.pupils:
            item = QListWidgetItem(pupil.mark)
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Unchecked)
            self.chosen.addItem(item)
        for field in (self.new, self.change):
            field.clear()
        allowed = not self._sitting.read_only
        for widget in (self.label, self.until, self.bring, self.take, self.changing):
            widget.setEnabled(allowed)

    def begin(self) -> None:
        """Put the keyboard where typing begins."""
        self.show_record()
        self.said.setText(keeping_reminder(self._sitting.record, self._today()))
        self.label.setFocus()

    def put_away(self) -> None:
        """Put what is typed into the record."""
        if not self._sitting.is_open or self._sitting.read_only:
            return
        typed = self.until.text().strip()
        try:
            until = day(typed) if typed else None
        except NotUnderstoodError:
            self.said.setText(say("Write the date until when to keep it as 31/08/2027."))
            return
        record = self._sitting.record
        label = self.label.text().strip() or record.label
        if (label, until) != (record.label, record.keep_until):
            self._sitting.change(lambda held: evolve(held, label=label, keep_until=until))

    def _bring(self) -> None:
        path = self._asking.open_file(self, say("Notes as a table"), TABLES)
        if path is None or not self._sitting.is_open:
            return
        try:
            data = read_bounded(path)
        except OSError as error:
            self.said.setText(f"{path.name}: {reason(error)}.")
            return
        story = self._story()
        names = [moment.name for moment in moments(perform(story))]
        brought = bring_in(self._sitting.record, data, story.title, names)
        if not brought.understood:
            self.said.setText("\n".join(_troubles(brought)) or say("Nothing in it is new."))
            return
        answer = self._asking.choose(
            self,
            say("This was understood."),
            "\n".join(_understood(brought)),
            (KEEP_THEM, LEAVE_THEM),
        )
        if answer == KEEP_THEM and self._sitting.is_open:  # it may have locked meanwhile
            self._sitting.change(lambda _: brought.record)
            self.replaced.emit()
            self.said.setText("\n".join((say("The notes are kept."), *_troubles(brought))))

    def _empty_table(self) -> None:
        path = self._asking.save_file(
            self, say("Where to make the table"), Path.home() / "slip.csv", TABLES
        )
        if path is None or not self._sitting.is_open:  # it may have locked meanwhile
            return
        story = self._story()
        names = [moment.name for moment in moments(perform(story))]
        try:
            write_whole_bytes(path, blank_table(names, story.title).encode("utf-8-sig"))
        except OSError as error:
            self.said.setText(
                say("{path} was not made: {reason}.", path=path.name, reason=reason(error))
            )
        else:
            self.said.setText(
                say("Made {path}, with the slip’s headings and the moments.", path=path.name)
            )

    def _everything(self) -> None:
        record = self._sitting.record
        folder = self._asking.folder(self, say("Folder for everything, readable"))
        if folder is None or not self._sitting.is_open:
            return
        try:
            made = write_everything(record, folder)
        except OSError as error:
            self.said.setText(
                say(
                    "Not written: {reason} ({folder}).",
                    reason=reason(error),
                    folder=folder,
                )
            )
        else:
            names = " and ".join(path.name for path in made)
            self.said.setText(
                say(
                    "Made {names} in {folder}. {readable}",
                    names=names,
                    folder=folder,
                    readable=READABLE,
                )
            )

    def _copy(self) -> None:
        file = self._sitting.file
        if file is None:
            return
        near = file.path.with_name(f"{file.path.stem} copy{SUFFIX}")
        path = self._asking.save_file(self, say("Save a copy, encrypted"), near, RECORDS)
        if path is None or not self._sitting.is_open:
            return
        try:
            file.save_copy(path)
        except OSError as error:
            self.said.setText(
                say(
                    "{path} was not saved: {reason}.",
                    path=path.name,
                    reason=reason(error),
                )
            )
        else:
            self.said.setText(say("Saved {path}, with the same passphrase.", path=path.name))

    def _hand_over(self) -> None:
        chosen = self._ticked()
        passphrase, trouble = self.new.taken()
        if not chosen or trouble:
            self.said.setText(trouble if chosen else say("Tick the pupils first."))
            return
        record = self._sitting.record
        others = [pupil for pupil in record.pupils if pupil not in chosen]
        speaks = speaks_of_others(record, chosen, others)
        if speaks:
            question = say("Some of it speaks of other pupils.")
            if self._asking.choose(self, question, "\n".join(speaks), (GO_ON, STOP)) != GO_ON:
                return
        if not self._sitting.is_open:
            return
        assert self._sitting.path is not None
        near = self._sitting.path.with_name(f"handed over{SUFFIX}")
        path = self._asking.save_file(self, say("Where to write the handover"), near, RECORDS)
        if path is None or not self._sitting.is_open:
            return
        try:
            paper = hand_over(
                record, chosen, path, passphrase, self.to.text().strip(), self._today()
            )
        except OSError as error:
            self.said.setText(
                say("{path} was not made: {reason}.", path=path.name, reason=reason(error))
            )
            return
        self.new.clear()
        self.said.setText(say("Made {path}. Tell the passphrase by word of mouth.", path=path.name))
        self._write(paper, "receipt")

    def _take_in(self) -> None:
        path = self._asking.open_file(self, say("A record handed over"), RECORDS)
        if path is None or not self._sitting.is_open:
            return
        try:
            theirs = open_record(path, self.their_passphrase.text())
        except (SealError, OSError) as error:
            why = reason(error)
            self.said.setText(f"{path.name}: {why}")
            return
        finally:
            self.their_passphrase.clear()
        coming = theirs.record
        theirs.close()
        record, said = joined(self._sitting.record, coming)
        self._sitting.change(lambda _: record)
        self.replaced.emit()
        self.said.setText("\n".join(said) or say("Everybody in it was taken in."))

    def _change(self) -> None:
        passphrase, trouble = self.change.taken()
        if trouble:
            self.said.setText(trouble)
            return
        self.change.clear()
        self.said.setText(self._sitting.change_passphrase(passphrase))

    def _ticked(self) -> list[Pupil]:
        pupils = self._sitting.record.pupils
        return [
            pupil
            for row, pupil in enumerate(pupils)
            if self.chosen.item(row).checkState() is Qt.CheckState.Checked
        ]


def _understood(brought: Brought) -> list[str]:
    lines = [
        f"{when}, {mark}, {_note(note)}" for when, mark, _, note in brought.understood[:MOST_SHOWN]
    ]
    more = len(brought.understood) - MOST_SHOWN
    if more > 0:
        lines.append(say("... and {more} more", more=more))
    return [*lines, *_troubles(brought)[:MOST_SHOWN]]


def _note(note: Note) -> str:
    answer = [term(note.answer.value)] if note.answer else []
    words = [quoted(note.words[:MOST_LETTERS])] if note.words else []
    said = " ".join((*answer, *words))
    return f"{note.moment}: {said}" if said else note.moment


def _troubles(brought: Brought) -> list[str]:
    return [
        say(
            "Row {row}{heading:=|*=, {heading}}: {message}",
            row=each.row,
            heading=each.heading,
            message=each.message,
        )
        for each in brought.troubles
    ]
