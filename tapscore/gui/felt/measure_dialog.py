"""A form for what a teacher measures of her board."""

from pathlib import Path

from attrs import evolve
from PySide6.QtCore import Slot
from PySide6.QtWidgets import (
    QComboBox,
    QDoubleSpinBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from tapscore.board.facade import places_on
from tapscore.board.measure import Comparison
from tapscore.board.words import MODEL_SENTENCE
from tapscore.disc.reasons import reason
from tapscore.exports.audio.voice.decode import RecordingUnusable
from tapscore.gui.asking import Asking
from tapscore.gui.background import Background, Task
from tapscore.gui.document import Document
from tapscore.gui.enter import CalmDialog
from tapscore.gui.forms.entries import from_the_edge
from tapscore.gui.recording.recording_dialog import KINDS
from tapscore.model.board import Board, Sheet, Strips
from tapscore.model.story import Story
from tapscore.wording.catalogue import page, say
from tapscore.wording.terms import term
from tapscore.workflow.measuring import (
    Battens,
    PhoneWish,
    forgotten,
    measured_board,
    phone_comparison,
    stiffness_sentence,
)
from tapscore.workflow.own_board import (
    OwnBoard,
    how_to_tap,
    keep_own_board,
    learn_own_board,
    own_readings,
)

HOLD_WORDS = {
    "simple": say("a stiff strip"),
    "elastic": say("a soft strip"),
    "free": say("nothing"),
}
NOT_MEASURED = say("not measured")
NO_SPOTS = say(
    "Describe spots and a pupil's place on the board first, to compare a phone's readings."
)
NOT_COMPARED = say("Not calibrated: no readings were compared yet.")
_SIDES = ("west", "east", "south", "north")


class MeasureDialog(CalmDialog):
    """Takes measurements, says what follows, and keeps them in the story as one step."""

    def __init__(
        self, parent: QWidget, document: Document, board: Board, asking: Asking | None = None
    ) -> None:
        super().__init__(parent)
        self._asking = asking or Asking()
        self._document = document
        self._board = board
        self.working = Background(lambda wish, _: phone_comparison(wish), self)
        self.working.answered.connect(self._compared)
        self.learning = Background(_learn, self)
        self.learning.answered.connect(self._learned)
        self.finished.connect(self.learning.stop)
        self.setWindowTitle(say("Measure your board"))
        self.resize(560, 700)
        content = QWidget()
        column = QVBoxLayout(content)
        column.addWidget(self._battens_group())
        column.addWidget(self._strips_group())
        column.addWidget(self._phone_group())
        column.addStretch(1)
        scroll = QScrollArea()
        scroll.setWidgetResizable(True)
        scroll.setAccessibleName(say("Measurements"))
        scroll.setWidget(content)
        whole = QVBoxLayout(self)
        whole.addWidget(scroll, 1)
        whole.addLayout(self._buttons())
        self.finished.connect(self.working.stop)
        self._say()
        self._as_opened = self._typed()

    @property
    def board(self) -> Board:
        """The board with what is in the form."""
        strips = Strips(*(_hold(self.strips[side].currentText()) for side in _SIDES))
        return measured_board(self._board, self._battens(), self.mass.value(), strips)

    def reject(self) -> None:
        """Qt: Escape asks before figures are lost."""
        same = self._typed() == self._as_opened
        if same or self._asking.may_throw_away(self, say("These figures are not kept yet.")):
            super().reject()

    def _typed(self) -> tuple[object, ...]:
        """All that stands in the fields."""
        numbers = (self.weight, self.apart, self.sinks_long, self.sinks_short, self.mass)
        readings = tuple(field.value() for field in self.readings.values())
        sides = tuple(field.currentText() for field in self.strips.values())
        return (*(field.value() for field in numbers), *sides, *readings)

    def _battens_group(self) -> QWidget:
        group, form = _part(say("On two battens, and on a scale"))
        self.weight = self._number(form, say("Weight"), 50, say(" kg"))
        self.apart = self._number(form, say("Batten to batten"), 500, say(" cm"))
        self.sinks_long = self._number(form, say("Sinks, along the longer side"), 300, say(" mm"))
        self.sinks_short = self._number(form, say("Sinks, along the shorter side"), 300, say(" mm"))
        self.stiffness = _sentence(say("Stiffness"))
        form.addRow(self.stiffness)
        self.mass = self._number(form, say("The sheet weighs"), 200, say(" kg"))
        self.stored = _sentence(say("Kept in the story"))
        form.addRow(self.stored)
        return group

    def _strips_group(self) -> QWidget:
        group, form = _part(say("Under each side"))
        own = self._board.strips or Strips()
        self.strips: dict[str, QComboBox] = {}
        for side in _SIDES:
            field = self._choice(form, term(side).capitalize())
            field.addItems(list(HOLD_WORDS.values()))
            field.setCurrentText(HOLD_WORDS[getattr(own, side)])
            self.strips[side] = field
        return group

    def _phone_group(self) -> QWidget:
        group, form = _part(say("A phone's readings"))
        self.place = self._choice(form, say("The phone lies at"))
        for place in places_on(self._board):
            self.place.addItem(say("place {name}", name=place.name), place.name)
        self.readings = {
            spot.name: self._number(
                form, say("Tapped at {spot}", spot=spot.name), 1000, say(" m/s²")
            )
            for spot in self._board.spots
        }
        self._fill_in(own_readings())
        self.from_recording = QPushButton(say("From a recording of taps ..."))
        self.from_recording.setToolTip(how_to_tap(self._document.story))
        self.from_recording.clicked.connect(self._bring_taps)
        form.addRow(self.from_recording)
        self.compare = QPushButton(say("Compare with the model"))
        self.compare.clicked.connect(self._compare)
        form.addRow(self.compare)
        self.compared = _sentence(say("Comparison"))
        form.addRow(self.compared)
        able = bool(self.readings and self.place.count())
        for field in (self.place, self.compare, self.from_recording):
            field.setEnabled(able)
        self.compared.setText(f"{NOT_COMPARED} {MODEL_SENTENCE}" if able else NO_SPOTS)
        return group

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        how, self.forget = (
            QPushButton(say("How to measure")),
            QPushButton(say("Forget the figures")),
        )
        self.keep, close = QPushButton(say("Keep")), QPushButton(say("Close"))
        how.clicked.connect(self._show_how)
        self.forget.clicked.connect(self._forget)
        self.keep.clicked.connect(self._keep)
        close.clicked.connect(self.reject)
        for button in (how, self.forget, self.keep, close):
            row.addWidget(button)
        row.insertStretch(2, 1)
        return row

    def _choice(self, form: QFormLayout, name: str) -> QComboBox:
        field = QComboBox()
        field.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        field.setMinimumContentsLength(12)
        field.setAccessibleName(name)
        field.activated.connect(self._say)
        form.addRow(name, field)
        return field

    def _number(self, form: QFormLayout, name: str, high: float, unit: str) -> QDoubleSpinBox:
        field = QDoubleSpinBox()
        from_the_edge(field)
        field.setRange(0, high)
        field.setSuffix(unit)
        field.setKeyboardTracking(False)
        field.setAccessibleName(name)
        field.valueChanged.connect(self._say)
        form.addRow(name, field)
        field.setDecimals(1 if unit in (say(" cm"), say(" mm")) else 2)
        field.setSpecialValueText(NOT_MEASURED)
        return field

    def _battens(self) -> Battens:
        return Battens(
            self.weight.value(),
            10 * self.apart.value(),
            self.sinks_long.value(),
            self.sinks_short.value(),
        )

    def _say(self) -> None:
        if not hasattr(self, "compare"):
            return
        self.stiffness.setText(stiffness_sentence(self._board, self._battens()))
        sheet = self._board.sheet or Sheet()
        kept = (
            (sheet.stiffness_long_nm, "long"),
            (sheet.stiffness_short_nm, "short"),
            (sheet.mass_kg, "mass"),
        )
        said = ", ".join(
            say(
                "{which:long={figure:g} newton metres along the longer side"
                "|short={figure:g} along the shorter|mass={figure:g} kilograms}",
                which=which,
                figure=float(figure),
            )
            for figure, which in kept
            if figure is not None
        )
        self.stored.setText(
            say("In the story: {said}.", said=said)
            if said
            else say("In the story: no figures yet.")
        )
        self.forget.setEnabled(bool(said))

    def _compare(self) -> None:
        self.compared.setText(say("Working it out."))
        self.working.ask(
            PhoneWish(
                self.board,
                self.place.currentData(),
                tuple((name, field.value()) for name, field in self.readings.items()),
            )
        )

    @Slot()
    def _bring_taps(self) -> None:
        path = self._asking.open_file(self, say("A recording of taps"), KINDS)
        if path is None:
            return
        self.compared.setText(say("Listening to it."))
        self.learning.ask((self._document.story, path))

    @Slot(object)
    def _learned(self, found: OwnBoard | str) -> None:
        if isinstance(found, str):
            self.compared.setText(found)
            return
        self._fill_in(found.readings)
        self._compare()

    def _fill_in(self, readings: tuple[tuple[str, float], ...]) -> None:
        for spot, value in readings:
            if spot in self.readings:
                self.readings[spot].setValue(value)

    @Slot(object)
    def _compared(self, found: Comparison) -> None:
        off = ", ".join(f"{spot} {db:+.0f} dB" for spot, db in found.differences_db)
        each = (say("Readings against the model: {off}.", off=off),) if off else ()
        self.compared.setText(" ".join((found.sentence, *each, MODEL_SENTENCE)))

    def _keep(self) -> None:
        self._set(say("Keep what was measured"), self.board)
        self.accept()

    def _forget(self) -> None:
        self._set(say("Forget what was measured"), forgotten(self._board))
        self._say()

    def _set(self, name: str, board: Board) -> None:
        self._board = board
        self._document.edit(name, evolve(self._document.story, board=board))

    def _show_how(self) -> None:
        text = page("board.txt").read_text(encoding="utf-8")
        self._asking.show(self, say("How to measure"), text)


def _learn(wish: tuple[Story, Path], _: Task) -> OwnBoard | str:
    """Learn from a recording and keep what taps sound like; or why not."""
    try:
        own = learn_own_board(*wish)
        keep_own_board(own)
    except RecordingUnusable as error:
        return str(error)
    except OSError as error:
        return say("What was learned can't be kept: {reason}.", reason=reason(error))
    return own


def _part(title: str) -> tuple[QWidget, QFormLayout]:
    part = QWidget()
    column = QVBoxLayout(part)
    column.addWidget(QLabel(f"<b>{title}</b>"))
    form = QFormLayout()
    column.addLayout(form)
    return part, form


def _hold(word: str) -> str:
    return next(hold for hold, said in HOLD_WORDS.items() if said == word)


def _sentence(name: str) -> QLabel:
    label = QLabel()
    label.setWordWrap(True)
    label.setAccessibleDescription(name)
    return label
