"""Labels on the board's picture."""

from collections.abc import Callable

from hypothesis import given
from hypothesis import strategies as st
from PySide6.QtCore import QPointF, QRectF

from tapscore.gui.main_window import MainWindow
from tapscore.gui.panels.board_labels import Mark, placed_labels

BOUNDS = QRectF(0, 0, 300, 150)
points = st.tuples(st.integers(0, 300), st.integers(0, 150))


@given(st.lists(st.tuples(points, st.integers(0, 90)), max_size=8))
def test_labels_stay_inside_and_one_alone_is_clear(
    marks: list[tuple[tuple[int, int], int]],
) -> None:
    given_marks = [Mark(QPointF(*at), 8, BOUNDS, width, 16 if width else 0) for at, width in marks]
    boxes = placed_labels(given_marks)
    for mark, box in zip(given_marks, boxes, strict=True):
        assert box.isEmpty() == (mark.width == 0)
        assert BOUNDS.contains(box) or box.isEmpty()
    for alone in given_marks:
        (box,) = placed_labels([alone])
        own = QRectF(alone.at.x() - 8, alone.at.y() - 8, 16, 16)
        assert not box.intersects(own)


def test_a_label_goes_round_what_is_there() -> None:
    seat = Mark(QPointF(292, 75), 8, BOUNDS, 80, 16, "left")
    place = Mark(QPointF(240, 75), 14, BOUNDS)
    _, box = placed_labels([place, seat])
    assert not box.intersects(QRectF(226, 61, 28, 28))


def test_demo_has_no_label_on_another_when_the_panel_is_low(demo: MainWindow) -> None:
    board = demo.board
    for height in (200, 240, 320):
        board.resize(400, height)
        taken = [QRectF(*box).adjusted(0.5, 0.5, -0.5, -0.5) for box in board.taken()]
        for number, box in enumerate(taken):
            assert not any(box.intersects(other) for other in taken[:number])


def test_empty_board_has_no_labels(window_on: Callable[[str], MainWindow]) -> None:
    window = window_on("tapscore: 1\ntitle: T\nmetre: 4/4\nstory: []\n")
    assert window.felt.place.count() == 1
    assert not window.felt.place.isEnabled()
