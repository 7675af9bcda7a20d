"""Pupils by their marks, and each one's way in."""

from collections.abc import Callable

from attrs import evolve
from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import (
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from tapscore.exports.written.document import WrittenDocument
from tapscore.gui.asking import Asking
from tapscore.gui.records.sitting import Sitting
from tapscore.gui.scrolled import scrolled
from tapscore.records.edits import mark_trouble, new_id, with_pupil
from tapscore.records.handover import told_with
from tapscore.records.model import Pupil
from tapscore.records.way_in import GROUPS, WAY_IN
from tapscore.wording.catalogue import say
from tapscore.workflow.records.papers import blank_way_in, way_in_sheet

DELETE, KEEP = say("Delete all of this pupil"), say("Keep")
MARKS = say("Initials, or any short mark that your school uses. No names.")
WritePaper = Callable[[WrittenDocument, str], None]


class PupilsPage(QWidget):
    """Left the pupils, right the one that is chosen."""

    pupils_changed = Signal()

    def __init__(self, sitting: Sitting, asking: Asking, write: WritePaper) -> None:
        super().__init__()
        self._sitting, self._asking, self._write = sitting, asking, write
        self.list = QListWidget()
        self.new_mark = QLineEdit()
        self.add = QPushButton(say("&Add"))
        self.mark, self.place = QLineEdit(), QLineEdit()
        self.fields: dict[str, QLineEdit] = {}
        self.trouble = QLabel()
        self.sheet = QPushButton(say("Make the way-in &sheet ..."))
        self.blank = QPushButton(say("&Empty sheet ..."))
        self.delete = QPushButton(say("&Delete this pupil ..."))
        self._pupil: Pupil | None = None
        self._build()
        self.add.clicked.connect(self.add_pupil)
        self.new_mark.returnPressed.connect(self.add_pupil)
        self.list.currentRowChanged.connect(self._other)
        self.sheet.clicked.connect(self._make_sheet)
        self.blank.clicked.connect(lambda: self._write(blank_way_in(), "way-in-empty"))
        self.delete.clicked.connect(self._delete)

    def _build(self) -> None:
        left = QVBoxLayout()
        self.list.setAccessibleName(say("Pupils"))
        self.new_mark.setAccessibleName(say("New pupil: the mark"))
        self.new_mark.setPlaceholderText("K.")
        self.new_mark.setToolTip(MARKS)
        new = QLabel(say("New p&upil"))
        new.setBuddy(self.new_mark)
        row = QHBoxLayout()
        row.addWidget(self.new_mark, 1)
        row.addWidget(self.add)
        left.addWidget(self.list, 1)
        left.addWidget(new)
        left.addLayout(row)
        hint = QLabel(MARKS)
        hint.setWordWrap(True)
        left.addWidget(hint)
        form = QFormLayout()
        form.setContentsMargins(0, 0, 12, 0)
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        for name, field in ((say("Mark"), self.mark), (say("Place on the board"), self.place)):
            field.setAccessibleName(name)
            field.editingFinished.connect(self.put_away)
            form.addRow(name, field)
        for group in GROUPS:
            form.addRow(QLabel(f"<b>{group}</b>"))
            for each in WAY_IN:
                if each.group == group:
                    line = QLineEdit()
                    line.setAccessibleName(f"{group}: {each.label}")
                    line.setPlaceholderText(each.hint)
                    line.editingFinished.connect(self.put_away)
                    self.fields[each.key] = line
                    form.addRow(each.label, line)
        across = QHBoxLayout()
        across.addLayout(left, 2)
        across.addWidget(scrolled(form, say("Way in")), 5)
        self.trouble.setWordWrap(True)
        foot = QHBoxLayout()
        foot.addWidget(self.trouble, 1)
        for button in (self.sheet, self.blank, self.delete):
            foot.addWidget(button)
        whole = QVBoxLayout(self)
        whole.addLayout(across, 1)
        whole.addLayout(foot)

    def show_record(self) -> None:
        """List the pupils."""
        allowed = not self._sitting.read_only
        for widget in (self.new_mark, self.add):
            widget.setEnabled(allowed)
        self._fill(0)
        for field in self.fields.values():
            field.setReadOnly(not allowed)

    def begin(self) -> None:
        """Put the keyboard where typing begins."""
        (self.list if self.list.count() else self.new_mark).setFocus()

    def put_away(self) -> None:
        """Put what is typed into the record."""
        if self._pupil is None or not self._sitting.is_open or self._sitting.read_only:
            return
        held = self._sitting.record.pupil(self._pupil.id)
        if held is None:
            return
        mark = " ".join(self.mark.text().split())
        trouble = mark_trouble(self._sitting.record, mark, self._pupil.id)
        self.trouble.setText(trouble)
        said = {key: field.text().strip() for key, field in self.fields.items()}
        others = {key: text for key, text in held.way_in if key not in said}
        filled = {key: text for key, text in {**others, **said}.items() if text}
        way = held.way_in if filled == dict(held.way_in) else tuple(filled.items())
        changed = evolve(
            held,
            mark=held.mark if trouble else mark,
            place=self.place.text().strip(),
            way_in=way,
        )
        if changed != held:
            renamed = (changed.mark, changed.place) != (held.mark, held.place)
            self._pupil = changed
            self._sitting.change(lambda record: with_pupil(record, changed))
            item = self.list.currentItem()
            if renamed and item is not None:
                item.setText(changed.mark)
                self.pupils_changed.emit()

    def add_pupil(self) -> None:
        """Add the pupil whose mark is typed."""
        mark = " ".join(self.new_mark.text().split())
        trouble = mark_trouble(self._sitting.record, mark)
        self.trouble.setText(trouble)
        if trouble:
            self.new_mark.setFocus()
            return
        self.put_away()
        pupil = Pupil(new_id(), mark)
        self._sitting.change(lambda record: with_pupil(record, pupil))
        self.new_mark.clear()
        self._fill(len(self._sitting.record.pupils) - 1)
        self.pupils_changed.emit()
        self.new_mark.setFocus()

    def _fill(self, row: int) -> None:
        self._pupil = None
        with QSignalBlocker(self.list):
            self.list.clear()
            self.list.addItems([pupil.mark for pupil in self._sitting.record.pupils])
            self.list.setCurrentRow(min(row, self.list.count() - 1))
        self._show(self.list.currentRow())

    def _other(self, row: int) -> None:
        self.put_away()
        self._show(row)

    def _show(self, row: int) -> None:
        pupils = self._sitting.record.pupils
        pupil = pupils[row] if 0 <= row < len(pupils) else None
        self._pupil = None
        self.mark.setText(pupil.mark if pupil else "")
        self.place.setText(pupil.place if pupil else "")
        for key, field in self.fields.items():
            field.setText(pupil.way(key) if pupil else "")
            field.setEnabled(pupil is not None)
        self._pupil = pupil
        self.sheet.setEnabled(pupil is not None)
        for widget in (self.delete, self.mark, self.place):
            widget.setEnabled(pupil is not None and not self._sitting.read_only)

    def _make_sheet(self) -> None:
        self.put_away()
        if self._pupil is not None:
            self._write(way_in_sheet(self._pupil), "way-in")

    def _delete(self) -> None:
        pupil, file = self._pupil, self._sitting.file
        if pupil is None or file is None:
            return
        stays = told_with(file.record, pupil)
        more = say(
            "This can’t be taken back. It goes from the two earlier versions, too; not from "
            "backups that your school made, nor from papers."
        )
        if stays:
            more = "\n".join((more, "", say("These stay, so change them by hand:"), *stays))
        answer = self._asking.choose(
            self, say("Delete all of {mark}?", mark=pupil.mark), more, (DELETE, KEEP), loses=True
        )
        if answer != DELETE or not self._sitting.is_open:
            return
        self._pupil = None
        said = self._sitting.forget_pupil(pupil.id)
        self._fill(0)
        self.pupils_changed.emit()
        self.trouble.setText(said)
