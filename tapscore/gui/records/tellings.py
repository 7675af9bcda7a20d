"""What a telling is about, typed once: date, number, who was there."""

from datetime import date

from attrs import evolve
from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import QComboBox, QGridLayout, QLabel, QLineEdit, QWidget

from tapscore.model.observing import slip_field
from tapscore.records.edits import new_id, next_number, with_telling
from tapscore.records.model import ClassRecord, KeptTelling
from tapscore.records.note_cells import NotUnderstoodError, day
from tapscore.wording.catalogue import say
from tapscore.wording.dates import long_date
from tapscore.wording.terms import term

NEW = say("a new telling")


class TellingFields(QWidget):
    """Chooses a telling or makes one."""

    chosen = Signal()
    changed = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.which = QComboBox()
        self.date, self.number, self.there = (QLineEdit() for _ in range(3))
        self.trouble = QLabel()
        self.trouble.setWordWrap(True)
        self.trouble.setVisible(False)
        self._ids: list[str | None] = []
        self._date = date.min
        self._number: int | None = None
        grid = QGridLayout(self)
        grid.setContentsMargins(0, 0, 0, 0)
        self.which.setAccessibleName(say("Telling"))
        self.which.setSizeAdjustPolicy(
            QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.which.setMinimumContentsLength(22)
        labelled: list[tuple[str, QComboBox | QLineEdit]] = [(say("&Telling"), self.which)]
        for key, field in (("date", self.date), ("number", self.number), ("there", self.there)):
            label = term(slip_field(key).label)
            field.setAccessibleName(label)
            field.editingFinished.connect(self._edited)
            labelled.append((label, field))
        for column, (text, widget) in enumerate(labelled):
            over = QLabel(text)
            over.setBuddy(widget)
            grid.addWidget(over, 0, column)
            grid.addWidget(widget, 1, column)
        grid.addWidget(self.trouble, 2, 0, 1, 4)
        for column, stretch in enumerate((3, 2, 1, 4)):
            grid.setColumnStretch(column, stretch)
        self.which.currentIndexChanged.connect(self.chosen)

    @property
    def id(self) -> str | None:
        """The telling's id; None for a new one."""
        index = self.which.currentIndex()
        return self._ids[index] if 0 <= index < len(self._ids) else None

    def show_tellings(self, record: ClassRecord, chosen: str | None) -> None:
        """List the tellings, the last one first."""
        with QSignalBlocker(self.which):
            self.which.clear()
            self._ids = [None, *(telling.id for telling in reversed(record.tellings))]
            self.which.addItem(NEW)
            for telling in reversed(record.tellings):
                number = f", {telling.number}" if telling.number is not None else ""
                self.which.addItem(f"{long_date(telling.date)}{number}, {telling.story}")
            self.which.setCurrentIndex(self._ids.index(chosen) if chosen in self._ids else 0)

    def show_telling(self, record: ClassRecord, story: str, today: date) -> None:
        """Fill in the telling chosen, or today's."""
        telling = record.telling(self.id or "")
        when = telling.date if telling else today
        number = telling.number if telling else next_number(record, story)
        self._date, self._number = when, number
        self.date.setText(f"{when:%d/%m/%Y}")
        self.number.setText("" if number is None else f"{number}")
        self.there.setText(telling.there if telling else "")
        self.say("")

    def say(self, trouble: str) -> None:
        """Say what is wrong with what is typed."""
        self.trouble.setText(trouble)
        self.trouble.setVisible(bool(trouble))

    def telling(self, record: ClassRecord, story: str, moments: tuple[str, ...]) -> KeptTelling:
        """The telling as typed.

        Where the date or number can't be read, which is said, the last one that could be holds:
        notes are never held up by it.
        """
        held = record.telling(self.id or "")
        self._read()
        made = held or KeptTelling(new_id(), self._date, None, story, "", moments)
        return evolve(made, date=self._date, number=self._number, there=self.there.text().strip())

    def _read(self) -> None:
        try:
            self._date = day(self.date.text().strip())
        except NotUnderstoodError:
            self.say(
                say(
                    "Write the date as 10/03/2027. Until then it counts as {date}.",
                    date=long_date(self._date),
                )
            )
        number = self.number.text().strip()
        if not number:
            self._number = None
        elif number.isascii() and number.isdigit() and len(number) < 6:
            self._number = int(number)
        else:
            self.say(say("Write the telling’s number in figures, such as 3."))

    def _edited(self) -> None:
        self.changed.emit()


def put(record: ClassRecord, telling: KeptTelling) -> ClassRecord:
    """The record with this telling, the very same record if it is in it just so."""
    return record if record.telling(telling.id) == telling else with_telling(record, telling)
