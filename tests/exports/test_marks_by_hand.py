"""Where every outline of the tap marks runs, by hand: a unit of 100, middles at (0, 0)."""

from collections.abc import Callable

import pytest

from tapscore.exports import marks
from tapscore.exports.paper.drawing import Outline
from tapscore.model.strokes import Stroke

ARC = 0.5522847498
"""Handle of a quarter of a circle as a cubic curve, for a radius of 1 (common practice)."""
Points = list[tuple[float, float]]


def drawn(draw: Callable[[Outline], None]) -> list[tuple[str, tuple[float, ...]]]:
    outline = Outline()
    draw(outline)
    return [(name, tuple(values)) for name, values in outline.ops]


def corners(draw: Callable[[Outline], None]) -> list[Points]:
    """The corners of each polygon."""
    found: list[Points] = []
    for name, values in drawn(draw):
        if name == "M":
            found.append([])
        if values:
            x, y = values[-2:]
            found[-1].append((round(x, 6), round(y, 6)))
    return found


def near(points: Points) -> list[object]:
    return [pytest.approx(point, abs=1e-6) for point in points]


@pytest.mark.parametrize(
    ("level", "size"),
    [
        *((-1, 34), (0, 34), (0.5, 40), (1, 46), (1.25, 50), (2, 62), (3, 83), (3.5, 96.5)),
        *((4, 110), (9, 110)),
    ],
)
def test_sizes_of_marks(level: float, size: float) -> None:
    assert marks.mark_size(level, 100) == pytest.approx(size)


def test_three_fingertips() -> None:
    dots = [
        values for name, values in drawn(lambda s: marks.fingertips(s, 0, 0, 100)) if name == "M"
    ]
    assert dots == near([(-27 + 23, 17), (23, -25), (27 + 23, 17)])


def test_an_ellipse_is_four_quarters() -> None:
    k = ARC
    ops = drawn(lambda s: marks.ellipse(s, 10, 20, 3, 2))
    assert [name for name, _ in ops] == ["M", "C", "C", "C", "C", ops[-1][0]]
    begins, *curves = [values for _, values in ops if values]
    assert begins == pytest.approx((13, 20))
    assert curves[0] == pytest.approx((13, 20 + 2 * k, 10 + 3 * k, 22, 10, 22))
    assert curves[1] == pytest.approx((10 - 3 * k, 22, 7, 20 + 2 * k, 7, 20))
    assert curves[2] == pytest.approx((7, 20 - 2 * k, 10 - 3 * k, 18, 10, 18))
    assert curves[3] == pytest.approx((10 + 3 * k, 18, 13, 20 - 2 * k, 13, 20))


def test_a_box_with_round_corners() -> None:
    ops = [values for _, values in drawn(lambda s: marks.rounded(s, 10, 20, 50, 30, 8)) if values]
    k = 8 * (1 - ARC)
    expected = [
        *((18, 20), (52, 20), (60 - k, 20, 60, 20 + k, 60, 28), (60, 42)),
        *((60, 50 - k, 60 - k, 50, 52, 50), (18, 50), (10 + k, 50, 10, 50 - k, 10, 42)),
        *((10, 28), (10, 20 + k, 10 + k, 20, 18, 20)),
    ]
    assert ops == [pytest.approx(each) for each in expected]
    slim = [values for _, values in drawn(lambda s: marks.rounded(s, 0, 0, 10, 4, 8)) if values]
    assert slim[0] == pytest.approx((2, 0)), "no rounder than half its height"
    tall = [values for _, values in drawn(lambda s: marks.rounded(s, 0, 0, 4, 10, 8)) if values]
    assert tall[0] == pytest.approx((2, 0)), "nor than half its width"


def test_a_flat_hand_and_knuckles() -> None:
    slab = corners(lambda s: marks.flat_hand(s, 0, 0, 100))[0]
    assert (min(x for x, _ in slab), max(x for x, _ in slab)) == (-50, 50)
    assert (min(y for _, y in slab), max(y for _, y in slab)) == (-29, 29)
    assert slab[0] == (-30, -29)
    assert corners(lambda s: marks.knuckles(s, 0, 0, 100)) == [
        [(0, -50), (50, 0), (0, 50), (-50, 0)]
    ]


def test_a_heel_of_hand_is_flat_above() -> None:
    ops = [values for _, values in drawn(lambda s: marks.heel_of_hand(s, 0, 0, 100)) if values]
    k = 50 * ARC
    assert ops == [
        pytest.approx(each)
        for each in (
            *((-50, -25), (50, -25), (50, -25 + k, k, 25, 0, 25)),
            (-k, 25, -50, -25 + k, -50, -25),
        )
    ]


def test_a_scratch_is_a_zigzag() -> None:
    (zigzag,) = corners(lambda s: marks.scratch(s, 0, 0, 100))
    middle = [(-50, 27), (-25, -27), (0, 27), (25, -27), (50, 27)]
    upper = [(x, y - 21) for x, y in middle]
    lower = [(x, y + 21) for x, y in reversed(middle)]
    assert zigzag == near([*upper, *lower])


