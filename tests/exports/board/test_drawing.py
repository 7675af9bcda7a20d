"""The one drawing of the board: turned or mirrored with its scene, names clear of one another."""

from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations
from pathlib import Path

import pytest
from attrs import evolve
from hypothesis import given, settings
from hypothesis import strategies as st

from tapscore.exports.board.drawing import BoardDrawing
from tapscore.exports.board.labels import common
from tapscore.exports.board.layout import Look, things_of
from tapscore.exports.board.view import View
from tapscore.exports.paper.board_picture import board_picture
from tapscore.exports.paper.drawing import Element, Panel, Shape, StraightLine, TextRun, extent
from tapscore.exports.paper.floor_plan import GRID, floor_plan_pages
from tapscore.exports.paper.inks import INK, MUTED
from tapscore.exports.paper.text_width import paper_width
from tapscore.model.board import HEADINGS, Board, Named, Place, Point, Sides, Strips
from tapscore.model.story import Role, Story
from tapscore.storyfile.read import read_text
from tests.board.boards import at, moved

WIDE, DEEP = 1200, 900
points = st.builds(at, st.integers(0, WIDE), st.integers(0, DEEP))
boards = st.builds(
    lambda spots, seats, places, out: Board(
        Fraction(WIDE),
        Fraction(DEEP),
        spots=tuple(Named(f"spot {i}", p) for i, p in enumerate(spots)),
        seats=tuple(Named(f"seat {i}", p) for i, p in enumerate(seats)),
        places=tuple(
            Place("ABCDEF"[i], p, lying, head) for i, (p, lying, head) in enumerate(places)
        ),
        strips=Strips(west="free", north="elastic"),
        way_out=out,
    ),
    st.lists(points, max_size=3),
    st.lists(points, max_size=3),
    st.lists(st.tuples(points, st.booleans(), st.sampled_from([*HEADINGS, None])), max_size=3),
    st.one_of(st.none(), points),
)
LOOK = Look(12.0, 16.0, paper_width)


def _boxes(elements: Sequence[Element]) -> list[tuple[float, ...]]:
    """What is covered by shapes, without the letters, which run one way."""
    found = [extent(e) for e in elements if isinstance(e, Panel | Shape | StraightLine)]
    return sorted(tuple(round(value, 3) for value in box) for box in found)


def _shapes(board: Board, *, chairs: bool) -> list[Element]:
    bounds = (-400.0, -400.0, 1000.0, 1000.0)
    look = evolve(LOOK, chairs=chairs)
    drawing = BoardDrawing(View(board, 0, 0, 0.2), look, bounds=bounds)
    parts = drawing.sheet(radius=2, edge=2), drawing.strips(), drawing.bodies()
    more = drawing.places(), drawing.spots(), drawing.seats(), drawing.way_out()
    return [element for part in (*parts, *more) for element in part]


def _at_one_side(board: Board) -> bool:
    """Whether it is clear which side each seat is at, so that a mirror cannot choose another."""
    out = () if board.way_out is None else (board.way_out,)
    for at_edge in (*(seat.at for seat in board.seats), *out):
        x, y = float(at_edge.x_mm) / WIDE, float(at_edge.y_mm) / DEEP
        if min(abs(a - b) for a, b in combinations((x, 1 - x, y, 1 - y), 2)) < 1e-9:
            return False
    return True


@settings(max_examples=60)
@given(boards.filter(_at_one_side), st.booleans())
def test_a_mirrored_scene_is_drawn_mirrored(board: Board, chairs: bool) -> None:
    wide = WIDE * 0.2
    before = _boxes(_shapes(board, chairs=chairs))
    after = _boxes(_shapes(moved(board, "mirror"), chairs=chairs))
    mirrored = sorted((round(wide - r, 3), t, round(wide - x, 3), f) for x, t, r, f in before)
    assert [pytest.approx(box, abs=0.01) for box in mirrored] == after


@settings(max_examples=60)
@given(boards.filter(_at_one_side), st.booleans())
def test_a_turned_scene_is_drawn_turned(board: Board, chairs: bool) -> None:
    before = _boxes(_shapes(board, chairs=chairs))
    after = _boxes(_shapes(moved(board, "turn"), chairs=chairs))
    wide = WIDE * 0.2
    # A quarter to the left: what was at the right is at the top.
    turned = sorted((t, round(wide - r, 3), f, round(wide - x, 3)) for x, t, r, f in before)
    assert [pytest.approx(box, abs=0.01) for box in turned] == after


