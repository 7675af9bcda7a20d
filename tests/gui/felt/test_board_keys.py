"""Arrow keys and the mouse move things on the board the way they look."""

import pytest
from attrs import evolve
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from tapscore.gui.panels.board_panel import STEP_MM, BoardPanel
from tapscore.model.board import Board, Place, Point
from tests.board.boards import TWO_PLACES, at

_NONE = Qt.KeyboardModifier.NoModifier
_KEYS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}


@pytest.fixture
def panel(qtbot: QtBot) -> BoardPanel:
    made = BoardPanel()
    qtbot.addWidget(made)
    made.resize(400, 320)
    made.show_board(TWO_PLACES, {})
    made.show()
    return made


def _screen(panel: BoardPanel, board: Board, point: Point) -> tuple[float, float]:
    frame = panel.frame()
    across = float(point.x_mm / board.width_mm) * frame.width()
    up = float(point.y_mm / board.depth_mm) * frame.height()
    return frame.left() + across, frame.bottom() - up


@pytest.mark.parametrize("key", _KEYS)
def test_an_arrow_moves_a_thing_that_way_on_the_screen(
    panel: BoardPanel, qtbot: QtBot, key: Qt.Key
) -> None:
    before = panel.things[0]
    with qtbot.waitSignal(panel.moved) as signal:
        QTest.keyClick(panel, key)
    assert signal.args is not None
    thing, point = signal.args
    assert thing == before
    x0, y0 = _screen(panel, TWO_PLACES, before.at)
    x1, y1 = _screen(panel, TWO_PLACES, point)
    step = STEP_MM / float(TWO_PLACES.width_mm) * panel.frame().width()
    right, down = _KEYS[key]
    assert (x1 - x0, y1 - y0) == pytest.approx((right * step, down * step), abs=0.01)


def test_the_mouse_drops_a_thing_where_it_is_let_go(panel: BoardPanel, qtbot: QtBot) -> None:
    spot = panel.things[0]
    start = QPoint(*map(round, _screen(panel, TWO_PLACES, spot.at)))
    end = QPoint(*map(round, _screen(panel, TWO_PLACES, at(300, 700))))
    with qtbot.waitSignal(panel.moved) as signal:
        QTest.mousePress(panel, Qt.MouseButton.LeftButton, _NONE, start)
        QTest.mouseMove(panel, end)
        QTest.mouseRelease(panel, Qt.MouseButton.LeftButton, _NONE, end)
    assert signal.args is not None
    _, point = signal.args
    assert (float(point.x_mm), float(point.y_mm)) == pytest.approx((300, 700), abs=10)


def test_the_way_out_can_be_chosen_moved_and_heard(panel: BoardPanel, qtbot: QtBot) -> None:
    panel.show_board(evolve(TWO_PLACES, way_out=at(1200, 100)), {})
    QTest.keyClick(panel, Qt.Key.Key_Minus)
    assert panel.accessibleDescription().startswith("way out, 120 centimetres from the west")
    with qtbot.waitSignal(panel.moved) as signal:
        QTest.keyClick(panel, Qt.Key.Key_Up)
    assert signal.args is not None
    thing, point = signal.args
    assert (thing.kind, point) == ("way out", at(1200, 100 + STEP_MM))


def test_a_place_beside_the_board_can_be_taken_hold_of_and_stays_beside(
    panel: BoardPanel, qtbot: QtBot
) -> None:
    panel.show_board(evolve(TWO_PLACES, places=(Place("A", at(2500, 400)),), spots=()), {})
    held = QPoint(400 - 15, 160)
    QTest.mousePress(panel, Qt.MouseButton.LeftButton, _NONE, held)
    QTest.mouseRelease(panel, Qt.MouseButton.LeftButton, _NONE, held)
    assert panel.accessibleDescription().startswith("place A")
    with qtbot.waitSignal(panel.moved) as signal:
        QTest.keyClick(panel, Qt.Key.Key_Up)
    assert signal.args is not None
    assert signal.args[1] == at(2500, 400 + STEP_MM)
