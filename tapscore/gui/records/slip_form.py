"""The slip on screen, in the paper slip's order: what holds for the pupil, then one moment."""

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFormLayout, QLabel, QLineEdit, QPlainTextEdit, QWidget

from tapscore.gui.records.tick_row import TickRow
from tapscore.model.curriculum import ENGAGEMENT_AREAS, EYFS_AREAS
from tapscore.model.observing import (
    POSITIONS,
    SLIP,
    Alertness,
    Answer,
    Entry,
    Holds,
    SlipField,
    Support,
    slip_field,
)
from tapscore.records.model import Note, Slip
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term

_LINES_SEEN = 3
_WITH_ANSWER = "before_cue"
"""This box stands in the row of the answers, as on the paper."""
LEARNING = say("Areas of learning")
Field = QLineEdit | QPlainTextEdit | TickRow


class SlipForm(QWidget):
    """Fields for ``SLIP``'s pupil and moment entries.

    Enter goes on to the next moment; from what holds for the pupil to the moment shown.
    """

    changed = Signal()
    next_wanted = Signal()

    def __init__(self) -> None:
        super().__init__()
        self.fields: dict[str, Field] = {}
        self.moment = QLabel()
        self.moment.setWordWrap(True)
        self.moment.setTextFormat(Qt.TextFormat.PlainText)
        self.look_for = QLabel()
        self.look_for.setWordWrap(True)
        self.look_for.setTextFormat(Qt.TextFormat.PlainText)
        self._note = Note("")
        self._of_pupil: list[QObject] = []
        """Fields that hold for the pupil, and their boxes."""
        self._filling = False
        self._position = ""
        """One that is not among the choices, brought in from elsewhere."""
        form = QFormLayout(self)
        form.setRowWrapPolicy(QFormLayout.RowWrapPolicy.WrapLongRows)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        form.setVerticalSpacing(6)
        for entry in SLIP:
            if entry.key == "moment":
                form.addRow(term(entry.label), self.moment)
                form.addRow(say("Look for"), self.look_for)
            elif entry.holds is not Holds.TELLING and entry.key not in ("pupil", _WITH_ANSWER):
                self._add(form, entry)
        self.learning = TickRow(LEARNING, EYFS_AREAS, several=True)
        self.learning.changed.connect(self._changed)
        form.addRow(LEARNING, self.learning)
        for box in (*self.answer.boxes, *self.learning.boxes):
            box.installEventFilter(self)

    def _add(self, form: QFormLayout, entry: SlipField) -> None:
        made: Field
        if entry.entry is Entry.MANY_WORDS:
            made = QPlainTextEdit()
            made.setTabChangesFocus(True)
            made.ensurePolished()  # for the size of letters that is set
            lines = made.fontMetrics().lineSpacing() * _LINES_SEEN
            made.setFixedHeight(lines + 18)
            made.textChanged.connect(self._changed)
        elif entry.choices:
            own = (slip_field(_WITH_ANSWER).label,) if entry.key == "answer" else ()
            several = entry.entry is Entry.SOME_OF
            made = TickRow(term(entry.label), entry.choices, several=several, own=own)
            made.changed.connect(self._changed)
            for box in made.boxes:
                box.installEventFilter(self)
                if entry.holds is Holds.PUPIL:
                    self._of_pupil.append(box)
        else:
            made = QLineEdit()
            made.textChanged.connect(self._changed)
        if entry.holds is Holds.PUPIL:
            self._of_pupil.append(made)
        made.setAccessibleName(term(entry.label))
        made.installEventFilter(self)
        self.fields[entry.key] = made
        form.addRow(term(entry.label), made)

    @property
    def answer(self) -> TickRow:
        """The row of the answers."""
        return self._row("answer")

    @property
    def observer(self) -> QLineEdit:
        """Who saw it."""
        return self._line("observer")

    @property
    def words(self) -> QPlainTextEdit:
        """What was seen."""
        field = self.fields["words"]
        assert isinstance(field, QPlainTextEdit)
        return field

    def show_slip(self, slip: Slip) -> None:
        """Fill in what holds for the pupil."""
        self._filling = True
        self.observer.setText(slip.observer)
        self._row("alertness").show_chosen([slip.alertness.value] if slip.alertness else [])
        self._row("position").show_chosen([slip.position])
        self._position = "" if slip.position in POSITIONS else slip.position
        self._filling = False

    def show_note(self, note: Note, title: str, look_for: str) -> None:
        """Fill in a moment."""
        self._filling = True
        self._note = note
        self.moment.setText(title)
        self.look_for.setText(look_for or "–")
        before = [slip_field(_WITH_ANSWER).label] if note.before_cue else []
        self.answer.show_chosen([*([note.answer.value] if note.answer else []), *before])
        self.words.setPlainText(note.words)
        self._row("support").show_chosen([note.support.value] if note.support else [])
        self._line("time").setText(note.time)
        self._row("areas").show_chosen(note.areas)
        self.learning.show_chosen(note.areas)
        self._line("context").setText(note.context)
        self._filling = False

    def slip(self, pupil: str, notes: tuple[Note, ...]) -> Slip:
        """What is filled in for the pupil, with these notes."""
        alertness = self._row("alertness").chosen
        position = self._row("position").chosen
        return Slip(
            pupil,
            self.observer.text().strip(),
            Alertness(alertness[0]) if alertness else None,
            position[0] if position else self._position,
            notes,
        )

    def note(self) -> Note:
        """What is filled in for the moment."""
        answer, support = self.answer.chosen, self._row("support").chosen
        known = (*ENGAGEMENT_AREAS, *EYFS_AREAS)
        others = tuple(area for area in self._note.areas if area not in known)
        return Note(
            self._note.moment,
            Answer(answer[0]) if answer else None,
            bool(self.answer.ticked),
            self.words.toPlainText().strip(),
            Support(support[0]) if support else None,
            self._line("time").text().strip(),
            (*self._row("areas").chosen, *self.learning.chosen, *others),
            self._line("context").text().strip(),
        )

    def set_read_only(self, read_only: bool) -> None:
        """Let nothing be typed."""
        self.setEnabled(not read_only)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: N802
        """Qt: Enter goes on; with Shift it begins a line in what was seen."""
        if event.type() is QEvent.Type.KeyPress and isinstance(event, QKeyEvent):
            plain = not event.modifiers() & Qt.KeyboardModifier.ShiftModifier
            if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter) and plain:
                if watched in self._of_pupil:
                    self.answer.focus()
                else:
                    self.next_wanted.emit()
                return True
        return super().eventFilter(watched, event)

    def _changed(self) -> None:
        if not self._filling:
            self.changed.emit()

    def _row(self, key: str) -> TickRow:
        field = self.fields[key]
        assert isinstance(field, TickRow)
        return field

    def _line(self, key: str) -> QLineEdit:
        field = self.fields[key]
        assert isinstance(field, QLineEdit)
        return field