@settings(max_examples=40)
@given(boards.filter(lambda board: bool(board.seats)).filter(_at_one_side))
def test_a_card_shows_the_same_however_the_room_is_turned(board: Board) -> None:
    """The seat is nearest, so that turning everything changes nothing."""

    def picture(shown: Board) -> list[tuple[float, ...]]:
        names = [spot.name for spot in shown.spots]
        made = board_picture(shown, spots=names, seat="seat 0", most=(200, 200), label=14)
        return _boxes(list(made.block.elements))

    first = picture(board)
    turned = board
    for _ in range(3):
        turned = moved(turned, "turn")
        assert [pytest.approx(box, abs=0.01) for box in picture(turned)] == first


@given(boards, st.sampled_from(["north", "east", "south", "west"]), points)
def test_a_view_goes_back_and_steps_as_it_looks(board: Board, bottom: str, point: Point) -> None:
    view = View(board, 30, 20, 0.3, bottom)
    x, y = view.at(point)
    assert view.back_mm(x, y) == pytest.approx((float(point.x_mm), float(point.y_mm)))
    assert view.left <= x <= view.right + 1e-9
    assert view.top <= y <= view.foot + 1e-9
    for right, up in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        dx, dy = view.step(right, up)
        there = view.at(Point(point.x_mm + 10 * dx, point.y_mm + 10 * dy))
        assert there == pytest.approx((x + 3 * right, y - 3 * up))


def test_the_floor_plan_is_mirrored_with_its_scene() -> None:
    board = Board(
        Fraction(WIDE),
        Fraction(DEEP),
        spots=(Named("drum", at(200, 150)),),
        seats=(Named("left", at(0, 500)),),
        places=(Place("A", at(600, 640), True, "west"),),
        way_out=at(300, 0),
    )
    story = Story("T", board=board, roles=(Role("leader", "left"),))

    def figure(shown: Story) -> list[tuple[float, ...]]:
        (page,) = floor_plan_pages(shown)
        (drawn,) = [block for block in page.blocks if block.tag == "Figure"]
        kept = [e for e in drawn.elements if not isinstance(e, StraightLine)]
        return _boxes(kept)

    wide = floor_plan_pages(story)[0].paper.width_pt
    before, after = figure(story), figure(evolve(story, board=moved(board, "mirror")))
    mirrored = sorted((wide - r, t, wide - x, f) for x, t, r, f in before)
    assert [pytest.approx(box, abs=0.01) for box in mirrored] == after
    assert before != after


@pytest.mark.parametrize("quarters", [1, 2, 3])
def test_the_floor_plan_turns_with_its_scene(quarters: int) -> None:
    """Sheet, strips, seats, places, bodies, spots and way out, in mm from the sheet's middle."""
    board = Board(
        Fraction(900),  # small enough for one scale either way on A3
        Fraction(700),
        spots=(Named("drum", at(200, 150)), Named("bell", at(800, 300))),
        seats=(Named("left", at(0, 500)), Named("far", at(600, 700))),
        places=(Place("A", at(500, 440), True, "west"), Place("B", at(700, 200))),
        way_out=at(300, 0),
        strips=Strips(west="free", south="elastic"),
    )
    roles = (Role("ann", "left"), Role("bea", "far"))

    def drawn(shown: Board) -> tuple[list[tuple[str, float, float, float, float]], str]:
        (page,) = floor_plan_pages(Story("T", board=shown, roles=roles), paper="A3")
        (figure,) = [block for block in page.blocks if block.tag == "Figure"]
        sheet = next(
            e for e in figure.elements if isinstance(e, Panel) and (e.edge, e.edge_pt) == (INK, 2.0)
        )
        mm = float(shown.width_mm) / sheet.width_pt
        left, top, right, foot = extent(sheet)
        found = []
        for element in figure.elements:
            grid = isinstance(element, StraightLine) and element.ink == GRID
            frame = isinstance(element, Panel) and (element.edge, element.edge_pt) == (MUTED, 1.0)
            if grid or frame:
                continue
            x0, y0, x1, y1 = extent(element)
            x, y = (x0 + x1 - left - right) / 2 * mm, (top + foot - y0 - y1) / 2 * mm
            wide, high = (x1 - x0) * mm, (y1 - y0) * mm
            if isinstance(element, TextRun):
                if element.text in "AB":  # other names stand where there is room for them
                    found.append((element.text, x, y, 0.0, 0.0))
            else:
                found.append((type(element).__name__, x, y, wide, high))
        return found, figure.alt

    before, said = drawn(board)
    turned = board
    for _ in range(quarters):
        turned = moved(turned, "turn")
    after, said_then = drawn(turned)
    for _ in range(quarters):
        before = [(kind, -y, x, high, wide) for kind, x, y, wide, high in before]
    left = sorted(after)
    for kind, *where in sorted(before):
        exact = 12 if kind in "AB" else 0.5  # letters stay upright on their base lines
        same = [e for e in left if e[0] == kind and e[1:] == pytest.approx(where, abs=exact)]
        assert same, (kind, where)
        left.remove(same[0])
    assert not left
    turn = dict(zip(("north", "west", "south", "east"), (0, 1, 2, 3), strict=True))
    way = [name for name, at_ in turn.items() if at_ == (2 + quarters) % 4]
    head = [name for name, at_ in turn.items() if at_ == (1 + quarters) % 4]
    assert f"The way out: {way[0]}." in said_then
    assert f"head to {head[0]}" in said_then
    assert "The way out: south." in said


