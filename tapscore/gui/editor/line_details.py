"""The details of the current row, opened in its place: plain fields, no further window."""

from collections.abc import Callable
from fractions import Fraction

from attrs import evolve
from PySide6.QtCore import QSignalBlocker, Qt
from PySide6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QLabel,
    QLineEdit,
    QSpinBox,
    QWidget,
)

from tapscore.gui.editor.detail_fields import ChecksRow, fill, words_of
from tapscore.gui.editor.editing import StoryEditing
from tapscore.model.finding import StoryPath
from tapscore.model.lane import TapDetail
from tapscore.model.lane_edits import cell_at, event_places
from tapscore.model.loudness import WORDS, Loudness, Swell
from tapscore.model.manner import PartialManner
from tapscore.model.metre import SUPPORTED, parse_metre
from tapscore.model.story import Entrance, Line
from tapscore.model.strokes import STROKE_WORDS, parse_stroke
from tapscore.model.tempo import FASTEST, SLOWEST, Tempo
from tapscore.screen.rows import Row, tap_name

AS_BEFORE = "as the story says"
AS_LINE = "as the line says"
STEADY = "all the way"


class LineDetails(QWidget):
    """How a line, or one tap of it, is played; every change is an edit at once."""

    def __init__(
        self,
        editing: StoryEditing,
        chosen_paths: Callable[[], tuple[StoryPath, ...]] = tuple,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setAutoFillBackground(True)
        self._editing = editing
        self._chosen_paths = chosen_paths
        self._row: Row | None = None
        self._event: int | None = None
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(12, 6, 12, 10)
        self._grid.setHorizontalSpacing(10)
        self._grid.setVerticalSpacing(6)
        self.what = QLabel()
        self._grid.addWidget(self.what, 0, 0, 1, 8)
        self.loudness = self._combo("Loudness", 1, 0)
        self.swell_to = self._combo("to", 1, 2)
        self.stroke = self._combo("Stroke", 1, 4)
        self.spot = self._combo("Spot", 1, 6)
        self.tempo = self._spin("Beats a minute", 2, 0)
        self.tempo_to = self._spin("to", 2, 2)
        self.metre = self._combo("Metre", 2, 4)
        self.adults = ChecksRow("taps")
        self._label("Who taps", 3, 0, self.adults)
        self._grid.addWidget(self.adults, 3, 1, 1, 7)
        self.warn_first = self._field("Warn first", 4, 0, 3)
        self.look_for = self._field("Look for", 4, 4, 3)
        self.do = self._field("What to do", 5, 0, 7)
        self.doers = ChecksRow("does it")
        self._label("Done by", 6, 0, self.doers)
        self._grid.addWidget(self.doers, 6, 1, 1, 7)
        self.props_in = ChecksRow("comes in")
        self._label("Props in", 7, 0, self.props_in)
        self._grid.addWidget(self.props_in, 7, 1, 1, 3)
        self.props_out = ChecksRow("goes out")
        self._label("Props out", 7, 4, self.props_out)
        self._grid.addWidget(self.props_out, 7, 5, 1, 3)
        self._connect()

    def show_row(self, row: Row, event: int | None) -> None:
        """Show a line, or one of its taps."""
        self._row, self._event = row, event
        line = row.line
        if line is None:
            return
        tap = self._tap(line, event)
        blockers = [QSignalBlocker(field) for field in self.findChildren(QWidget)]
        self._fill_line(row, line)
        if tap is not None and event is not None:
            self._fill_tap(row, line, event, tap)
        for field in (
            self.tempo,
            self.tempo_to,
            self.metre,
            self.swell_to,
            self.warn_first,
            self.doers,
            self.props_in,
            self.props_out,
        ):
            field.setEnabled(tap is None)
        del blockers

    def _tap(self, line: Line, event: int | None) -> TapDetail | None:
        if event is None or line.lane is None:
            return None
        places = event_places(line.lane)
        if event >= len(places):
            return None
        cell = cell_at(line.lane, places[event])
        return (cell.detail or TapDetail()) if cell.mark.tapped else None

    def _fill_line(self, row: Row, line: Line) -> None:
        own = line.manner
        count = len(self._chosen_paths())
        whole = f"{count} lines" if count > 1 else "The whole line"
        self.what.setText(f"<b>{whole}</b>  (go to a tap with the arrow keys to change it)")
        swell = own.loudness or ()
        fill(self.loudness, WORDS, swell[0].word if swell else AS_BEFORE, AS_BEFORE)
        fill(self.swell_to, WORDS, swell[-1].word if len(swell) > 1 else STEADY, STEADY)
        stroke = own.stroke.word if own.stroke else AS_BEFORE
        fill(self.stroke, STROKE_WORDS, stroke, AS_BEFORE)
        fill(self.spot, self._spots(), own.spot or AS_BEFORE, AS_BEFORE)
        fill(self.metre, SUPPORTED, str(own.metre) if own.metre else AS_BEFORE, AS_BEFORE)
        tempo = own.tempo
        self.tempo.setValue(round(tempo.start) if tempo else SLOWEST - 1)
        self.tempo_to.setValue(round(tempo.end) if tempo and tempo.end else SLOWEST - 1)
        self._fill_adults(own.by, row.manner.by)
        self.doers.show_names(self._editing.story.role_names, line.done_by)
        props = tuple(prop.name for prop in self._editing.story.props)
        self.props_in.show_names(props, tuple(entrance.prop for entrance in line.props_in))
        self.props_out.show_names(props, line.props_out)
        for field, text in (
            (self.warn_first, line.warn_first),
            (self.do, line.do),
            (self.look_for, line.look_for),
        ):
            if field.text() != (text or ""):
                field.setText(text or "")

    def _fill_tap(self, row: Row, line: Line, event: int, tap: TapDetail) -> None:
        assert line.lane is not None
        self.what.setText(f"<b>One tap:</b> {tap_name(row, event)}  (Escape: the whole line)")
        level = tap.loudness.word if tap.loudness is not None else AS_LINE
        fill(self.loudness, WORDS, level, AS_LINE)
        stroke = tap.stroke.word if tap.stroke else AS_LINE
        fill(self.stroke, STROKE_WORDS, stroke, AS_LINE)
        fill(self.spot, self._spots(), tap.spot or AS_LINE, AS_LINE)
        self._fill_adults(tap.by, row.manner.by)

    def _fill_adults(self, own: tuple[str, ...], heard: tuple[str, ...]) -> None:
        names = self._editing.story.role_names
        chosen = own or heard
        self.adults.show_names(names, names if "everyone" in chosen else chosen)

    def _spots(self) -> tuple[str, ...]:
        board = self._editing.story.board
        return tuple(spot.name for spot in board.spots) if board else ()

    def _connect(self) -> None:
        self.loudness.activated.connect(self._loudness_changed)
        self.swell_to.activated.connect(self._loudness_changed)
        self.stroke.activated.connect(self._stroke_changed)
        self.spot.activated.connect(self._spot_changed)
        self.metre.activated.connect(self._metre_changed)
        self.tempo.editingFinished.connect(self._tempo_changed)
        self.tempo_to.editingFinished.connect(self._tempo_changed)
        self.adults.changed.connect(self._adults_changed)
        self.doers.changed.connect(self._doers_changed)
        self.props_in.changed.connect(self._props_in_changed)
        self.props_out.changed.connect(self._props_out_changed)
        self.warn_first.textEdited.connect(
            lambda text: self._change_words(
                "Warn first", lambda line: evolve(line, warn_first=words_of(text))
            )
        )
        self.do.textEdited.connect(
            lambda text: self._change_words(
                "What to do", lambda line: evolve(line, do=words_of(text))
            )
        )
        self.look_for.textEdited.connect(
            lambda text: self._change_words(
                "Look for", lambda line: evolve(line, look_for=words_of(text))
            )
        )

    def _change_words(self, name: str, change: Callable[[Line], Line]) -> None:
        if self._row is not None:
            path = self._row.path
            self._editing.change_line(name, (path,), change, join=f"{name} {path}")

    def _change(
        self,
        name: str,
        tap: Callable[[TapDetail], TapDetail],
        manner: Callable[[PartialManner], PartialManner],
    ) -> None:
        row = self._row
        if row is None or row.line is None:
            return
        if self._tap(row.line, self._event) is not None and self._event is not None:
            self._editing.change_tap(name, row, self._event, tap)
        else:
            paths = self._chosen_paths()
            several = paths if row.path in paths else (row.path,)
            self._editing.change_manner(name, several, manner)

    def _loudness_changed(self) -> None:
        first, last = self.loudness.currentText(), self.swell_to.currentText()
        level = Loudness(WORDS.index(first)) if first in WORDS else None
        swell: Swell | None = None if level is None else (level,)
        if level is not None and last in WORDS:
            swell = (level, Loudness(WORDS.index(last)))
        self._change(
            "Change loudness",
            lambda tap: evolve(tap, loudness=level),
            lambda manner: evolve(manner, loudness=swell),
        )

    def _stroke_changed(self) -> None:
        stroke = parse_stroke(self.stroke.currentText())
        self._change(
            "Change stroke",
            lambda tap: evolve(tap, stroke=stroke),
            lambda manner: evolve(manner, stroke=stroke),
        )

    def _spot_changed(self) -> None:
        text = self.spot.currentText()
        spot = text if text in self._spots() else None
        self._change(
            "Change spot",
            lambda tap: evolve(tap, spot=spot),
            lambda manner: evolve(manner, spot=spot),
        )

    def _metre_changed(self) -> None:
        metre = parse_metre(self.metre.currentText())
        self._change("Change metre", lambda tap: tap, lambda manner: evolve(manner, metre=metre))

    def _tempo_changed(self) -> None:
        start, end = self.tempo.value(), self.tempo_to.value()
        tempo = None
        if start >= SLOWEST:
            tempo = Tempo(Fraction(start), Fraction(end) if end >= SLOWEST else None)
        self._change("Change tempo", lambda tap: tap, lambda manner: evolve(manner, tempo=tempo))

    def _adults_changed(self) -> None:
        chosen = self.adults.chosen
        self._change(
            "Change who taps",
            lambda tap: evolve(tap, by=chosen),
            lambda manner: evolve(manner, by=chosen),
        )

    def _doers_changed(self) -> None:
        chosen = self.doers.chosen
        if self._row is not None:
            self._editing.change_line(
                "Change who does it", (self._row.path,), lambda line: evolve(line, done_by=chosen)
            )

    def _props_in_changed(self) -> None:
        chosen = self.props_in.chosen

        def change(line: Line) -> Line:
            before = {entrance.prop: entrance for entrance in line.props_in}
            return evolve(line, props_in=tuple(before.get(name, Entrance(name)) for name in chosen))

        if self._row is not None:
            self._editing.change_line("Change props", (self._row.path,), change)

    def _props_out_changed(self) -> None:
        chosen = self.props_out.chosen
        if self._row is not None:
            self._editing.change_line(
                "Change props", (self._row.path,), lambda line: evolve(line, props_out=chosen)
            )

    def _label(self, text: str, row: int, column: int, buddy: QWidget) -> None:
        label = QLabel(text)
        label.setBuddy(buddy)
        label.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        self._grid.addWidget(label, row, column)
        buddy.setAccessibleName(text if text != "to" else "Changing to")

    def _combo(self, name: str, row: int, column: int) -> QComboBox:
        combo = QComboBox()
        combo.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        combo.setMinimumContentsLength(11)
        self._label(name, row, column, combo)
        self._grid.addWidget(combo, row, column + 1)
        return combo

    def _spin(self, name: str, row: int, column: int) -> QSpinBox:
        spin = QSpinBox()
        spin.setRange(SLOWEST - 1, FASTEST)
        spin.setSpecialValueText(AS_BEFORE if name != "to" else STEADY)
        self._label(name, row, column, spin)
        self._grid.addWidget(spin, row, column + 1)
        return spin

    def _field(self, name: str, row: int, column: int, span: int) -> QLineEdit:
        field = QLineEdit()
        self._label(name, row, column, field)
        self._grid.addWidget(field, row, column + 1, 1, span)
        return field
