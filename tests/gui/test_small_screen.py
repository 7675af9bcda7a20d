"""The window fits a small screen with large letters, and comes back where it was."""

from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QMenu, QPushButton, QScrollArea, QStyle, QToolButton
from pytestqt.qtbot import QtBot

from tapscore.gui.export_dialog import ExportDialog
from tapscore.gui.files import FileWork
from tapscore.gui.looks import set_scale
from tapscore.gui.main_window import MainWindow
from tapscore.gui.status_line import StatusLine, reading_ms
from tapscore.storyfile.read import read_file
from tests.gui.answers import Answers


@pytest.mark.parametrize("scale", [1.0, 1.25, 1.5, 2.0])
def test_everything_fits_1024_by_600(qtbot: QtBot, demo: MainWindow, scale: float) -> None:
    set_scale(demo, scale)
    demo.resize(1024, 600)
    qtbot.wait(20)
    for panel in demo.side.panels:
        demo.side.show_panel(panel)
        QApplication.processEvents()
        assert (demo.width(), demo.height()) == (1024, 600), demo.side.title(panel)
        assert panel.isVisible()
        if demo.side.choice.isHidden():
            assert demo.side._bar.geometry().bottom() <= demo.side._stack.geometry().top()
            for button in demo.side._group.buttons():
                assert demo.side._bar.rect().contains(button.geometry())
        else:
            assert demo.side.choice.count() == len(demo.side.panels)
            assert demo.side.choice.currentText() == demo.side.title(panel)
    demo.listening.bar.show_more()
    qtbot.wait(20)
    assert demo.width() == 1024
    for action in demo.action_row.findChildren(QToolButton):
        assert demo.action_row.rect().contains(action.geometry())
    set_scale(demo, 1.0)
    demo.resize(1280, 800)
    qtbot.wait(20)
    assert demo.felt.isVisible()
    assert demo.board_panel not in demo.side.panels


def test_making_cards_fits_1024_by_600_with_large_letters(
    qtbot: QtBot, demo: MainWindow, answers: Answers
) -> None:
    set_scale(demo, 2.0)
    dialog = ExportDialog(demo, answers)
    dialog.resize(1000, 560)
    dialog.show()
    qtbot.wait(20)
    try:
        assert dialog.width() <= 1000
        assert dialog.height() <= 560
        for button in dialog.preview.findChildren(QPushButton):
            assert dialog.preview.view.row.rect().contains(button.geometry()), button.text()
    finally:
        dialog.close()
        set_scale(demo, 1.0)


def test_a_long_menu_scrolls_and_is_no_wider_than_its_words(demo: MainWindow) -> None:
    """In two columns the keys of the second lay beyond the screen."""
    set_scale(demo, 2.0)
    menu = demo.menuBar().findChildren(QMenu)[0]
    assert menu.style().styleHint(QStyle.StyleHint.SH_Menu_Scrollable, None, menu)
    set_scale(demo, 1.0)


def test_a_window_comes_back_where_it_was_and_on_the_screen(
    files: FileWork, demo_path: Path, window_on: Callable[[str], MainWindow]
) -> None:
    window = files.show_story(read_file(demo_path), None)
    window.setGeometry(40, 30, 900, 640)
    window.close()
    again = files.show_story(read_file(demo_path), None)
    assert again.geometry().getRect() == (40, 30, 900, 640)
    again.close()
    files.settings.place = (5000, -900, 4000, 3000)
    third = files.show_story(read_file(demo_path), None)
    screen = third.screen().availableGeometry().adjusted(-4, -4, 4, 4)  # the frame
    assert screen.contains(third.geometry())
    for odd in ([1, 2], "left", [0, 0, 10, 10], [1e9, 0, "x", None]):
        files.settings._said["place"] = odd
        assert files.settings.place is None


def test_where_words_for_panels_have_no_room_one_field_has_them(
    qtbot: QtBot, demo: MainWindow
) -> None:
    set_scale(demo, 2.0)
    demo.resize(1024, 600)
    qtbot.wait(20)
    assert demo.side.choice.isVisible()
    demo.side.choice.setFocus()
    QTest.keyClick(demo.side.choice, Qt.Key.Key_Down)
    assert demo.side.current is demo.side.panels[1]
    set_scale(demo, 1.0)
    demo.resize(1280, 800)
    qtbot.wait(20)
    assert demo.side.choice.isHidden()
    assert demo.side._group.button(demo.side._stack.currentIndex()).text() == demo.side.title(
        demo.side.current
    )


