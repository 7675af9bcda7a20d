"""The row that chooses a map, the picture, and the words."""

from attrs import evolve
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from tapscore.board.words import MODEL_SENTENCE
from tapscore.gui.felt.answer import FeltAnswer
from tapscore.gui.felt.details import ASK, NO_PLACE
from tapscore.gui.main_window import MainWindow
from tapscore.model.strokes import STROKE_WORDS

FIRST_LINE = ("story", 0, "lines", 0)


def choose(qtbot: QtBot, demo: MainWindow, place: str) -> FeltAnswer:
    with qtbot.waitSignal(demo.felt.answered, timeout=20_000):
        demo.felt.place.setCurrentText(f"for place {place}")
    assert demo.felt.found is not None
    return demo.felt.found


def test_nothing_is_worked_out_until_asked(qtbot: QtBot, demo: MainWindow) -> None:
    demo.view.go_to(FIRST_LINE)
    qtbot.wait(250)
    assert demo.felt.found is None
    assert demo.board.underlay is None
    assert demo.felt_details.text.text() == ASK


def test_without_a_place_it_is_said_where_to_put_one(demo: MainWindow) -> None:
    story = demo.document.story
    assert story.board is not None
    demo.document.edit("None", evolve(story, board=evolve(story.board, places=())))
    assert demo.felt_details.text.text() == demo.felt.place.toolTip() == NO_PLACE
    demo.document.undo_stack.undo()
    assert (demo.felt_details.text.text(), demo.felt.place.toolTip()) == (ASK, "")


def test_a_map_with_its_words(qtbot: QtBot, demo: MainWindow) -> None:
    demo.view.go_to(FIRST_LINE)
    plain = demo.board.grab().toImage()
    found = choose(qtbot, demo, "A")
    assert demo.board.underlay is not None
    assert demo.board.grab().toImage() != plain
    assert MODEL_SENTENCE in demo.felt.said.text()
    assert "A: " in demo.felt.said.text()
    table = demo.felt_details.table
    assert table.rowCount() == len(found.rows) > 0
    names = [table.horizontalHeaderItem(i) for i in range(table.columnCount())]
    assert [item.text() for item in names if item] == ["Taps of this line", "A", "B"]
    assert all(each in demo.felt_details.text.text() for each in found.suggestions)


def test_by_keyboard(qtbot: QtBot, demo: MainWindow) -> None:
    demo.view.go_to(FIRST_LINE)
    assert demo.felt.place.accessibleName() == "Show what is felt"
    assert demo.felt.stroke.accessibleName() == "Stroke of the map"
    with qtbot.waitSignal(demo.felt.answered, timeout=20_000):
        QTest.keyClick(demo.felt.place, Qt.Key.Key_Down)
    assert demo.felt.wanted == "A"
    assert not demo.felt.stroke.isHidden()
    with qtbot.waitSignal(demo.felt.answered, timeout=20_000):
        for _ in range(1 + STROKE_WORDS.index("knuckles")):
            QTest.keyClick(demo.felt.stroke, Qt.Key.Key_Down)
    found: FeltAnswer | None = demo.felt.found
    assert found is not None
    assert found.manner == "knuckles, medium"


def test_only_the_newest_wish_is_answered(qtbot: QtBot, demo: MainWindow) -> None:
    demo.view.go_to(FIRST_LINE)
    answers: list[FeltAnswer | None] = []
    demo.felt.answered.connect(answers.append)
    for place in ("A", "B", "A", "B"):
        demo.felt.place.setCurrentText(f"for place {place}")
    qtbot.waitUntil(lambda: bool(answers), timeout=20_000)
    qtbot.wait(300)
    assert {found.place for found in answers if found} == {"B"}


def test_moving_a_place_takes_the_old_map_away(qtbot: QtBot, demo: MainWindow) -> None:
    demo.view.go_to(FIRST_LINE)
    before = choose(qtbot, demo, "B")
    for thing in demo.board.things:
        if thing.name == "B":
            break
        QTest.keyClick(demo.board, Qt.Key.Key_Plus)
    with qtbot.waitSignal(demo.felt.answered, timeout=20_000):
        QTest.keyClick(demo.board, Qt.Key.Key_Left)
        assert demo.board.underlay is None
    assert demo.felt.found is not before


def test_back_to_nothing(qtbot: QtBot, demo: MainWindow) -> None:
    demo.view.go_to(FIRST_LINE)
    plain = demo.board.grab().toImage()
    choose(qtbot, demo, "A")
    demo.felt.place.setCurrentText("nothing")
    qtbot.waitUntil(lambda: demo.felt.found is None)
    demo.board.resize(demo.board.size())
    assert demo.board.underlay is None
    assert demo.felt_details.text.text() == ASK
    assert QColor(plain.pixel(0, 0)) == QColor(demo.board.grab().toImage().pixel(0, 0))


def test_high_contrast_map(qtbot: QtBot, demo: MainWindow) -> None:
    demo.view.go_to(FIRST_LINE)
    choose(qtbot, demo, "A")
    with qtbot.waitSignal(demo.felt.answered, timeout=20_000):
        demo.actions_by_id["high contrast"].trigger()
    image = demo.board.grab().toImage()
    colours = {
        QColor(image.pixel(x, y)).hslSaturation()
        for x in range(0, image.width(), 7)
        for y in range(0, image.height(), 7)
    }
    assert colours == {0}
