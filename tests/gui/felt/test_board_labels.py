"""Labels on the board's panel."""

from collections.abc import Callable

from PySide6.QtCore import QRectF

from tapscore.gui.main_window import MainWindow


def test_demo_has_no_label_on_another_when_the_panel_is_low(demo: MainWindow) -> None:
    board = demo.board
    for scale, heights in ((1.0, (200, 240, 320)), (1.5, (320, 400)), (2.0, (500,))):
        board.set_scale(scale)
        for height in heights:
            board.resize(round(400 * scale), height)
            taken = [QRectF(*box).adjusted(0.5, 0.5, -0.5, -0.5) for box in board.taken()]
            for number, box in enumerate(taken):
                assert not any(box.intersects(other) for other in taken[:number]), (scale, height)


def test_empty_board_has_no_labels(window_on: Callable[[str], MainWindow]) -> None:
    window = window_on("tapscore: 2\ntitle: T\nmetre: 4/4\nstory: []\n")
    assert window.felt.place.count() == 1
    assert not window.felt.place.isEnabled()