def test_names_beside_the_sheet_stay_off_its_edge(demo: MainWindow) -> None:
    """“prop handler” lay across the edge: there was no room left beside the sheet."""
    board, drawing = demo.board, demo.board._drawing()
    frame = board.frame()
    names = {
        thing.name: QRectF(*box)
        for thing, box in zip(drawing.things, drawing.label_boxes(), strict=True)
        if thing.kind == "seat" and box is not None
    }
    assert names
    for name, box in names.items():
        assert not frame.intersects(box), name
        assert QRectF(board.rect()).contains(box), name


def test_the_panels_have_more_room_than_the_board_from_the_start(demo: MainWindow) -> None:
    """The board was made small first, and then took what it would like."""
    demo.resize(1280, 800)
    demo.show()
    QApplication.processEvents()
    board, panels = demo.splitters[1].sizes()
    assert 0.6 < board / panels < 1


@pytest.mark.parametrize("scale", [1.0, 2.0])
def test_nothing_on_the_page_to_begin_on_lies_over_anything(
    qtbot: QtBot, files: FileWork, demo: MainWindow, scale: float
) -> None:
    set_scale(demo, scale)
    files.new(demo)
    page = files.start_page
    assert page is not None
    for size in ((900, 600), (1220, 740), (500, 400)):
        page.resize(*size)
        qtbot.wait(20)
        column = (page.recent, page.open_story, page.from_file, page.blank, *page.demos)
        for above, below in pairwise(column):
            assert above.geometry().bottom() < below.geometry().top(), (size, below)
        for above, below in pairwise((page.words, page.title, page.make)):
            assert above.geometry().bottom() < below.geometry().top(), (size, below)
    page.reject()
    set_scale(demo, 1.0)


def test_the_story_keeps_the_larger_half_of_a_narrow_window(demo: MainWindow) -> None:
    across = demo.splitters[0]
    demo.show()
    for wide, most in ((1280, 400), (520, 250), (480, 230), (1280, 400)):
        demo.resize(wide, 420)
        QApplication.processEvents()
        story, side = across.sizes()
        assert side <= most < wide / 2
        assert story > side
    assert side == 400, "as wide as it was"
    across.moveSplitter(900, 1)
    wanted = across.sizes()[1]
    for wide in (520, 1280):
        demo.resize(wide, 700)
        QApplication.processEvents()
    assert across.sizes()[1] == wanted < 400, "as somebody made it"


def test_what_is_said_at_the_foot_is_whole_at_any_width(demo: MainWindow) -> None:
    """A long answer was cut off at the window's edge, and gone after five seconds."""
    demo.resize(1280, 800)
    demo.show()
    demo.say("Saved.")
    QApplication.processEvents()
    bar = demo.statusBar()
    assert isinstance(bar, StatusLine)
    one = bar.height()
    long = "In 6/8 other syllables come on the strong beat in 2 of 2 lines. " * 4
    demo.say(long)
    QApplication.processEvents()
    lines = [bar.height()]
    demo.resize(700, 800)
    QApplication.processEvents()
    lines.append(bar.height())
    needed = bar.fontMetrics().horizontalAdvance(long) / bar.width()
    assert one < lines[0] < lines[1]
    assert lines[1] >= needed * bar.fontMetrics().lineSpacing()
    assert bar.currentMessage() == long
    ink = bar.grab().toImage()
    foot = range(ink.height() * 3 // 4, ink.height())
    colours = {ink.pixel(x, y) for y in foot for x in range(ink.width() // 2)}
    assert len(colours) > 1, "the last line is written, too"
    assert reading_ms("Saved.") == 5000 < reading_ms(long)
    bar.clearMessage()
    QApplication.processEvents()
    assert bar.height() == one


def test_the_page_to_begin_on_needs_no_scrolling_at_its_usual_size(
    qtbot: QtBot, files: FileWork, demo: MainWindow
) -> None:
    files.new(demo)
    page = files.start_page
    assert page is not None
    page.resize(900, 600)
    page.show()
    qtbot.wait(20)
    area = page.findChild(QScrollArea)
    assert area is not None
    assert not area.verticalScrollBar().isVisible()
    assert page.make.mapTo(page, page.make.rect().bottomLeft()).y() < page.height()
    page.reject()
