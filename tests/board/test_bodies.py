"""One body, one geometry: sizes against growth references, distances against shapely-free sums."""

from fractions import Fraction
from itertools import pairwise
from math import cos, hypot, pi, sin

import pytest
from attrs import evolve
from hypothesis import given
from hypothesis import strategies as st

from tapscore.board import bodies
from tapscore.board.bodies import BUILDS, Body, bodies_on, body_of, outward
from tapscore.model.board import HEADINGS, Board, Place, Point
from tests.board.boards import at

BOARD = Board(Fraction(1400), Fraction(1200), oldest_years=5)
coordinates = st.integers(0, 1400)
places = st.builds(
    lambda x, y, lying, head: Place("A", at(x, y), lying, head),
    coordinates,
    st.integers(0, 1200),
    st.booleans(),
    st.sampled_from([*HEADINGS, None]),
)


def lying(x: float, y: float, head: str | None = "west") -> Body:
    return body_of(Place("A", at(x, y), True, head), BOARD)


def test_statures_and_masses_are_the_published_medians() -> None:
    # Girls and boys, cm and kg: WHO Child Growth Standards (2006) at three (95.1, 96.1; 13.9,
    # 14.3), UK 1990 reference from four on (Freeman et al. 1995, Arch Dis Child 73:17-24).
    heights = {
        3: (95.06, 96.09),
        4: (101.54, 102.49),
        5: (108.86, 109.59),
        6: (115.33, 115.93),
        7: (121.27, 121.90),
    }
    masses = {
        3: (13.9, 14.3),
        4: (16.20, 16.55),
        5: (18.30, 18.63),
        6: (20.49, 20.77),
        7: (22.98, 23.05),
    }
    for age, build in BUILDS.items():
        assert build.stature_mm / 10 == pytest.approx(sum(heights[age]) / 2, abs=0.1)
        assert build.mass_kg == pytest.approx(sum(masses[age]) / 2, abs=0.1)


def test_other_lengths_grow_and_hang_together() -> None:
    builds = list(BUILDS.values())
    for one, older in pairwise(builds):
        for name in ("head_mm", "neck_mm", "shoulders_mm", "hips_mm", "legs_mm", "arm_mm"):
            assert getattr(one, name) <= getattr(older, name)
    for build in builds:
        # Snyder et al. (1977): a child of these ages is 5.4 to 6.5 heads high.
        assert 5.4 < build.stature_mm / build.head_mm < 6.6
        assert build.neck_mm + build.shoulders_mm < build.stature_mm - build.legs_mm + 140


def test_a_lying_body_is_as_long_as_the_child_and_its_head_is_where_it_points() -> None:
    body = lying(700, 600)
    west, south, east, north = body.box
    assert (west, east) == pytest.approx((700 - 546, 700 + 546))
    assert north - south == pytest.approx(268)
    assert body.head is not None
    assert body.head.start == pytest.approx((700 - 546 + 89.5, 600))
    assert [bar.part for bar in body.bars] == ["head", "body", "legs"]
    assert lying(700, 600, None).head is None
    sitting = body_of(Place("A", at(700, 600)), BOARD)
    assert sitting.box == pytest.approx((566, 466, 834, 734))


def test_past_the_edge() -> None:
    assert lying(700, 600).past_edge_mm(BOARD) == {}
    # The crown is 546 mm to the west of the middle: 46 mm past the edge.
    assert lying(500, 600).past_edge_mm(BOARD) == pytest.approx({"head": 46})
    legs = lying(900, 600).past_edge_mm(BOARD)
    assert legs == pytest.approx({"legs": 46})


def test_a_hair_past_the_edge_is_a_hair() -> None:
    assert lying(545.5, 600).past_edge_mm(BOARD) == pytest.approx({"head": 0.5})


def test_two_who_lie_across_each_other_overlap_by_both_their_widths() -> None:
    """However little one's end is past the other's middle line; and not where it ends before."""
    assert lying(700, 600).apart_mm(lying(700, 600, "north")) == pytest.approx(-2 * 134)
    line = ((0.0, 0.0), (1.0, 0.0))
    assert bodies._cross(*line, (0.5, -0.1), (0.5, 0.1))
    assert not bodies._cross(*line, (0.5, 0.1), (0.5, 0.2))
    assert not bodies._cross(*line, (1.5, -0.1), (1.5, 0.1))


