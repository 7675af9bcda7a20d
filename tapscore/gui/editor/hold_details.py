"""Details of what has no words: waits, offerings and sections."""

from collections.abc import Callable
from fractions import Fraction

from attrs import evolve
from PySide6.QtCore import QSignalBlocker
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QLineEdit, QSpinBox, QWidget

from tapscore.gui.editor.detail_fields import fill, words_of
from tapscore.gui.editor.editing import StoryEditing
from tapscore.model.loudness import WORDS, parse_swell, swell_text
from tapscore.model.manner import PartialManner
from tapscore.model.metre import SUPPORTED, parse_metre
from tapscore.model.story import Offer, Wait
from tapscore.model.tempo import FASTEST, SLOWEST, Tempo
from tapscore.screen.rows import Row

AS_STORY = "as the story says"


class HoldDetails(QWidget):
    """Seconds and what to look for, of a wait or an offering."""

    def __init__(self, editing: StoryEditing, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAutoFillBackground(True)
        self._editing = editing
        self._row: Row | None = None
        layout = QHBoxLayout(self)
        layout.setContentsMargins(12, 6, 12, 10)
        self.seconds = QSpinBox()
        self.seconds.setRange(1, 600)
        self.seconds.setSuffix(" s at least")
        self.seconds.setAccessibleName("Seconds at least")
        self.prop = QComboBox()
        self.prop.setAccessibleName("Prop")
        self.look_for = QLineEdit()
        self.look_for.setAccessibleName("Look for")
        self.look_for.setPlaceholderText("What to look for: a look, a still body, a reach ...")
        layout.addWidget(self.prop)
        layout.addWidget(self.seconds)
        layout.addWidget(self.look_for, 1)
        self.seconds.valueChanged.connect(self._changed)
        self.prop.activated.connect(self._changed)
        self.look_for.textEdited.connect(self._changed)

    def show_row(self, row: Row) -> None:
        """Show a wait or an offering."""
        self._row = row
        blockers = [QSignalBlocker(f) for f in (self.seconds, self.prop, self.look_for)]
        item = row.item
        if isinstance(item, Wait):
            self.seconds.setValue(round(item.least_sec))
        elif isinstance(item, Offer):
            self.seconds.setValue(round(item.turn_sec))
            props = tuple(prop.name for prop in self._editing.story.props)
            fill(self.prop, props, item.prop, item.prop)
        self.prop.setVisible(isinstance(item, Offer))
        look = getattr(item, "look_for", None) or ""
        if self.look_for.text() != look:
            self.look_for.setText(look)
        del blockers

    def _changed(self) -> None:
        if self._row is None:
            return
        item = self._row.item
        look = words_of(self.look_for.text())
        seconds = Fraction(self.seconds.value())
        join = f"hold {self._row.path}"
        if isinstance(item, Wait):
            new = evolve(item, least_sec=seconds, look_for=look)
            self._editing.change_item("Change wait", self._row.path, new, join)
        elif isinstance(item, Offer):
            offer = evolve(item, turn_sec=seconds, look_for=look, prop=self.prop.currentText())
            self._editing.change_item("Change offering", self._row.path, offer, join)


class SectionDetails(QWidget):
    """What a section says for all of its lines: metre, tempo, loudness."""

    def __init__(self, editing: StoryEditing, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAutoFillBackground(True)
        self._editing = editing
        self._row: Row | None = None
        self.metre, self.tempo, self.loudness = QComboBox(), QSpinBox(), QComboBox()
        self.tempo.setRange(SLOWEST - 1, FASTEST)
        self.tempo.setSpecialValueText(AS_STORY)
        layout = QHBoxLayout(self)
        layout.setContentsMargins(12, 6, 12, 10)
        for name, field in (
            ("Metre", self.metre),
            ("Beats a minute", self.tempo),
            ("Loudness", self.loudness),
        ):
            label = QLabel(name)
            label.setBuddy(field)
            field.setAccessibleName(f"{name} of the section")
            layout.addWidget(label)
            layout.addWidget(field, 1)
        self.metre.activated.connect(self._metre_changed)
        self.tempo.editingFinished.connect(self._tempo_changed)
        self.loudness.activated.connect(self._loudness_changed)

    def show_row(self, row: Row) -> None:
        """Show a section."""
        self._row = row
        own = row.section_manner
        blockers = [QSignalBlocker(f) for f in (self.metre, self.tempo, self.loudness)]
        fill(self.metre, SUPPORTED, str(own.metre) if own.metre else AS_STORY, AS_STORY)
        self.tempo.setValue(round(own.tempo.start) if own.tempo else SLOWEST - 1)
        fill(self.loudness, WORDS, swell_text(own.loudness) if own.loudness else AS_STORY, AS_STORY)
        del blockers

    def _metre_changed(self) -> None:
        metre = parse_metre(self.metre.currentText())
        self._change("Change metre", lambda manner: evolve(manner, metre=metre))

    def _tempo_changed(self) -> None:
        value = self.tempo.value()
        tempo = Tempo(Fraction(value)) if value >= SLOWEST else None
        self._change("Change tempo", lambda manner: evolve(manner, tempo=tempo))

    def _loudness_changed(self) -> None:
        loudness = parse_swell(self.loudness.currentText())
        self._change("Change loudness", lambda manner: evolve(manner, loudness=loudness))

    def _change(self, name: str, change: Callable[[PartialManner], PartialManner]) -> None:
        index = self._row.path[1] if self._row is not None else None
        if isinstance(index, int):
            self._editing.change_section(
                name, index, lambda section: evolve(section, manner=change(section.manner))
            )
