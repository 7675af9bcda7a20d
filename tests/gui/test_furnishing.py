"""A new story's board, furnished in the window by keyboard and mouse."""

from fractions import Fraction

import pytest
from PySide6.QtCore import QPoint, QRectF, Qt
from PySide6.QtTest import QTest

from tapscore.exports.board.layout import Thing
from tapscore.gui.files import FileWork
from tapscore.gui.main_window import MainWindow
from tapscore.model.board import Board, Place, Point, Strips
from tapscore.model.story import Line
from tapscore.storyfile.read import read_text
from tapscore.storyfile.write import write_story
from tests.gui.answers import Answers


@pytest.fixture
def empty(files: FileWork) -> MainWindow:
    files.new()
    assert files.start_page is not None
    files.start_page.blank.click()
    window = files.windows[-1]
    window.resize(1280, 800)
    window.side.show_panel(window.furnishing)
    return window


def _board(window: MainWindow) -> Board:
    board = window.document.story.board
    assert board is not None
    return board


def _add(window: MainWindow, kind: str, name: str) -> None:
    panel = window.furnishing
    panel.kind.setCurrentText(f"{kind.capitalize()}s")
    panel.lists[kind].new_name.setText(name)
    QTest.keyClick(panel.lists[kind].new_name, Qt.Key.Key_Return)


def test_a_new_board_is_furnished_step_by_step(empty: MainWindow, answers: Answers) -> None:
    stack = empty.document.undo_stack
    _add(empty, "spot", "door")
    assert [spot.name for spot in _board(empty).spots] == ["middle", "door"]
    _add(empty, "place", "Anna")
    assert _board(empty).places == ()
    _add(empty, "place", "A")
    _add(empty, "seat", "corner")
    assert stack.count() == 3
    places = empty.furnishing.lists["place"]
    places.form["with"].setCurrentText("leader")
    places.form["with"].activated.emit(places.form["with"].currentIndex())
    places.form["lying"].click()
    place = _board(empty).places[0]
    assert (place.name, place.partner, place.lying) == ("A", "leader", True)
    answers.choices[:] = ["B"]
    places.rename.click()
    assert [each.name for each in _board(empty).places] == ["B"]
    answers.choices[:] = ["Bert"]
    places.rename.click()
    assert [each.name for each in _board(empty).places] == ["B"]
    places.remove.click()
    assert _board(empty).places == ()
    while stack.canUndo():
        stack.undo()
    assert empty.document.story.board is None


def test_a_place_is_moved_by_typed_centimetres(empty: MainWindow) -> None:
    _add(empty, "place", "A")
    field = empty.furnishing.lists["place"].form["x_mm"]
    field.setValue(30)
    field.finish()
    assert _board(empty).places[0].at.x_mm == Fraction(300)


def test_details_of_the_board_itself(empty: MainWindow) -> None:
    panel = empty.story_details
    panel.board["oldest pupil"].setValue(6)
    panel.board["oldest pupil"].finish()
    way = panel.board["way out"]
    way.setCurrentText("at the east side")
    way.activated.emit(way.currentIndex())
    panel.sides["north"].setText("window")
    panel.sides["north"].textEdited.emit("window")
    board = _board(empty)
    assert board.oldest_years == 6
    assert board.way_out is not None
    assert board.way_out == Point(Fraction(1200), Fraction(600))
    assert board.sides is not None
    assert board.sides.north == "window"


def test_a_spot_pressed_or_entered_is_where_the_line_is_tapped(demo: MainWindow) -> None:
    number = next(n for n in range(demo.rows.rowCount()) if demo.rows.rows[n].line is not None)
    demo.view.selectRow(number)
    path = demo.rows.rows[number].path
    things = demo.board.things
    spot = next(n for n, thing in enumerate(things) if thing.kind == "spot")
    name = things[spot].name
    where = demo.board._drawing().box_of(things[spot])
    middle = QPoint(round(where[0] + where[2] / 2), round(where[1] + where[3] / 2))
    QTest.mouseClick(demo.board, Qt.MouseButton.LeftButton, pos=middle)
    line = next(row.line for row in demo.rows.rows if row.path == path)
    assert isinstance(line, Line)
    assert line.manner.spot == name
    assert demo.furnishing.lists["spot"].current == name
    other = next(n for n, t in enumerate(things) if t.kind == "spot" and t.name != name)
    demo.board._chosen = other
    QTest.keyClick(demo.board, Qt.Key.Key_Return)
    line = next(row.line for row in demo.rows.rows if row.path == path)
    assert line is not None
    assert line.manner.spot == things[other].name
    assert isinstance(things[other], Thing)


def test_my_board_is_kept_without_partners_and_offered(files: FileWork, demo: MainWindow) -> None:
    board = demo.document.story.board
    assert board is not None
    demo.furnishing.keep.click()
    files.new()
    page = files.start_page
    assert page is not None
    assert page.my_board.isChecked()
    page.words.setPlainText("Snow on the hill\nSnow on the mill")
    page.make.click()
    made = files.windows[-1]
    assert _board(made).spots == board.spots
    assert all(isinstance(each, Place) and each.partner is None for each in _board(made).places)
    made.document.undo_stack.undo()
    assert made.document.story.board is None
    made.furnishing.use_kept.click()
    assert _board(made).seats == board.seats


def test_what_stands_beside_the_board_is_in_the_picture(demo: MainWindow) -> None:
    assert any(not _board(demo).contains(thing.at) for thing in demo.board.things)
    drawing = demo.board._drawing()
    whole = QRectF(demo.board.rect())
    for thing in demo.board.things:
        assert whole.contains(QRectF(*drawing.box_of(thing))), thing.name


def test_all_that_a_sheet_and_its_strips_have_can_be_written(demo: MainWindow) -> None:
    panel = demo.story_details
    for key, typed in (("plies", "5"), ("mass_kg", "3.2"), ("stiffness_long_nm", "64")):
        panel.sheet[key].lineEdit().setText(typed)
        panel.sheet[key].finish()
    panel.sheet["wood"].end(False)
    QTest.keyClicks(panel.sheet["wood"], " poplar")
    west = panel.strips["west"]
    west.setCurrentIndex(west.findText("elastic"))
    west.activated.emit(west.currentIndex())
    board = demo.document.story.board
    assert board is not None
    assert board.sheet is not None
    assert (board.sheet.plies, board.sheet.mass_kg) == (5, Fraction(16, 5))
    assert board.sheet.stiffness_long_nm == 64
    assert board.sheet.wood is not None
    assert board.sheet.wood.endswith("poplar")
    assert board.strips == Strips(west="elastic")
    assert read_text(write_story(demo.document.story)).story == demo.document.story
