"""A story without a board: what to do about it stands where the board would."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton
from pytestqt.qtbot import QtBot

from tapscore.board.default_board import USUAL_BOARD
from tapscore.gui import my_board
from tapscore.gui.files import FileWork
from tapscore.gui.main_window import MainWindow
from tapscore.gui.panels.story_panel import StoryPanel

TALL_ENOUGH_PX = 150
"""For a board's picture to be of use; the sentence and its buttons need less than twice that."""


@pytest.fixture
def bare(files: FileWork, qtbot: QtBot) -> MainWindow:
    """A window on a story that has no board."""
    files.new()
    assert files.start_page is not None
    files.start_page.blank.click()
    window = files.windows[-1]
    window.resize(1280, 800)
    QApplication.processEvents()
    return window


def _press(button: QPushButton) -> None:
    QTest.keyClick(button, Qt.Key.Key_Space)
    QApplication.processEvents()


def test_only_what_to_do_is_there_and_the_panels_have_the_room(bare: MainWindow) -> None:
    no_board = bare.felt.no_board
    assert no_board.isVisible()
    assert not bare.board.isVisible()
    assert not bare.felt.place.isVisible()
    assert bare.felt.height() == no_board.heightForWidth(bare.felt.width())
    assert bare.side.height() > 2 * bare.felt.height()
    assert not no_board.kept.isVisible(), "no board was kept that could be put here"


def test_a_usual_board_is_laid_out_seen_and_taken_back(bare: MainWindow) -> None:
    narrow = bare.felt.height()
    _press(bare.felt.no_board.usual)
    assert bare.document.story.board == USUAL_BOARD
    size = f"{USUAL_BOARD.width_mm / 10} by {USUAL_BOARD.depth_mm / 10} cm"
    assert size in bare.felt.no_board.usual.text()
    assert bare.board.isVisible()
    assert bare.felt.place.isVisible()
    assert not bare.felt.no_board.isVisible()
    assert bare.board.height() > TALL_ENOUGH_PX
    bare.document.undo_stack.undo()
    QApplication.processEvents()
    assert bare.document.story.board is None
    assert bare.felt.no_board.isVisible()
    assert bare.felt.height() == narrow


def test_her_measures_are_typed_where_the_button_leads(bare: MainWindow) -> None:
    _press(bare.felt.no_board.measures)
    assert isinstance(bare.side.current, StoryPanel)
    width = bare.story_details.board["width_mm"]
    assert bare.story_details.board.isAncestorOf(bare.focusWidget())
    top = width.mapTo(bare.story_details, width.rect().topLeft()).y()
    assert 0 <= top < bare.story_details.height() / 3, "it is in sight, not far down"
    assert bare.document.story.board is None, "looking at it describes nothing"
    width.setFocus()
    width.selectAll()
    QTest.keyClicks(width, "150")
    QTest.keyClick(width, Qt.Key.Key_Tab)
    board = bare.document.story.board
    assert board is not None
    assert (board.width_mm, board.depth_mm) == (1500, 1200)


def test_the_board_that_was_kept_is_put_here(bare: MainWindow, files: FileWork) -> None:
    _press(bare.felt.no_board.usual)
    my_board.keep(bare)
    files.new()
    assert files.start_page is not None
    files.start_page.my_board.setChecked(False)
    files.start_page.blank.click()
    second = files.windows[-1]
    assert second.document.story.board is None
    assert second.felt.no_board.kept.isVisibleTo(second)
    _press(second.felt.no_board.kept)
    assert second.document.story.board == USUAL_BOARD
