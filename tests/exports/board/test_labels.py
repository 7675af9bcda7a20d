"""Names beside their marks."""

from hypothesis import given
from hypothesis import strategies as st

from tapscore.exports.board.labels import Box, LabelMark, common, placed_labels

BOUNDS: Box = (0, 0, 300, 150)
points = st.tuples(st.integers(0, 300), st.integers(0, 150))


def mark(x: float, y: float, width: float = 0, half: float = 8, sides: str = "") -> LabelMark:
    box = (x - half, y - half, 2 * half, 2 * half)
    return LabelMark(box, BOUNDS, width, 16 if width else 0, sides or "right left below above")


@given(st.lists(st.tuples(points, st.integers(0, 90)), max_size=8))
def test_labels_stay_inside_and_one_alone_is_clear(
    wanted: list[tuple[tuple[int, int], int]],
) -> None:
    marks = [mark(*at, width) for at, width in wanted]
    for one, box in zip(marks, placed_labels(marks), strict=True):
        assert (box is None) == (one.width == 0)
        assert box is None or _inside(box)
    for alone in marks:
        (box,) = placed_labels([alone])
        assert box is None or not common(box, alone.box)


@given(st.lists(st.tuples(points, st.integers(20, 60)), min_size=2, max_size=5))
def test_a_few_labels_never_lie_on_one_another(wanted: list[tuple[tuple[int, int], int]]) -> None:
    boxes = [box for box in placed_labels([mark(*at, width) for at, width in wanted]) if box]
    assert not any(common(a, b) for i, a in enumerate(boxes) for b in boxes[:i])


def test_a_label_goes_round_what_is_there() -> None:
    _, box = placed_labels([mark(240, 75, half=14), mark(292, 75, 80, sides="left")])
    assert box is not None
    assert not common(box, (226, 61, 28, 28))
    over, kept = mark(100, 75, 40, sides="over right"), (90.0, 65.0, 20.0, 20.0)
    assert placed_labels([over])[0] == (80, 67, 40, 16)
    (aside,) = placed_labels([over], [(kept, 1.0)])
    assert aside is not None
    assert not common(aside, kept)


def _inside(box: Box) -> bool:
    left, top, wide, high = box
    return left >= 0 and top >= 0 and left + wide <= 300 and top + high <= 150