@pytest.mark.parametrize("name", ["the-lantern-boat", "the-bread-van"])
@pytest.mark.parametrize("scale", [1.0, 1.5, 2.0])
def test_names_in_the_demos_are_clear_of_one_another_at_any_size(name: str, scale: float) -> None:
    text = Path(f"demo_stories/{name}.yaml").read_text(encoding="utf-8")
    story = read_text(text).story
    assert story is not None
    assert story.board is not None
    bounds = (-120.0 * scale, -40.0, 488 * scale, 244 * scale + 80)
    look = Look(12 * scale, 16 * scale, paper_width)
    view = View(story.board, 0, 0, 0.2 * scale)
    drawing = BoardDrawing(view, look, bounds=bounds, sitting=story.sitting)
    boxes = [box for box in drawing.label_boxes() if box is not None]
    assert len(boxes) == len(things_of(story.board)) - len(story.board.places)
    assert not any(common(a, b) for a, b in combinations(boxes, 2))
    left, top, wide, high = bounds
    assert all(left <= x and x + w <= left + wide for x, _, w, _ in boxes)
    assert all(top <= y and y + h <= top + high for _, y, _, h in boxes)


def test_the_way_out_has_its_name_beside_the_sheet_where_there_is_little_room() -> None:
    board = Board(Fraction(WIDE), Fraction(DEEP), way_out=at(0, DEEP // 2))
    drawing = BoardDrawing(
        View(board, 0, 0, 0.2), Look(12, 16, paper_width), bounds=(-36.0, -40.0, 320.0, 300.0)
    )
    (box,) = [box for box in drawing.label_boxes() if box is not None]
    assert box[0] + box[2] <= 0


@settings(max_examples=50)
@given(boards)
def test_no_name_leaves_the_picture(board: Board) -> None:
    bounds = (-100.0, -60.0, 440.0, 300.0)
    for chairs in (True, False):
        look = evolve(LOOK, chairs=chairs)
        drawing = BoardDrawing(View(board, 0, 0, 0.2), look, bounds=bounds)
        for box in drawing.label_boxes():
            if box is not None:
                x, y, wide, high = box
                assert x >= -100
                assert x + wide <= 340.001
                assert y >= -60
                assert y + high <= 240.001


def test_the_room_has_its_own_words_on_the_plan() -> None:
    board = Board(
        Fraction(WIDE), Fraction(DEEP), sides=Sides(north="window"), way_out=at(600, DEEP)
    )
    (page,) = floor_plan_pages(Story("T", board=board))
    said = " ".join(text.text for text in page.texts)
    assert "way out (window)" in " ".join(said.split())
    assert "window (north)" in said
    assert "south" in said
    (drawn,) = [block for block in page.blocks if block.tag == "Figure"]
    assert "The way out: window (north)." in drawn.alt


def test_the_plan_says_who_is_past_the_edge() -> None:
    board = Board(Fraction(WIDE), Fraction(DEEP), places=(Place("A", at(500, 400), True, "west"),))
    (page,) = floor_plan_pages(Story("T", board=board))
    assert "A: head 5 cm past the edge." in " ".join(text.text for text in page.texts)
