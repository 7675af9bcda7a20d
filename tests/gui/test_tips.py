"""Tips for marks, the legend, where dialogs begin, and questions before work is lost."""

from collections.abc import Callable

from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QLabel
from pytestqt.qtbot import QtBot

from tapscore.gui.editor import row_tips
from tapscore.gui.editor.row_geometry import (
    MARGIN,
    RowSizes,
    finding_box,
    fold_box,
    line_layout,
    words_top,
)
from tapscore.gui.legend import MARKS
from tapscore.gui.main_window import MainWindow
from tapscore.model.strokes import STROKE_WORDS
from tests.gui.answers import Answers
from tests.gui.test_teacher_tasks import NO_WARNING


def _dialog(qtbot: QtBot) -> QDialog:
    qtbot.waitUntil(lambda: isinstance(QApplication.activeModalWidget(), QDialog))
    dialog = QApplication.activeModalWidget()
    assert isinstance(dialog, QDialog)
    return dialog


def test_every_sign_of_a_row_has_a_tip(demo: MainWindow) -> None:
    view, sizes = demo.view, RowSizes(1.0)
    rect = view.visualRect(demo.rows.index(1, 0))
    row = demo.rows.rows[1]
    assert row.line is not None
    cell = line_layout(row.line, row.metre, 1.0, rect.width()).strips[0].cells[0]
    x = round(rect.left() + sizes.gutter + cell.x + sizes.words_px * 0.45)
    y = round(rect.top() + words_top(row, 1.0, rect.width()) + sizes.words_high + 12)
    assert view.pointing.tip_at(QPoint(x, y)).startswith("1 of ")
    assert view.pointing.tip_at(QPoint(rect.left() + 20, rect.top() + 20)) == row_tips.LIFT
    tag = QPoint(rect.right() - MARGIN - 20, rect.top() + MARGIN + 6)
    assert view.pointing.tip_at(tag).startswith("lantern comes on to the board")
    heading = view.visualRect(demo.rows.index(0, 0))
    wedge = fold_box(heading.toRectF(), demo.rows.rows[0], sizes).center().toPoint()
    assert view.pointing.tip_at(wedge) == row_tips.FOLD
    assert view.pointing.tip_at(QPoint(rect.left() + 300, rect.bottom() - 4)).startswith("Line 1.")


def test_a_tip_says_what_was_found(qtbot: QtBot, window_on: Callable[[str], MainWindow]) -> None:
    window = window_on(NO_WARNING)
    qtbot.waitUntil(lambda: bool(window.rows.found_in(window.rows.rows[2])))
    rect = window.view.visualRect(window.rows.index(2, 0))
    at = finding_box(rect.toRectF(), RowSizes(1.0)).center().toPoint()
    assert window.view.pointing.tip_at(at) == "\n".join(window.rows.found_in(window.rows.rows[2]))


def test_the_legend_has_every_stroke_and_begins_beside_the_story(
    qtbot: QtBot, demo: MainWindow
) -> None:
    demo.actions_by_id["marks"].trigger()
    dialog = _dialog(qtbot)
    said = {label.text() for label in dialog.findChildren(QLabel)}
    assert {f"Tap: {word}" for word in STROKE_WORDS} <= said
    assert len(said - {""}) == len(MARKS)
    assert dialog.x() > demo.x() + demo.view.width() // 2
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: QApplication.activeModalWidget() is None)


def test_escape_asks_before_a_tapped_rhythm_is_lost(
    qtbot: QtBot, demo: MainWindow, answers: Answers
) -> None:
    demo.view.selectRow(1)
    demo.actions_by_id["tap in"].trigger()
    dialog = _dialog(qtbot)
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    assert answers.asked == []
    demo.actions_by_id["tap in"].trigger()
    dialog = _dialog(qtbot)
    for _ in range(10):
        QTest.qWait(15)
        QTest.keyClick(dialog, Qt.Key.Key_Space)
    answers.choices = ["Go on with it"]
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    assert answers.asked == ["This rhythm is not kept yet."]
    assert dialog.isVisible()
    answers.choices = ["Throw it away"]
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: QApplication.activeModalWidget() is None)


def test_escape_asks_before_measured_figures_are_lost(
    qtbot: QtBot, demo: MainWindow, answers: Answers
) -> None:
    demo.story_details.measure.click()
    dialog = _dialog(qtbot)
    dialog.mass.setValue(3.5)  # type: ignore[attr-defined]
    answers.choices = ["Go on with it"]
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    assert answers.asked == ["These figures are not kept yet."]
    answers.choices = ["Throw it away"]
    QTest.keyClick(dialog, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: QApplication.activeModalWidget() is None)
