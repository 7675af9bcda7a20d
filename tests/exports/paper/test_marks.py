from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.exports import marks
from tapscore.exports.paper.drawing import Outline, extent, shape
from tapscore.exports.paper.inks import INK
from tapscore.model.strokes import Stroke


def box(stroke: Stroke, size: float) -> tuple[float, float, float, float]:
    return extent(shape(INK, lambda sink: marks.tap_mark(sink, stroke, 100, 100, size)))


@pytest.mark.parametrize("stroke", list(Stroke))
def test_a_mark_fills_its_width_and_is_centred(stroke: Stroke) -> None:
    left, top, right, foot = box(stroke, 20)
    assert 17.6 <= right - left <= 20.001
    assert (left + right) / 2 == pytest.approx(100, abs=1.2)
    assert (top + foot) / 2 == pytest.approx(100, abs=2.5)
    assert foot - top <= 21


def test_strokes_differ_in_outline() -> None:
    drawn = set()
    for stroke in Stroke:
        outline = Outline()
        marks.tap_mark(outline, stroke, 0, 0, 10)
        drawn.add(tuple(outline.ops))
    assert len(drawn) == len(Stroke)


def test_five_steps_are_clearly_apart() -> None:
    sizes = [marks.mark_size(level, 1) for level in range(5)]
    ratios = [b / a for a, b in pairwise(sizes)]
    assert min(ratios) >= 1.3
    # A fifth step not 20 times the first in area, so that the first is still seen.
    assert sizes[0] >= 0.3


@given(st.floats(0, 4), st.floats(0, 4))
def test_louder_is_never_smaller(one: float, other: float) -> None:
    low, high = sorted((one, other))
    assert marks.mark_size(low, 30) <= marks.mark_size(high, 30)


def _tick_places(slowing: bool) -> list[float]:
    outline = Outline()
    marks.tempo_ticks(outline, 0, 100, 0, 10, slowing=slowing)
    return [values[0] for name, values in outline.ops if name == "M"]


def test_ticks_spread_for_slowing_and_close_for_quickening() -> None:
    for slowing in (True, False):
        places = _tick_places(slowing)
        gaps = [b - a for a, b in pairwise(places)]
        assert gaps == sorted(gaps, reverse=not slowing)
        assert gaps[0] != gaps[-1]


def test_a_wedge_follows_its_levels() -> None:
    points = [(0.0, 2.0), (50.0, 10.0)]
    left, top, right, foot = extent(shape(INK, lambda sink: marks.hairpin(sink, points, 20, 0.5)))
    assert (left, top, right, foot) == (0, 10, 50, 20)


def test_a_tail_of_no_length_is_not_drawn() -> None:
    outline = Outline()
    marks.hold_tail(outline, 5, 5, 0, 1)
    assert outline.ops == []


def test_an_accent_is_a_wedge_over_its_mark_and_no_bar() -> None:
    left, top, right, foot = extent(shape(INK, lambda sink: marks.accent_wedge(sink, 100, 50, 20)))
    assert (left, right, foot) == pytest.approx((90, 110, 50))
    assert foot - top == pytest.approx(7.2)
    # Open to the left, closed at the right: ink at both ends of its left side alone.
    outline = Outline()
    marks.accent_wedge(outline, 100, 50, 20)
    at_left = sorted(v[1] for _, v in outline.ops if v and v[0] == pytest.approx(90))
    at_right = [v[1] for _, v in outline.ops if v and v[0] == pytest.approx(110)]
    assert at_left[-1] - at_left[0] == pytest.approx(7.2)
    assert max(at_right) - min(at_right) < 3


@pytest.mark.parametrize("stroke", list(Stroke))
def test_a_whole_tap_has_its_wedge_above_and_its_tail_to_the_right(stroke: Stroke) -> None:
    def whole(accent: bool, tail: float | None) -> tuple[float, float, float, float]:
        return extent(
            shape(
                INK,
                lambda sink: marks.whole_tap(
                    sink, stroke, 100, 100, 20, unit=20, accent=accent, tail=tail
                ),
            )
        )

    plain = box(stroke, 20)
    assert whole(False, None) == plain
    assert whole(True, None)[1] < 100 - 10 - 1
    assert whole(True, None)[3] == plain[3]
    assert whole(False, 150)[2] == pytest.approx(150)
    assert whole(False, 112) == plain  # no room for a tail
