"""Tips for marks, the legend, where dialogs begin, and questions before work is lost."""

from collections.abc import Callable
from typing import Any

from attrs import evolve
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QDialog, QLabel
from pytestqt.qtbot import QtBot

from tapscore.gui.editor import row_tips
from tapscore.gui.editor.row_geometry import (
    KEPT,
    MARGIN,
    RowSizes,
    finding_box,
    fold_box,
    foot_lines,
    in_lines,
    line_layout,
    row_height,
    strip_high,
    text_width,
    words_top,
)
from tapscore.gui.legend import MARKS
from tapscore.gui.main_window import MainWindow
from tapscore.model.story import Offer, Wait
from tapscore.model.strokes import STROKE_WORDS
from tapscore.screen.rows import Row, tapped_words
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


def test_long_words_beside_a_line_take_as_many_lines_as_they_need(demo: MainWindow) -> None:
    """They were cut off at the window's edge: what to look for, a warning, what is done."""
    long = "a look, a still body, a reach, or a turn of the head " * 3
    rows = demo.rows.rows
    line = next(row for row in rows if row.line is not None and row.line.warn_first)
    wait = next(row for row in rows if isinstance(row.item, Wait))
    offer = next(row for row in rows if isinstance(row.item, Offer))
    assert line.line is not None

    def with_words(row: Row, **more: object) -> tuple[Row, Row]:
        item: Any = row.item
        return row, evolve(row, placed=evolve(row.placed, item=evolve(item, **more)))

    longer = [
        with_words(line, warn_first=long),
        with_words(line, do=long),
        with_words(wait, look_for=long),
        with_words(offer, look_for=long),
    ]
    for scale, width in ((1.0, 800), (2.0, 800), (1.0, 300)):
        sizes = RowSizes(scale)
        room = max(width - sizes.gutter - MARGIN, 120)
        for before, after in longer:
            more = row_height(after, scale, width) - row_height(before, scale, width)
            least = text_width(long, sizes.label_px) / room - 2
            assert more >= least * sizes.label_high
        for before, after in longer:
            one, two = words_top(before, scale, width), words_top(after, scale, width)
            assert (two > one) is (after.line is not None and after.line.warn_first == long)
    told = in_lines(long, 15.0, 300.0)
    assert " ".join(told).split() == long.split()
    assert max(text_width(text, 15.0) for text in told) <= 300
    assert in_lines("extraordinarily-long-word so", 15.0, 100.0)[0] == "extraordinarily-long-word"
    assert in_lines(" ", 15.0, 100.0) == ("",)
    assert in_lines("a b", 15.0, -5.0) == ("a b",), "there is always some room"
    _, line = with_words(line, do="", warned_by=())
    tapped = foot_lines(line, RowSizes(1.0), 800)
    assert [text.replace(KEPT, " ") for text in tapped] == ["  ·  ".join(tapped_words(line))]
    narrow = foot_lines(line, RowSizes(2.0), 300)
    assert KEPT.join(narrow).replace(" ", KEPT) == tapped[0].replace(" ", KEPT)
    assert len(narrow) > 1


def test_a_mark_is_pointed_at_below_a_swell_that_takes_two_rows(demo: MainWindow) -> None:
    """Below each row of marks stands the swell, which pushes the next one down."""
    demo.resize(700, 800)
    demo.show()
    QApplication.processEvents()
    view, sizes = demo.view, RowSizes(1.0)
    found = 0
    for number, row in enumerate(demo.rows.rows):
        if row.line is None or row.line.lane is None or len(row.manner.loudness) < 2:
            continue
        view.scrollTo(demo.rows.index(number, 0))
        rect = view.visualRect(demo.rows.index(number, 0))
        strips = line_layout(row.line, row.metre, 1.0, rect.width()).strips
        high = strip_high(row, sizes)
        for at, strip in enumerate(strips[1:], 1):
            top = rect.top() + words_top(row, 1.0, rect.width())
            y = top + at * (high + sizes.label_px * 0.8) + high - 2
            cell = strip.cells[0]
            x = rect.left() + sizes.gutter + cell.x + sizes.words_px * 0.45
            mark = view.pointing.mark_at(QPointF(x, y))
            assert mark is not None
            assert mark[2] == cell.column.place
            found += 1
    assert found


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
