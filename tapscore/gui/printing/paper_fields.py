"""How the cards are made: paper, distance, cards on a sheet, backs."""

from attrs import evolve
from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import QCheckBox, QComboBox, QDoubleSpinBox, QFormLayout, QWidget

from tapscore.workflow.product import Choices

PAPERS = ("A4", "A5", "A6")
MOST_EDGE_MM = 30.0
SHEETS = {"one": 1, "two, to cut apart": 2, "four, to cut apart": 4}


class PaperFields(QWidget):
    """Fields for the paper part of choices; ``changed`` when one of them is."""

    changed = Signal()

    def __init__(self, choices: Choices, *, backs: bool = True) -> None:
        super().__init__()
        self._choices = choices
        self.paper = QComboBox()
        self.per_sheet = QComboBox()
        self.distance = QDoubleSpinBox()
        self.edge = QDoubleSpinBox()
        self.edge.setRange(0, MOST_EDGE_MM)
        self.edge.setDecimals(1)
        self.edge.setSuffix(" mm")
        self.edge.setSpecialValueText("as usual")
        self.edge.setKeyboardTracking(False)
        self.backs = QCheckBox("backs, for both sides")
        self.paper.addItems(
            PAPERS if choices.card_paper in PAPERS else (*PAPERS, choices.card_paper)
        )
        self.per_sheet.addItems(list(SHEETS))
        self.distance.setRange(0.3, 3.0)
        self.distance.setSingleStep(0.25)
        self.distance.setSuffix(" m away")
        self.distance.setKeyboardTracking(False)
        for field, name in (
            (self.paper, "Paper of the cards"),
            (self.per_sheet, "Cards on a sheet"),
            (self.distance, "How far away the cards are read"),
            (self.edge, "Blank edge of every page"),
            (self.backs, "Backs for printing on both sides"),
        ):
            field.setAccessibleName(name)
        form = QFormLayout(self)
        form.setContentsMargins(0, 0, 0, 0)
        form.addRow("Paper of the cards", self.paper)
        form.addRow("Cards on a sheet", self.per_sheet)
        form.addRow("Cards are read", self.distance)
        form.addRow("Blank edge", self.edge)
        if backs:
            form.addRow("", self.backs)
        self.show_choices(choices)
        self.paper.currentTextChanged.connect(self.changed)
        self.per_sheet.currentTextChanged.connect(self.changed)
        self.distance.valueChanged.connect(self.changed)
        self.edge.valueChanged.connect(self.changed)
        self.backs.toggled.connect(self.changed)

    @property
    def choices(self) -> Choices:
        """The choices with what is in the fields."""
        return evolve(
            self._choices,
            card_paper=self.paper.currentText(),
            distance_m=self.distance.value(),
            per_sheet=SHEETS[self.per_sheet.currentText()],
            backs=self.backs.isChecked(),
            margin_mm=self.edge.value() or None,
        )

    def show_choices(self, choices: Choices) -> None:
        """Show choices without a signal."""
        with QSignalBlocker(self):
            self._choices = choices
            self.paper.setCurrentText(choices.card_paper)
            word = next(word for word, count in SHEETS.items() if count == choices.per_sheet)
            self.per_sheet.setCurrentText(word)
            self.distance.setValue(choices.distance_m)
            self.edge.setValue(choices.margin_mm or 0)
            self.backs.setChecked(choices.backs)
