"""The form of measurements and the row above the board by themselves, without a window."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest
from attrs import evolve
from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QFontMetricsF, QImage, QPainter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QPushButton, QWidget
from pytestqt.qtbot import QtBot

from tapscore.board.measure import Comparison
from tapscore.board.words import MODEL_SENTENCE, WORD_EDGES_DB, WORDS
from tapscore.gui.document import Document
from tapscore.gui.felt import measure_dialog
from tapscore.gui.felt.answer import TABLE_REFERENCE, FeltAnswer, FeltPicture, FeltWish, TableRow
from tapscore.gui.felt.band_colours import BandColours
from tapscore.gui.felt.band_picture import band_pixels
from tapscore.gui.felt.details import ASK, FeltDetails
from tapscore.gui.felt.measure_dialog import NO_SPOTS, NOT_COMPARED, MeasureDialog
from tapscore.gui.felt.pane import AS_TAPPED, NOTHING, WORD_PX, FeltPane, MapUnderlay, word_boxes
from tapscore.gui.fonts import font
from tapscore.gui.palettes import LIGHT
from tapscore.gui.panels.board_panel import BoardPanel
from tapscore.model.board import Board, Strips
from tapscore.model.story import Story
from tapscore.model.strokes import STROKE_WORDS, Stroke
from tapscore.screen.rows import rows_of
from tapscore.storyfile.read import read_text
from tapscore.workflow.measuring import Battens, PhoneWish, measured_board
from tests.gui.answers import Answers
from tests.workflow.test_measuring import BOARD

TEXT = """\
tapscore: 2
title: Small
story:
  - section: One
    lines:
      - words: first the moon
        lane: "| X . x . | X . . . |"
      - wait: 10