def test_distances_by_hand() -> None:
    body = lying(700, 600)
    assert body.distance_mm(at(700, 800)) == pytest.approx(200 - 134)
    assert body.distance_mm(at(700, 600)) < 0
    assert body.distance_mm(at(54, 600), "head") == pytest.approx(100)
    other = body_of(Place("B", at(600, 900)), BOARD)
    assert body.apart_mm(other) == pytest.approx(300 - 134 - 134)
    # From the north side over the trunk to the south, and past the feet.
    clear_mm, part = body.clear_mm(at(600, 1200), at(600, 0))
    assert (round(clear_mm), part) == (-134, "body")
    assert body.clear_mm(at(1300, 1200), at(1300, 0))[0] == pytest.approx(1300 - 1246)
    assert body.clear_mm(at(200, 1200), at(200, 0))[1] == "head"


def test_an_arm_reaches_from_the_shoulders() -> None:
    """A child of five: 504 mm from the shoulder, which is 134 mm from the middle of the trunk."""
    sitting = body_of(Place("A", at(700, 600)), BOARD)
    assert sitting.reaches(at(700 + 637, 600))
    assert not sitting.reaches(at(700 + 639, 600))
    # The head points west, so the shoulders are 546 - 240 - 134 mm to the west of the middle.
    body = lying(700, 600)
    assert body.reaches(at(700 - 172, 600 + 637))
    assert not body.reaches(at(700 - 172, 600 + 639))
    assert not body.reaches(at(700 - 172 + 639, 600))
    assert lying(700, 600, None).reaches(at(700 + 700, 600))


@given(places, coordinates, st.integers(0, 1200))
def test_outline_and_distance_agree(place: Place, x: int, y: int) -> None:
    """A point inside the drawn outline is inside the body, by the winding of its corners."""
    body = body_of(place, BOARD)
    away = body.distance_mm(at(x, y))
    if abs(away) < 12:  # the outline is made of straight pieces
        return
    assert _inside(body.outline(), x, y) == (away < 0)


def _inside(points: tuple[tuple[float, float], ...], x: float, y: float) -> bool:
    inside = False
    for (x0, y0), (x1, y1) in zip(points, (*points[1:], points[0]), strict=True):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) * (x1 - x0) / (y1 - y0):
            inside = not inside
    return inside


@given(places, places)
def test_overlap_agrees_with_points_of_both(one: Place, other: Place) -> None:
    a, b = body_of(one, BOARD), body_of(other, BOARD)
    assert a.apart_mm(b) == pytest.approx(b.apart_mm(a))
    rims = [
        Point(Fraction(round(x + r * cos(t))), Fraction(round(y + r * sin(t))))
        for bar in b.bars
        for x, y in (bar.start, bar.end)
        for t in (k * pi / 6 for k in range(12))
        for r in (bar.radius_mm,)
    ]
    if a.apart_mm(b) > 2:
        assert all(a.distance_mm(point) > 0 for point in rims)


@given(places, st.sampled_from(["mirror", "turn"]))
def test_a_mirrored_or_turned_board_has_mirrored_or_turned_bodies(place: Place, how: str) -> None:
    def moved(x: float, y: float) -> tuple[float, float]:
        return (1400 - x, y) if how == "mirror" else (1200 - y, x)

    ways = (
        {"east": "west", "west": "east"}
        if how == "mirror"
        else {"east": "north", "north": "west", "west": "south", "south": "east"}
    )
    turned = evolve(BOARD, width_mm=BOARD.depth_mm, depth_mm=BOARD.width_mm)
    board = BOARD if how == "mirror" else turned
    head = ways.get(place.head, place.head) if place.head else None
    there = evolve(place, at=at(*moved(float(place.at.x_mm), float(place.at.y_mm))), head=head)
    before, after = body_of(place, BOARD), body_of(there, board)
    corners = [moved(x, y) for x in before.box[::2] for y in before.box[1::2]]
    xs, ys = zip(*corners, strict=True)
    assert after.box == pytest.approx((min(xs), min(ys), max(xs), max(ys)))
    if before.head and after.head:
        assert after.head.start == pytest.approx(moved(*before.head.start))


def test_who_is_on_the_board_and_which_side() -> None:
    board = evolve(BOARD, places=(Place("A", at(10, 10)), Place("B", at(1500, 10))))
    assert [body.place.name for body in bodies_on(board)] == ["A"]
    assert bodies_on(None) == ()
    sides = {(700, 1200): "north", (1400, 600): "east", (700, 0): "south", (0, 600): "west"}
    assert {outward(BOARD, at(*point)): side for point, side in sides.items()} == {
        side: side for side in sides.values()
    }
    assert hypot(*lying(700, 600).along) == 1