def test_a_sweep_is_an_arc_with_a_head_to_the_right() -> None:
    (arc,) = corners(lambda s: marks.sweep(s, 0, 0, 100))
    assert len(arc) == 15 + 3 + 15
    assert [arc[0], arc[14]] == near([(-6 - 44, 19), (-6 + 44, 19)])
    assert arc[7] == pytest.approx((-6, 19 - 44))
    assert arc[15:18] == near([(50, 19), (29, 49), (8, 19)])
    assert [arc[18], arc[32]] == near([(-6 + 26, 19), (-6 - 26, 19)])
    assert arc[25] == pytest.approx((-6, 19 - 26))


def test_a_wedge_for_an_accent() -> None:
    (wedge,) = corners(lambda s: marks.accent_wedge(s, 0, 0, 100))
    assert wedge == near(
        [
            *((50, -18 - 5.5), (50, -18 + 5.5), (-50, 0), (-50, -11), (50 - 28.6, -18)),
            *((-50, -25), (-50, -36)),
        ]
    )


@pytest.mark.parametrize(
    ("accent", "tail", "shapes"),
    [(False, None, 1), (True, None, 2), (False, 200, 2), (True, 200, 3)],
)
def test_a_whole_tap(accent: bool, tail: float | None, shapes: int) -> None:
    found = corners(
        lambda s: marks.whole_tap(s, Stroke.KNUCKLES, 0, 0, 80, unit=100, accent=accent, tail=tail)
    )
    assert len(found) == shapes
    assert found[0] == [(0, -40), (40, 0), (0, 40), (-40, 0)]
    if accent:
        ys = [y for _, y in found[1]]
        xs = [x for x, _ in found[1]]
        assert (min(xs), max(xs), max(ys)) == (-31, 31, -46)
    if tail is not None:
        xs, ys = ([point[at] for point in found[-1]] for at in (0, 1))
        assert (min(xs), max(xs)) == pytest.approx((50, 200))
        assert (min(ys), max(ys)) == pytest.approx((-4.5, 4.5))


def test_tails_only_where_there_is_room() -> None:
    def shapes(tail: float, unit: float = 100) -> list[Points]:
        return corners(
            lambda s: marks.whole_tap(s, Stroke.KNUCKLES, 0, 0, 80, unit=unit, tail=tail)
        )

    assert len(shapes(65)) == 1
    assert len(shapes(65.1)) == 2
    thin = shapes(65, unit=5)[1]
    assert max(y for _, y in thin) == pytest.approx(0.5), "never thinner than a point"
    assert corners(lambda s: marks.hold_tail(s, 5, 4, 0, 1)) == []
    assert len(corners(lambda s: marks.hold_tail(s, 4, 5, 0, 1))) == 1


def test_hairpins() -> None:
    assert [marks.hairpin_share(level) for level in (0, 2, 4)] == pytest.approx([0.1, 0.55, 1.0])
    (pin,) = corners(lambda s: marks.hairpin(s, [(0, 2), (5, 0.1), (9, 8)], 20, 0.5))
    assert pin == near([(0, 20), (0, 18), (5, 19.5), (9, 12), (9, 20)])
    assert corners(lambda s: marks.hairpin(s, [(0, 2)], 20, 0.5)) == []
    assert len(corners(lambda s: marks.hairpin(s, [(0, 2), (1, 2)], 20, 0.5))) == 1


@pytest.mark.parametrize(
    ("width", "count"), [(10, 3), (33, 3), (43, 3), (44, 4), (154, 14), (500, 14)]
)
def test_ticks_for_a_change_of_tempo(width: float, count: int) -> None:
    slow = corners(lambda s: marks.tempo_ticks(s, 5, 5 + width, 7, 10, slowing=True))
    quick = corners(lambda s: marks.tempo_ticks(s, 5, 5 + width, 7, 10, slowing=False))
    assert len(slow) == len(quick) == count
    room = width - 2.8
    for at in range(count):
        share = at / (count - 1)
        x = 5 + share**1.8 * room
        assert slow[at] == near([(x, 7), (x + 2.8, 7), (x + 2.8, 17), (x, 17)])
        x = 5 + (1 - (1 - share) ** 1.8) * room
        assert quick[at][0] == pytest.approx((x, 7), abs=1e-5)


def _tap(stroke: Stroke) -> Callable[[Outline, float, float], None]:
    return lambda sink, x, y: marks.tap_mark(sink, stroke, x, y, 10)


MOVED: list[Callable[[Outline, float, float], None]] = [
    *map(_tap, Stroke),
    lambda s, x, y: marks.accent_wedge(s, x, y, 10),
    lambda s, x, y: marks.hold_tail(s, x, x + 9, y, 2),
    lambda s, x, y: marks.rounded(s, x, y, 9, 5, 2),
    lambda s, x, y: marks.ellipse(s, x, y, 9, 5),
    lambda s, x, y: marks.tempo_ticks(s, x, x + 60, y, 5, slowing=True),
    lambda s, x, y: marks.whole_tap(s, Stroke.SWEEP, x, y, 10, unit=12, accent=True, tail=x + 40),
]


@pytest.mark.parametrize("draw", MOVED)
def test_a_mark_that_is_moved_stays_the_same(draw: Callable[[Outline, float, float], None]) -> None:
    here, there = drawn(lambda s: draw(s, 0, 0)), drawn(lambda s: draw(s, 30, -7))
    assert [name for name, _ in here] == [name for name, _ in there]
    for (_, one), (_, other) in zip(here, there, strict=True):
        moved = [value + (-7.0 if at % 2 else 30.0) for at, value in enumerate(one)]
        assert list(other) == pytest.approx(moved)