"""


class Form:
    """The form with what it asked to be worked out, which the test answers."""

    def __init__(self, qtbot: QtBot, answers: Answers, board: Board = BOARD) -> None:
        self.parent = QWidget()
        qtbot.addWidget(self.parent)
        source = read_text(TEXT)
        assert source.story is not None
        self.document = Document(source, None)
        self.document.show_story(evolve(source.story, board=board))
        self.answers = answers
        self.dialog = MeasureDialog(self.parent, self.document, board, answers)
        self.wishes: list[PhoneWish] = []
        self.brought: list[tuple[Story, Path]] = []
        self.dialog.working.ask = self.wishes.append  # type: ignore[method-assign, assignment]
        self.dialog.learning.ask = self.brought.append  # type: ignore[method-assign, assignment]


@pytest.fixture(autouse=True)
def nothing_learned(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(measure_dialog, "own_readings", lambda: ())


@pytest.fixture
def form(qtbot: QtBot, answers: Answers) -> Form:
    return Form(qtbot, answers)


def test_the_fields_as_they_are_opened(form: Form) -> None:
    dialog = form.dialog
    numbers = (dialog.weight, dialog.apart, dialog.sinks_long, dialog.sinks_short, dialog.mass)
    assert [(each.maximum(), each.suffix(), each.decimals()) for each in numbers] == [
        (50, " kg", 2),
        (500, " cm", 1),
        (300, " mm", 1),
        (300, " mm", 1),
        (200, " kg", 2),
    ]
    for each in numbers:
        assert (each.minimum(), each.value(), each.text()) == (0, 0, "not measured")
    assert list(dialog.readings) == ["one", "two", "three", "four", "five"]
    assert {each.currentText() for each in dialog.strips.values()} == {"a stiff strip"}
    assert dialog.stored.text() == "In the story: no figures yet."
    assert dialog.compared.text() == f"{NOT_COMPARED} {MODEL_SENTENCE}"
    assert not dialog.forget.isEnabled()
    assert dialog.board == form.document.story.board
    dialog.reject()
    assert form.answers.asked == []


def test_enter_keeps_a_figure_and_presses_nothing(form: Form) -> None:
    form.dialog.show()
    form.dialog.weight.setFocus()
    QTest.keyClick(form.dialog.weight, Qt.Key.Key_Return)
    assert form.dialog.isVisible()
    assert (form.wishes, form.brought) == ([], [])
    buttons = form.dialog.findChildren(QPushButton)
    assert len(buttons) == 6
    assert not any(button.autoDefault() for button in buttons)
    form.dialog.reject()


@pytest.mark.parametrize(
    "name", ["weight", "apart", "sinks_long", "sinks_short", "mass", "reading", "strip"]
)
def test_figures_that_are_not_kept_are_asked_about(name: str, form: Form) -> None:
    dialog = form.dialog
    if name == "strip":
        dialog.strips["east"].setCurrentIndex(1)
    elif name == "reading":
        dialog.readings["three"].setValue(1)
    else:
        getattr(dialog, name).setValue(1)
    form.answers.choices[:] = ["Keep them"]
    dialog.reject()
    assert form.answers.asked == ["These figures are not kept yet."]


def test_what_is_kept_is_one_step_and_said(form: Form) -> None:
    dialog = form.dialog
    for field, value in (
        (dialog.weight, 2),
        (dialog.apart, 80),
        (dialog.sinks_long, 2.2),
        (dialog.sinks_short, 25),
        (dialog.mass, 3.2),
    ):
        field.setValue(value)
    for side, word in (("west", "a soft strip"), ("south", "nothing")):
        dialog.strips[side].setCurrentText(word)
    hand = measured_board(
        BOARD, Battens(2, 800, 2.2, 25), 3.2, Strips(west="elastic", south="free")
    )
    assert dialog.board == hand
    assert dialog.stiffness.text().startswith("The stiffness is ")
    assert form.document.undo_stack.count() == 0
    dialog.keep.click()
    assert form.document.story.board == hand
    assert form.document.undo_stack.undoText() == "Keep what was measured"
    assert form.answers.asked == []


def test_figures_of_the_story_are_told_and_forgotten(qtbot: QtBot, answers: Answers) -> None:
    hand = measured_board(BOARD, Battens(2, 800, 2.2, 25), 3.2, Strips())
    form = Form(qtbot, answers, hand)
    assert hand.sheet is not None
    assert hand.sheet.stiffness_long_nm is not None
    assert hand.sheet.stiffness_short_nm is not None
    long, short = float(hand.sheet.stiffness_long_nm), float(hand.sheet.stiffness_short_nm)
    assert form.dialog.stored.text() == (
        f"In the story: {long:g} newton metres along the longer side, "
        f"{short:g} along the shorter, 3.2 kilograms."
    )
    form.dialog.forget.click()
    assert form.document.undo_stack.undoText() == "Forget what was measured"
    assert form.dialog.stored.text() == "In the story: no figures yet."
    assert not form.dialog.forget.isEnabled()


def test_readings_are_compared_with_the_model(form: Form) -> None:
    dialog = form.dialog
    assert [dialog.place.itemText(n) for n in range(dialog.place.count())] == [
        f"place {place.name}" for place in BOARD.places
    ]
    dialog.readings["two"].setValue(0.5)
    dialog.compare.click()
    assert dialog.compared.text() == "Working it out."
    (wish,) = form.wishes
    assert (wish.board, wish.place) == (dialog.board, BOARD.places[0].name)
    assert dict(wish.readings) == {"one": 0, "two": 0.5, "three": 0, "four": 0, "five": 0}
    found = Comparison((("one", 2.4), ("two", -3.6)), 3.0, False)
    dialog._compared(found)
    assert dialog.compared.text() == (
        f"{found.sentence} Readings against the model: one +2 dB, two -4 dB. {MODEL_SENTENCE}"
    )
    none = Comparison((), None, False)
    dialog._compared(none)
    assert dialog.compared.text() == f"{none.sentence} {MODEL_SENTENCE}"


class Learned:
    readings = (("one", 0.25), ("three", 1.0), ("nowhere", 0.5))


def test_a_recording_of_taps_fills_the_readings_in(form: Form, tmp_path: Path) -> None:
    dialog = form.dialog
    form.answers.files[:] = [None, tmp_path / "taps.wav"]
    dialog.from_recording.click()
    assert (form.brought, dialog.compared.text()[:14]) == ([], NOT_COMPARED[:14])
    dialog.from_recording.click()
    assert form.brought == [(form.document.story, tmp_path / "taps.wav")]
    assert dialog.compared.text() == "Listening to it."
    dialog._learned("Too quiet.")
    assert (dialog.compared.text(), form.wishes) == ("Too quiet.", [])
    learned: Any = Learned()
    dialog._learned(learned)
    assert {name: field.value() for name, field in dialog.readings.items()} == {
        **{"one": 0.25, "two": 0, "three": 1.0, "four": 0, "five": 0},
    }
    assert len(form.wishes) == 1


@pytest.mark.parametrize("board", [evolve(BOARD, spots=()), evolve(BOARD, places=())])
def test_what_is_needed_to_compare(board: Board, qtbot: QtBot, answers: Answers) -> None:
    form = Form(qtbot, answers, board)
    for field in (form.dialog.compare, form.dialog.place, form.dialog.from_recording):
        assert not field.isEnabled()
    assert form.dialog.compared.text() == NO_SPOTS


# --- what each place gets, in words and on the map


@pytest.mark.parametrize(
    ("low", "high", "words"),
    [(1, 1, "weaker"), (1, 3, "weaker to stronger"), (0, 1, "hardly to weaker")],
)
def test_from_the_weakest_to_the_strongest(low: int, high: int, words: str) -> None:
    row = TableRow("2 × x", (WORDS[low],), (WORDS[high],))
    assert row.words == (words,)
    answer = FeltAnswer("A", "x", None, ("A",), (row, TableRow("y", (WORDS[1],), (WORDS[1],))))
    assert answer.summary == f"From this line, A: {words}."


def test_every_word_has_room(qapp: object) -> None:
    metrics = QFontMetricsF(font(WORD_PX, bold=True))
    for word, (wide, high) in zip(WORDS, word_boxes(), strict=True):
        assert wide > metrics.horizontalAdvance(word)
        assert high > metrics.height()


def test_no_row_of_the_table_is_hidden(qtbot: QtBot) -> None:
    details = FeltDetails()
    qtbot.addWidget(details)
    details.resize(400, 700)
    assert details.text.text() == ASK
    rows = tuple(TableRow(f"{n} × taps", (WORDS[1],), (WORDS[n],)) for n in (1, 2, 3, 4))
    found = FeltAnswer("A", "x", None, ("A",), rows, ("Tap <there>.",), ("Mind.",))
    details.show_answer(found)
    details.show()
    table = details.table
    needed = table.horizontalHeader().height() + sum(table.rowHeight(n) for n in range(4))
    assert table.height() >= needed
    cells = [[table.item(row, column) for column in (0, 1)] for row in range(4)]
    assert [[item and item.text() for item in row] for row in cells] == [
        [row.taps, row.words[0]] for row in rows
    ]
    text = details.text.text()
    assert "Tap &lt;there&gt;." in text
    assert text.index("Where to tap") < text.index("Mind</b>")
    assert TABLE_REFERENCE in text
    details.show_answer(evolve(found, rows=(), suggestions=(), warnings=()))
    assert table.isHidden()
    assert "The cursor is in no line with taps." in details.text.text()
    assert "Where to tap" not in details.text.text()
    details.show_answer(None)
    assert details.text.text() == ASK


def test_a_word_stands_where_the_map_says(qapp: object) -> None:
    """A picture of 200 by 100 pixels, painted twice as large, a little off the corner."""
    white = np.full((100, 200, 3), 255, np.uint8)
    image = QImage(440, 220, QImage.Format.Format_RGB888)
    image.fill(Qt.GlobalColor.white)
    painter = QPainter(image)
    underlay = MapUnderlay(FeltPicture(white, ((1, 140, 30),)), 200)
    underlay.paint(painter, QRectF(20, 10, 400, 200), LIGHT)
    painter.end()
    dark = [
        (x, y) for x in range(440) for y in range(220) if image.pixelColor(x, y).lightness() < 128
    ]
    across, down = [x for x, _ in dark], [y for _, y in dark]
    assert abs((min(across) + max(across)) / 2 - (20 + 2 * 140)) <= 3
    assert abs((min(down) + max(down)) / 2 - (10 + 2 * 30)) <= 6


def test_lines_of_the_map_have_their_own_colours() -> None:
    """Weak at the left, strong at the right: nothing is darker or lighter than its colours."""
    colours = BandColours(
        ("#E0E0E0", "#D0D0D0", "#C0C0C0", "#B0B0B0", "#A0A0A0"), "#808080", "#404040"
    )
    levels = np.repeat(np.linspace(-40.0, 20.0, 300)[None, :], 40, axis=0)
    pixels = band_pixels(levels, 1.0, colours)
    assert pixels.shape == (40, 300, 3)
    assert (pixels.min(), pixels.max()) == (0x40, 0xE0)
    middle = pixels[20, :, 0].astype(int)
    edges = [int(np.argmin(np.abs(levels[0] - edge))) for edge in WORD_EDGES_DB]
    for edge in edges:
        assert middle[edge - 2 : edge + 3].min() < 0x80, "a contour at each edge"
    assert middle[-1] == 0xA0
    assert 0x80 in pixels[:, : edges[0] - 4, 0], "the weakest is hatched"


# --- whose map is shown


class Pane:
    """The row above a board, with what it asked for."""

    def __init__(self, qtbot: QtBot) -> None:
        self.board = BoardPanel()
        self.pane = FeltPane(self.board)
        qtbot.addWidget(self.pane)
        self.pane.resize(500, 500)
        self.pane.show()
        self.wishes: list[FeltWish] = []
        self.given_up = 0
        self.told: list[object] = []
        self.pane.working.ask = self.wishes.append  # type: ignore[method-assign, assignment]
        self.pane.working.give_up = self._give_up  # type: ignore[method-assign]
        self.pane.answered.connect(self.told.append)
        source = read_text(TEXT)
        assert source.story is not None
        self.story = evolve(source.story, board=BOARD)

    def _give_up(self) -> None:
        self.given_up += 1

    def show(self, board: Board | None) -> None:
        self.story = evolve(self.story, board=board)
        self.board.show_board(board, {})
        self.pane.show_story(self.story)


@pytest.fixture
def pane(qtbot: QtBot) -> Pane:
    return Pane(qtbot)


PLACE = BOARD.places[0].name


def test_nothing_is_asked_until_a_place_is_chosen(pane: Pane) -> None:
    felt = pane.pane
    assert not felt.place.isEnabled()
    assert felt.place.toolTip() == "Put a pupil's place on the board first, under “On the board”."
    pane.show(BOARD)
    assert felt.place.isEnabled()
    assert felt.place.toolTip() == ""
    assert [felt.place.itemText(n) for n in range(felt.place.count())] == [
        NOTHING,
        *(f"for place {place.name}" for place in BOARD.places),
    ]
    assert (felt.wanted, pane.wishes) == (None, [])
    assert felt.stroke.isHidden()
    assert felt.said.isHidden()
    felt.place.setCurrentIndex(1)
    assert felt.wanted == PLACE
    assert not felt.stroke.isHidden()
    assert felt.said.text() == f"Working it out. {MODEL_SENTENCE}"
    (wish,) = pane.wishes
    assert (wish.story, wish.path, wish.place, wish.stroke) == (pane.story, None, PLACE, None)
    felt.place.setCurrentIndex(0)
    assert felt.stroke.isHidden()
    assert pane.told == [], "nothing was shown that goes"


def test_what_asks_anew_and_what_does_not(pane: Pane) -> None:
    felt = pane.pane
    pane.show(BOARD)
    felt.place.setCurrentIndex(1)
    line, wait = rows_of(pane.story)[1:3]
    felt.show_row(line)
    felt.show_row(line)
    assert [wish.path for wish in pane.wishes] == [None, line.path]
    felt.show_row(wait)
    assert pane.wishes[-1].path is None, "no line, no taps"
    felt.show_row(None)
    assert len(pane.wishes) == 3
    felt.stroke.setCurrentIndex(1 + STROKE_WORDS.index("knuckles"))
    assert pane.wishes[-1].stroke is Stroke.KNUCKLES
    felt.stroke.setCurrentIndex(0)
    assert felt.stroke.currentText() == AS_TAPPED
    assert pane.wishes[-1].stroke is None
    count = len(pane.wishes)
    pane.show(BOARD)
    assert len(pane.wishes) == count
    felt.set_inks(LIGHT)
    assert len(pane.wishes) == count + 1, "the map is painted anew"


def test_an_answer_is_shown_and_goes_with_its_place(pane: Pane) -> None:
    felt = pane.pane
    pane.show(BOARD)
    felt.place.setCurrentIndex(1)
    found = FeltAnswer(PLACE, "fingertips, medium", None)
    felt._show(found)
    assert felt.said.text() == (
        f"The cursor is in no line with taps.\nMap: {PLACE}, fingertips, medium. {MODEL_SENTENCE}"
    )
    assert felt.said.accessibleDescription().startswith("The cursor is in no line")
    assert pane.told == [found]
    before = pane.given_up
    others = tuple(place for place in BOARD.places if place.name != PLACE)
    pane.show(evolve(BOARD, places=others))
    assert felt.wanted is None
    assert pane.told == [found, None]
    assert pane.given_up > before
    pane.show(None)
    assert pane.told == [found, None], "said once"


def test_a_moved_place_takes_the_map_away(pane: Pane) -> None:
    felt = pane.pane
    pane.show(BOARD)
    felt.place.setCurrentIndex(1)
    felt.said.setText("as it was")
    moved = evolve(BOARD.places[0], at=BOARD.spots[0].at)
    pane.show(evolve(BOARD, places=(moved, *BOARD.places[1:])))
    assert len(pane.wishes) == 2
    assert felt.wanted == PLACE
    assert felt.said.text() == f"Working it out. {MODEL_SENTENCE}"


def test_another_size_asks_and_a_tiny_one_does_not(pane: Pane) -> None:
    pane.show(BOARD)
    pane.pane.place.setCurrentIndex(1)
    sizes = len(pane.wishes)
    pane.pane.resize(700, 600)
    assert len(pane.wishes) == sizes + 1
    assert pane.wishes[-1].room.width > pane.wishes[0].room.width


def test_how_to_measure_can_be_read_and_closed(form: Form) -> None:
    (how,) = [b for b in form.dialog.findChildren(QPushButton) if b.text() == "How to measure"]
    how.click()
    (told,) = form.answers.told
    assert told.startswith("How to measure ")
    assert "battens" in told
    form.dialog.reject()
