"""The form for what was measured of a board."""

import pytest
from attrs import evolve
from PySide6.QtWidgets import QPushButton
from pytestqt.qtbot import QtBot

from tapscore.board.words import MODEL_SENTENCE
from tapscore.gui.felt.measure_dialog import NO_SPOTS, MeasureDialog
from tapscore.gui.main_window import MainWindow
from tapscore.model.board import Strips
from tapscore.storyfile.read import read_text
from tapscore.workflow.measuring import (
    Battens,
    measured_board,
)
from tests.workflow.test_measuring import BOARD


def test_the_form_keeps_one_step_and_compares(qtbot: QtBot, demo: MainWindow) -> None:
    board = demo.document.story.board
    assert board is not None
    dialog = MeasureDialog(demo, demo.document, board)
    qtbot.addWidget(dialog)
    dialog.weight.setValue(2)
    dialog.apart.setValue(80)
    dialog.sinks_long.setValue(2.2)
    dialog.sinks_short.setValue(25)
    assert "106 newton metres along the longer side" in dialog.stiffness.text()
    dialog.strips["north"].setCurrentText("nothing")
    for number, field in enumerate(dialog.readings.values()):
        field.setValue((0.2, 15, 0.2, 15)[number % 4])
    with qtbot.waitSignal(dialog.working.answered, timeout=20_000):
        dialog.compare.click()
    assert dialog.compared.text().startswith("Not calibrated")
    assert MODEL_SENTENCE in dialog.compared.text()
    dialog.keep.click()
    kept = demo.document.story.board
    assert kept is not None
    assert kept.sheet is not None
    assert kept.sheet.stiffness_long_nm == 106
    assert kept.strips == Strips(north="free")
    read = read_text(demo.document.text())
    assert read.findings == ()
    assert read.story == demo.document.story
    demo.document.undo_stack.undo()
    assert demo.document.story.board == board


def test_what_a_phone_read_when_the_board_was_learned_stands_there(
    qtbot: QtBot, demo: MainWindow, monkeypatch: pytest.MonkeyPatch
) -> None:
    board = demo.document.story.board
    assert board is not None
    spot = board.spots[0].name
    read = ((spot, 0.5), ("a spot of another board", 1.0))
    monkeypatch.setattr("tapscore.gui.felt.measure_dialog.own_readings", lambda: read)
    dialog = MeasureDialog(demo, demo.document, board)
    qtbot.addWidget(dialog)
    assert dialog.readings[spot].value() == 0.5
    assert sum(field.value() for field in dialog.readings.values()) == 0.5
    assert dialog._typed() == dialog._as_opened


def test_forgetting_what_was_measured(qtbot: QtBot, demo: MainWindow) -> None:
    board = demo.document.story.board
    assert board is not None
    measured = measured_board(board, Battens(2, 80, 2, 25), 3, Strips())
    dialog = MeasureDialog(demo, demo.document, measured)
    qtbot.addWidget(dialog)
    assert dialog.forget.isEnabled()
    dialog.forget.click()
    kept = demo.document.story.board
    assert kept is not None
    assert kept.sheet is not None
    assert kept.sheet.mass_kg is None
    assert not dialog.forget.isEnabled()
    dialog.reject()


def test_without_spots_nothing_can_be_compared(qtbot: QtBot, demo: MainWindow) -> None:
    dialog = MeasureDialog(demo, demo.document, evolve(BOARD, spots=()))
    qtbot.addWidget(dialog)
    assert dialog.compared.text() == NO_SPOTS
    assert not dialog.compare.isEnabled()
    names = [button.text() for button in dialog.findChildren(QPushButton)]
    assert {"How to measure", "Keep", "Close"} <= set(names)
    dialog.reject()
