"""A rhythm tapped in with the space bar."""

from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tapscore.gui.main_window import MainWindow
from tapscore.gui.tap_in import TapInDialog
from tapscore.model.lane import Lane
from tapscore.storyfile.lane_text import lane_text


def test_space_bar_gives_a_rhythm(qtbot: QtBot, demo: MainWindow) -> None:
    row = demo.rows.rows[1]
    assert row.line is not None
    times = iter(number / 3 for number in range(40))
    kept: list[Lane] = []
    dialog = TapInDialog(demo, row.line, row.metre, kept.append, clock=lambda: next(times))
    dialog.open()
    qtbot.waitUntil(dialog.isActiveWindow)
    assert not dialog.keep_button.isEnabled()
    for _ in range(10):
        QTest.keyClick(dialog, Qt.Key.Key_Space)
    assert dialog.ways.count() == 3
    QTest.keyClick(dialog, Qt.Key.Key_Return)
    assert lane_text(kept[0]).replace("X", "x") == "| x x x x x x | x x x x . . |"


def test_a_key_held_down_is_one_tap(qtbot: QtBot, demo: MainWindow) -> None:
    row = demo.rows.rows[1]
    assert row.line is not None
    dialog = TapInDialog(demo, row.line, row.metre, lambda _: None)
    qtbot.addWidget(dialog)
    for again in (False, True, True):
        dialog.keyPressEvent(
            QKeyEvent(
                QEvent.Type.KeyPress,
                Qt.Key.Key_Space,
                Qt.KeyboardModifier.NoModifier,
                " ",
                autorep=again,
            )
        )
    assert len(dialog._taps_sec) == 1


def test_the_command_puts_it_into_the_story(qtbot: QtBot, demo: MainWindow) -> None:
    demo.view.go_to(("story", 0, "lines", 0))
    demo.actions_by_id["tap in"].trigger()
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, TapInDialog)
    qtbot.waitUntil(dialog.isActiveWindow)
    for _ in range(10):
        QTest.keyClick(dialog, Qt.Key.Key_Space, delay=30)
    QTest.keyClick(dialog, Qt.Key.Key_Return)
    assert demo.document.undo_stack.undoText() == "Tap in"
