"""How the papers are made: their sizes, the distance they are read at, sheets and backs."""

from attrs import evolve
from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QDoubleSpinBox, QFormLayout, QLabel, QWidget

from tapscore.exports.paper.pages import PAPERS, paper_name
from tapscore.gui.forms.entries import from_the_edge
from tapscore.wording.catalogue import say
from tapscore.workflow.product import Choices

MOST_EDGE_MM = 30.0
SHEETS = {say("one"): 1, say("two, to cut apart"): 2, say("four, to cut apart"): 4}
AS_NEEDED = say("A4, or A3 where needed")
OWN_SIZE = say("One of the list, or its sides in millimetres, such as 120x180")


class PaperFields(QWidget):
    """Fields for the paper part of choices; ``changed`` when one of them is."""

    changed = Signal()

    def __init__(self, choices: Choices, *, backs: bool = True, others: bool = True) -> None:
        super().__init__()
        self._choices = choices
        self.part_paper = _size_field(say("Paper of the part sheets"))
        self.part_paper.insertItem(0, AS_NEEDED)
        self.paper = _size_field(say("Paper of the cards"))
        self.other_paper = _size_field(say("Paper of everything else"))
        self.per_sheet = QComboBox()
        self.distance = QDoubleSpinBox()
        self.edge = QDoubleSpinBox()
        for figure in (self.distance, self.edge):
            from_the_edge(figure)
        self.edge.setRange(0, MOST_EDGE_MM)
        self.edge.setDecimals(1)
        self.edge.setSuffix(say(" mm"))
        self.edge.setSpecialValueText(say("as usual"))
        self.edge.setKeyboardTracking(False)
        self.backs = QCheckBox(say("backs, for both sides"))
        self.wrong = QLabel()
        """Why a size that was typed is not taken."""
        self.wrong.setWordWrap(True)
        self.wrong.hide()
        self.per_sheet.addItems(list(SHEETS))
        self.distance.setRange(0.3, 3.0)
        self.distance.setSingleStep(0.25)
        self.distance.setSuffix(say(" m away"))
        self.distance.setKeyboardTracking(False)
        for field, name in (
            (self.per_sheet, say("Cards on a sheet")),
            (self.distance, say("How far away part sheets and cards are read")),
            (self.edge, say("Blank edge of every page")),
            (self.backs, say("Backs for printing on both sides")),
        ):
            field.setAccessibleName(name)
        form = QFormLayout(self)
        form.setContentsMargins(0, 0, 0, 0)
        form.addRow(say("Part sheets"), self.part_paper)
        form.addRow(say("Paper of the cards"), self.paper)
        if others:
            form.addRow(say("Other papers"), self.other_paper)
        form.addRow(self.wrong)
        form.addRow(say("Cards on a sheet"), self.per_sheet)
        form.addRow(say("Read from"), self.distance)
        form.addRow(say("Blank edge"), self.edge)
        if backs:
            form.addRow("", self.backs)
        self.show_choices(choices)
        for size in (self.part_paper, self.paper, self.other_paper):
            size.activated.connect(self._size_typed)
            edit = size.lineEdit()
            assert edit is not None
            edit.editingFinished.connect(self._size_typed)
        self.per_sheet.currentTextChanged.connect(self.changed)
        self.distance.valueChanged.connect(self.changed)
        self.edge.valueChanged.connect(self.changed)
        self.backs.toggled.connect(self.changed)

    @property
    def choices(self) -> Choices:
        """The choices with what is in the fields; of sizes the last that could be read."""
        return evolve(
            self._choices,
            distance_m=self.distance.value(),
            per_sheet=SHEETS[self.per_sheet.currentText()],
            backs=self.backs.isChecked(),
            margin_mm=self.edge.value() or None,
        )

    def show_choices(self, choices: Choices) -> None:
        """Show choices without a signal."""
        with QSignalBlocker(self):
            self._choices = choices
            self.part_paper.setCurrentText(choices.part_paper or AS_NEEDED)
            self.paper.setCurrentText(choices.card_paper)
            self.other_paper.setCurrentText(choices.other_paper)
            word = next(word for word, count in SHEETS.items() if count == choices.per_sheet)
            self.per_sheet.setCurrentText(word)
            self.distance.setValue(choices.distance_m)
            self.edge.setValue(choices.margin_mm or 0)
            self.backs.setChecked(choices.backs)

    def _size_typed(self) -> None:
        before = self._choices
        try:
            card, other = (paper_name(f.currentText()) for f in (self.paper, self.other_paper))
            asked = self.part_paper.currentText().strip()
            part = "" if asked in ("", AS_NEEDED) else paper_name(asked)
        except ValueError as error:
            said = str(error)
            self.wrong.setText(f"{said[0].upper()}{said[1:]}.")
            self.wrong.show()
            return
        self.wrong.hide()
        self._choices = evolve(before, card_paper=card, other_paper=other, part_paper=part)
        self.part_paper.setCurrentText(part or AS_NEEDED)
        self.paper.setCurrentText(card)
        self.other_paper.setCurrentText(other)
        if self._choices != before:
            self.changed.emit()


def _size_field(name: str) -> QComboBox:
    field = QComboBox()
    field.setEditable(True)
    field.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
    field.addItems(PAPERS)
    field.setAccessibleName(name)
    field.setAccessibleDescription(OWN_SIZE)
    field.setToolTip(OWN_SIZE)
    return field
