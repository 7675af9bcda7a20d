"""Where things stand on the papers of two small stories, from the figures of ``tests/hill.py``."""

from fractions import Fraction
from itertools import pairwise

import pytest
from attrs import evolve

from tapscore.exports.marks import STEP_SIZES
from tapscore.exports.paper.board_picture import board_picture
from tapscore.exports.paper.cue_cards import card_pages
from tapscore.exports.paper.cue_sheet import sheet_pages
from tapscore.exports.paper.drawing import (
    Element,
    Page,
    Panel,
    Shape,
    StraightLine,
    TaggedBlock,
    TextRun,
    extent,
)
from tapscore.exports.paper.floor_plan import floor_plan_pages
from tapscore.exports.paper.how_items import how_items
from tapscore.exports.paper.inks import INK, MUTED, PLUM, TEAL, WHITE
from tapscore.exports.paper.lane_columns import columns, rows
from tapscore.exports.paper.lane_drawing import draw_marks
from tapscore.exports.paper.mark_key import key_items
from tapscore.exports.paper.part_plan import plan_part
from tapscore.exports.paper.part_sheets import part_pages
from tapscore.exports.paper.prop_tags import others_items
from tapscore.exports.paper.sizes import card_sizes
from tapscore.exports.paper.supply_sheet import supply_pages
from tapscore.model.board import Board, Place, Point, Sides, Strips
from tapscore.model.story import Story
from tapscore.model.strokes import Stroke
from tapscore.rhythm.describe import describe
from tapscore.rhythm.perform import perform
from tests.exports.paper.test_small_papers import ADULT, TOLD, pages_of, told
from tests.hill import HEAD, STORY, lines_of

MM = 72 / 25.4


def which_pages(which: str) -> tuple[Page, ...]:
    story, _, paper = which.partition(" ")
    kind, _, who = paper.partition(" ")
    return pages_of(story, kind, who) if kind in ADULT else pages_of(story, paper)


TAPPED = [w for w in TOLD if " card " in w or (" part " in w and w != "door part dot")]
EVERY = (*TOLD, "hill pocket key")


def drawn(page: Page) -> list[Element]:
    return [element for block in page.blocks for element in block.elements]


def middle(element: Element) -> tuple[float, float]:
    left, top, right, foot = extent(element)
    return (left + right) / 2, (top + foot) / 2


@pytest.mark.parametrize("which", EVERY)
def test_white_words_stand_in_the_middle_of_something_dark(which: str) -> None:
    for page in which_pages(which):
        before: list[Element] = []
        for element in drawn(page):
            if isinstance(element, TextRun) and element.ink == WHITE:
                grounds = [each for each in before if _dark(each) and _holds(each, element)]
                assert grounds, element.text
                left, top, right, foot = extent(grounds[-1])
                size = element.size_pt
                one, other = element.x - left, right - element.x - element.width_pt
                tag = isinstance(grounds[-1], Shape)  # with a hole on its left
                assert one == pytest.approx(other + 0.45 * size * tag, abs=0.03 * size)
                # A capital is .668 em high: its middle is the middle of the ground.
                assert element.y - 0.334 * size == pytest.approx((top + foot) / 2, abs=0.13 * size)
            before.append(element)


def _dark(element: Element) -> bool:
    if isinstance(element, Panel):
        return element.fill in (INK, TEAL)
    return isinstance(element, Shape) and element.ink == INK


def _holds(ground: Element, text: TextRun) -> bool:
    left, top, right, foot = extent(ground)
    across = left < text.x and text.x + text.width_pt < right
    return across and top < text.y - 0.668 * text.size_pt and text.y < foot


@pytest.mark.parametrize("which", TOLD)
def test_it_is_read_from_top_to_bottom(which: str) -> None:
    """Each block begins no higher than the one before, but for what stands beside it."""
    for page in which_pages(which):
        blocks = [b for b in page.blocks if b.tag in ("P", "H1", "H2") and _words(b)]
        for one, two in pairwise(blocks):
            first, then = _words(one)[0], _words(two)[0]
            beside = then.x > first.x + 20 and then.y > first.y - 40
            after_picture = then.x < first.x and then.size_pt > 0
            assert then.y > first.y - 1 or beside or after_picture, (first.text, then.text)


def _words(block: TaggedBlock) -> list[TextRun]:
    return [e for e in block.elements if isinstance(e, TextRun) and e.text.strip()]


@pytest.mark.parametrize("which", TAPPED)
def test_each_tap_stands_under_its_syllable_as_large_as_it_is_loud(which: str) -> None:
    unit = card_sizes(1.0).mark
    assert unit == pytest.approx(0.84 * 40)
    widths = dict(
        zip(("very quiet", "quiet", "medium", "loud", "very loud"), STEP_SIZES, strict=True)
    )
    seen = 0
    for page in which_pages(which):
        for number, block in enumerate(page.blocks):
            if not block.alt.startswith("Taps. "):
                continue
            said = [tap.partition(": ") for tap in block.alt.removeprefix("Taps. ").split("; ")]
            above = [
                t
                for b in page.blocks[:number]
                if b.tag == "P"
                for t in _words(b)
                if t.size_pt == 40
            ]
            for (syllable, _, how), mark in zip(said, block.elements, strict=False):
                if syllable == "a tap by itself":
                    continue
                under = [t for t in above if t.text == syllable][-1]
                # The tap itself is its first outlines: three dots for fingertips, one diamond.
                assert isinstance(mark, Shape)
                outlines = Shape(mark.ops[: 18 if "fingertips" in how else 5], mark.ink)
                left, top, right, _ = extent(outlines)
                assert (left + right) / 2 == pytest.approx(under.x + under.width_pt / 2, abs=0.1)
                assert under.y < top < under.y + 3 * unit
                wide = unit * widths[how.split(", ")[0]]
                assert right - left == pytest.approx(wide, rel=0.02)
                seen += 1
    assert seen


FAR = {  # of 120 by 90 cm: how far A (50, 70) is from the left and from the top, seen from a seat
    "south": (50 / 120, 20 / 90),
    "north": (70 / 120, 70 / 90),
    "east": (70 / 90, 50 / 120),
    "west": (20 / 90, 70 / 120),
    None: (50 / 120, 20 / 90),
}
AT_SEAT = {"south": 0.5, "north": 0.5, "east": 30 / 90, "west": 60 / 90}
"""Where the seat is along the side that is nearest; the east's and west's are moved off it."""


@pytest.mark.parametrize("seat", FAR)
def test_the_picture_of_the_board_from_each_seat(seat: str | None) -> None:
    board = STORY.board
    assert board is not None
    moved = tuple(
        evolve(each, at=Point(each.at.x_mm, Fraction(300)))
        if each.name in ("east", "west")
        else each
        for each in board.seats
    )
    board = evolve(board, seats=moved)
    picture = board_picture(board, spots=["middle"], seat=seat, most=(150, 400), label=14)
    sheet = next(e for e in picture.block.elements if isinstance(e, Panel))
    assert (sheet.fill, sheet.edge) == (WHITE, INK)
    letters = {e.text: e for e in picture.block.elements if isinstance(e, TextRun)}
    across, down = FAR[seat]
    a = letters["A"]
    assert a.x + a.width_pt / 2 == pytest.approx(sheet.x + across * sheet.width_pt)
    assert a.y - 0.34 * 14 == pytest.approx(sheet.y + down * sheet.height_pt)
    (ring, *_) = [e for e in picture.block.elements if isinstance(e, Shape)]
    centre = sheet.x + sheet.width_pt / 2, sheet.y + sheet.height_pt / 2
    assert middle(ring) == pytest.approx(centre, abs=0.01)
    # As wide as it may be, and as much higher as the board is deep, seen from there.
    deep = 120 / 90 if seat in ("east", "west") else 90 / 120
    assert sheet.height_pt / sheet.width_pt == pytest.approx(deep)
    assert picture.width_pt == pytest.approx(150)
    assert picture.height_pt <= 400
    foot = sheet.y + sheet.height_pt
    if seat is None:
        assert "you" not in letters
        assert "your seat" not in picture.block.alt
    else:
        you = letters["you"]
        at = sheet.x + AT_SEAT[seat] * sheet.width_pt
        assert you.x + you.width_pt / 2 == pytest.approx(at, abs=0.01)
        assert you.y > foot
        tab = [e for e in picture.block.elements if isinstance(e, Panel) and e.fill == TEAL][-1]
        assert tab.y == pytest.approx(foot)
        assert tab.y + tab.height_pt <= picture.height_pt
        assert ", your seat nearest." in picture.block.alt
    assert picture.key == "letters are pupils, the ring is middle"


def test_a_tall_picture_is_as_high_as_it_may_be_and_a_tab_stays_on_the_sheet() -> None:
    board = STORY.board
    assert board is not None
    corner = tuple(evolve(s, at=Point(Fraction(0), Fraction(0))) for s in board.seats)
    picture = board_picture(
        evolve(board, seats=corner), spots=[], seat="south", most=(500, 100), label=14
    )
    assert picture.height_pt == pytest.approx(100)
    tab = [e for e in picture.block.elements if isinstance(e, Panel) and e.fill == TEAL][-1]
    sheet = next(e for e in picture.block.elements if isinstance(e, Panel))
    assert tab.x == pytest.approx(sheet.x)
    assert picture.key == "letters are pupils"


PLAN = Story(
    "T",
    board=Board(
        Fraction(1200),
        Fraction(900),
        spots=STORY.board.spots if STORY.board else (),
        seats=STORY.board.seats if STORY.board else (),
        places=(Place("A", Point(Fraction(700), Fraction(350)), True, "west"),),
        way_out=Point(Fraction(300), Fraction(0)),
        strips=Strips(west="free", north="elastic"),
        oldest_years=5,
    ),
    roles=STORY.roles,
)


def figure(pages: tuple[Page, ...]) -> tuple[Element, ...]:
    (found,) = [b for page in pages for b in page.blocks if b.tag == "Figure"]
    return found.elements


def test_the_plan_has_everything_where_it_is() -> None:
    """At one in twenty; a pupil of five is 109.2 cm long, the head 17.9 cm (``test_limits``)."""
    elements = figure(floor_plan_pages(PLAN))
    (sheet,) = [e for e in elements if isinstance(e, Panel) and (e.edge, e.edge_pt) == (INK, 2.0)]
    mm = MM / 20

    def at(x_cm: float, y_cm: float) -> tuple[float, float]:
        return sheet.x + x_cm * 10 * mm, sheet.y + (90 - y_cm) * 10 * mm

    assert (sheet.width_pt, sheet.height_pt) == pytest.approx((1200 * mm, 900 * mm))
    # The head is in the west of the place's own point, its middle half a head from the crown.
    rounds = [e for e in elements if isinstance(e, Panel) and e.edge == MUTED and e.radius_pt > 10]
    head = min(rounds, key=lambda panel: panel.x)
    assert middle(head) == pytest.approx(at(70 - 109.2 / 2 + 17.9 / 2, 35), abs=2)
    # Chairs: 45 cm squares, straight outside the sheet at each seat.
    chairs = [e for e in elements if isinstance(e, Panel) and e.edge == TEAL]
    assert [chair.width_pt for chair in chairs] == pytest.approx([450 * mm] * 4)
    out = 45 / 2
    wanted = [at(60, 90 + out), at(120 + out, 45), at(60, -out), at(-out, 45)]
    for chair, place in zip(chairs, wanted, strict=True):
        assert middle(chair) == pytest.approx(place, abs=3.5)
    # Spots: their outer rings.
    rings = [e for e in elements if isinstance(e, Shape) and e.ink == WHITE]
    centres = [middle(ring) for ring in rings]
    for spot in (at(60, 45), at(60, 10)):
        assert any(centre == pytest.approx(spot, abs=0.1) for centre in centres)
    # The arrow of the way out begins at the edge and points away from the sheet.
    (arrow,) = [e for e in elements if isinstance(e, Shape) and len(e.ops) == 8]
    left, top, right, foot = extent(arrow)
    assert (left + right) / 2 == pytest.approx(at(30, 0)[0], abs=0.1)
    assert top == pytest.approx(at(30, 0)[1], abs=0.5)
    assert foot - top == pytest.approx(2.2 * 19.0, abs=0.5)
    tip = max(arrow.ops, key=lambda op: op[1][1] if op[1] else 0.0)
    assert tip[1] == pytest.approx((at(30, 0)[0], foot), abs=0.1)
    # Strips 3 cm inside: none in the west, broken in the north, whole in south and east.
    strips = [e for e in elements if isinstance(e, StraightLine) and e.ink == MUTED]
    ends = sorted((round(r.x0), round(r.y0), round(r.x1), round(r.y1)) for r in strips)
    south = (*at(3, 3), *at(117, 3))
    assert tuple(map(round, south)) in ends
    assert (*map(round, at(117, 3)), *map(round, at(117, 87))) in ends
    north = [end for end in ends if end[1] == end[3] == round(at(0, 87)[1])]
    assert len(north) == 5
    assert len(ends) == 7


def test_the_plan_s_grid_bar_and_sides() -> None:
    (page,) = floor_plan_pages(
        evolve(PLAN, board=evolve(PLAN.board, sides=Sides(west="door")) if PLAN.board else None)
    )
    elements = drawn(page)
    sheet = next(e for e in elements if isinstance(e, Panel) and (e.edge, e.edge_pt) == (INK, 2.0))
    half_metre = 500 * MM / 20
    grid = [e for e in elements if isinstance(e, StraightLine) and e.thick_pt == 0.5]
    across = sorted(rule.x0 for rule in grid if rule.x0 == rule.x1)
    down = sorted(rule.y0 for rule in grid if rule.y0 == rule.y1)
    for lines in (across, down):
        assert [b - a for a, b in pairwise(lines)] == pytest.approx([half_metre] * (len(lines) - 1))
    # The first square begins at the frame, which the grid fills.
    frame = next(
        e for e in elements if isinstance(e, Panel) and (e.edge, e.edge_pt) == (MUTED, 1.0)
    )
    assert across[0] - frame.x == pytest.approx(half_metre, abs=1)
    assert frame.x + frame.width_pt - across[-1] <= half_metre + 1
    assert down[0] - frame.y == pytest.approx(half_metre, abs=1)
    assert frame.y + frame.height_pt - down[-1] <= half_metre + 1
    (bar,) = [
        e for e in elements if isinstance(e, StraightLine) and e.ink == INK and e.thick_pt == 2.0
    ]
    assert bar.x1 - bar.x0 == pytest.approx(1000 * MM / 20)
    texts = {text.text.strip(): text for text in page.texts}
    assert {"north", "south", "east", "door (west)"} <= set(texts)
    assert texts["door (west)"].x < sheet.x
    assert texts["east"].x > sheet.x + sheet.width_pt
    assert texts["north"].y < sheet.y
    assert texts["south"].y > sheet.y + sheet.height_pt
    for side in ("north", "south"):
        word = texts[side]
        centre = frame.x + frame.width_pt / 2
        assert word.x + word.width_pt / 2 == pytest.approx(centre, abs=0.5)
    # The board is in the middle of the frame.
    assert middle(sheet) == pytest.approx(middle(frame), abs=1.5)


@pytest.mark.parametrize(
    ("size_mm", "scale"),
    [
        ((600, 500), 15),
        ((1600, 1000), 20),
        ((2440, 1220), 20),
        ((3000, 2000), 25),
        ((9000, 400), 40),
    ],
)
def test_the_plan_s_scale_leaves_room_for_adults(size_mm: tuple[int, int], scale: int) -> None:
    """Of 10, 15, 20, 25, 40 ... the largest that leaves 70 cm on each side.

    The sheet lies: 271 mm wide between its margins, and some 145 mm high between title and key.
    So 2000 mm by 1900 mm go in at 1 : 15 (133 by 127 mm), at 1 : 10 they don't (190 mm).
    """
    wide, deep = map(Fraction, size_mm)
    board = Board(wide, deep)
    (page,) = floor_plan_pages(Story("T", board=board))
    said = " ".join(text.text for text in page.texts)
    assert f"Scale 1 : {scale}," in " ".join(said.split())


def test_whoever_steps_in_sees_who_sits_where() -> None:
    """The picture is to scale and in the middle; names stand at their chairs."""
    (page,) = supply_pages(STORY, perform(STORY))
    elements = figure((page,))
    (sheet,) = [e for e in elements if isinstance(e, Panel) and (e.edge, e.edge_pt) == (INK, 2.0)]
    assert sheet.width_pt / sheet.height_pt == pytest.approx(120 / 90)
    assert middle(sheet)[0] == pytest.approx(page.paper.width_pt / 2, abs=0.5)
    names = {e.text: e for e in elements if isinstance(e, TextRun)}
    left, top, right, foot = extent(sheet)
    assert names["ann"].y < top
    assert names["cyd"].y > foot
    assert names["dot"].x + names["dot"].width_pt < left
    assert names["bea"].x > right
    mm = sheet.width_pt / 1200
    a = names["A"]
    assert a.x + a.width_pt / 2 == pytest.approx(sheet.x + 500 * mm)
    assert a.y - 0.34 * 16 == pytest.approx(sheet.y + 200 * mm)
    chairs = [e for e in elements if isinstance(e, Panel) and e.edge == TEAL]
    assert [chair.width_pt for chair in chairs] == pytest.approx([450 * mm] * 4)
    # All is between the margins, and the words have the rest of the side.
    assert min(extent(e)[0] for e in elements) >= page.paper.margin_pt
    assert min(extent(e)[1] for e in elements) >= page.paper.margin_pt


def test_a_swell_s_hairpin_and_a_held_tap_s_tail() -> None:
    """``Who is there``, quiet to loud, the last held for two and a half beats."""
    (page,) = [p for p in pages_of("door", "card", "bea") if "1 of 4" in p.bookmarks]
    (block,) = [b for b in page.blocks if b.alt.startswith("Taps. ")]
    *taps, hairpin = block.elements
    assert len(taps) == 3
    assert isinstance(hairpin, Shape)
    assert hairpin.ink not in (INK, MUTED)
    # It opens: highest at its right end, beneath the taps.
    points = [values for name, values in hairpin.ops if name != "Z"]
    foot = max(y for _, y in points)
    high = {round(x, 2): foot - y for x, y in points if y < foot - 0.01}
    heights = [high[x] for x in sorted(high)]
    assert heights == sorted(heights)
    assert heights[-1] > 1.3 * heights[0]
    assert all(extent(tap)[3] < foot for tap in taps)
    # Only the last tap has a tail, to the right.
    widths = [extent(tap)[2] - extent(tap)[0] for tap in taps]
    assert widths[2] > 2 * widths[1]
    there = next(t for t in page.texts if t.text == "there")
    assert extent(taps[2])[2] > there.x + there.width_pt / 2 + 0.4 * there.size_pt


def test_the_dot_of_a_word_that_goes_on_is_between_its_syllables() -> None:
    (page,) = [p for p in pages_of("door", "card", "bea") if "2 of 4" in p.bookmarks]
    texts = {text.text: text for text in page.texts}
    slow, ly = texts["Slow"], texts["ly"]
    dots = [e for e in drawn(page) if isinstance(e, Shape) and e.ink == MUTED]
    assert any(slow.x + slow.width_pt < middle(dot)[0] < ly.x for dot in dots)


def test_a_tail_ends_before_the_next_syllable_and_goes_to_the_row_s_end_where_none_follows() -> (
    None
):
    """Held for a beat and a half, then a syllable; the last for two and a half beats."""
    story = lines_of('      - {words: one two, lane: "| x _ _ x _ _ _ _ |", by: ann}\n')
    pages = card_pages(story, perform(story), "ann")
    (page,) = [p for p in pages if any(t.text == "two" for t in p.texts)]
    (block,) = [b for b in page.blocks if b.alt.startswith("Taps. ")]
    one, two = block.elements
    words = {text.text: text for text in page.texts}
    assert extent(one)[2] > words["one"].x + words["one"].width_pt / 2 + 10
    assert extent(one)[2] < words["two"].x + words["two"].width_pt / 2
    assert extent(one)[2] < extent(two)[0]
    assert extent(two)[2] > middle(two)[0] > 0


def test_a_bar_s_line_stands_between_the_bars() -> None:
    story = lines_of('      - {words: a b c d, lane: "| x . x . . . . . | x . x . . . . . |"}\n')
    for page in card_pages(story, perform(story), "ann"):
        lines = [
            e
            for e in drawn(page)
            if isinstance(e, StraightLine) and e.x0 == e.x1 and e.ink == MUTED
        ]
        words = {text.text: text for text in page.texts if text.size_pt == 40}
        (bar,) = lines
        assert words["b"].x + words["b"].width_pt < bar.x0 < words["c"].x


SIGNS = {
    "slowing": lambda: lines_of(
        '      - {words: a b c, lane: "| x . x . x . . . |", tempo: 60 to 40, by: ann}\n'
    ),
    "quickening": lambda: lines_of(
        '      - {words: a b c, lane: "| x . x . x . . . |", tempo: 40 to 60, by: ann}\n'
    ),
}


@pytest.mark.parametrize("word", SIGNS)
def test_ticks_of_a_changing_tempo_come_closer_or_part(word: str) -> None:
    """Under the taps, in the strip above them and in the key of the first sheet alike."""
    story = SIGNS[word]()
    seen = 0
    for make in (card_pages, part_pages):
        for page in make(story, perform(story), "ann"):
            for element in drawn(page):
                if isinstance(element, Shape) and element.ink == PLUM:
                    starts = sorted(values[0] for name, values in element.ops if name == "M")
                    gaps = [b - a for a, b in pairwise(starts)]
                    assert len(gaps) >= 2
                    slower = gaps[-1] > gaps[0]
                    assert slower == (word == "slowing")
                    seen += 1
    assert seen >= 5


def test_signs_stay_in_their_own_line() -> None:
    """Marks, rings, hairpins and tags beside words are no higher than the line of words."""
    story = lines_of(
        '      - {words: a b c, lane: "| X . x . x _ _ _ |", loudness: quiet to loud,'
        " tempo: 60 to 40, stroke: knuckles, by: ann, prop in: bell}\n",
        HEAD.replace("by: dot", "by: bea"),
    )
    performance = perform(story)
    (segment,) = performance.lines
    taps = segment.taps
    made = [
        *how_items(describe(segment), segment, taps, 24),
        *key_items([(segment, taps)], 24),
        *others_items(story, (), segment.line.props_in if segment.line else (), 24),
    ]
    signs = [item for item in made if item.sign]
    assert {item.text for item in signs} >= {"knuckles", "slowing", "middle", "quiet to loud", "in"}
    for item in signs:
        boxes = [extent(element) for element in item.sign]
        assert min(left for left, *_ in boxes) >= -2, item.text
        assert min(top for _, top, *_ in boxes) >= -2, item.text
        assert max(foot for *_, foot in boxes) <= 24 * 1.3, item.text
        # As wide as is kept free for it, and not much narrower.
        room = item.signs * 24 * 1.12
        right = max(right for *_, right, _ in boxes)
        assert 0.3 * room < right <= room + 3, item.text


@pytest.mark.parametrize("which", TAPPED)
def test_words_that_are_tapped_are_bold(which: str) -> None:
    for page in which_pages(which):
        told = [b for b in page.blocks if b.alt or _words(b)]
        above = [one for one, two in pairwise(told) if two.alt.startswith("Taps. ")]
        assert all(text.bold and text.size_pt == 40 for block in above for text in _words(block))


@pytest.mark.parametrize(("busy", "size"), [(4, "A4"), (5, "A4"), (6, "A3"), (7, "A3")])
def test_more_than_six_small_sheets_are_a_pile(busy: int, size: str) -> None:
    """A wait after each line, and so much to do in it that a sheet holds one; the front alone."""
    do = "lift the silk as high as it goes and let it come down slowly over the board " * 4
    line = f'      - {{words: one two three, lane: "| x . x . x . . . |", do: {do}}}\n'
    story = lines_of((line + "      - {wait: 20, look for: a look}\n") * busy)
    small = plan_part(story, perform(story), "ann", paper="A4")
    assert len(small.plan.spans) == busy + 1
    assert plan_part(story, perform(story), "ann").paper.name == size


@pytest.mark.parametrize("mark", ["x", "X"])
@pytest.mark.parametrize("loudness", ["very quiet", "medium", "very loud"])
@pytest.mark.parametrize("stroke", [stroke.word for stroke in Stroke])
def test_a_row_of_marks_is_as_high_as_its_marks(mark: str, loudness: str, stroke: str) -> None:
    """From the top of its accents to the foot of its largest mark, a few points about them."""
    story = lines_of(
        f'      - {{words: a b, lane: "| {mark} . x . . . . . |", loudness: {loudness},'
        f" stroke: {stroke}, by: ann}}\n"
    )
    (segment,) = perform(story).lines
    taps = {tap.event: tap for tap in segment.taps}
    (row,) = rows(columns(segment, lambda _: True), lambda _: 30.0, size_pt=40, width=900)
    made = draw_marks(row, None, segment, taps, 33.6, alt="")
    boxes = [extent(e) for block in made.blocks for e in block.elements if isinstance(e, Shape)]
    assert len(boxes) == 2
    top, foot = min(top for _, top, *_ in boxes), max(foot for *_, foot in boxes)
    assert -0.5 < top < 16
    assert foot - 0.5 < made.height < foot + 12
    middles = [(a + b) / 2 for _, a, _, b in boxes]
    assert mark == "X" or abs(middles[0] - middles[1]) < 0.1


def test_any_board_has_a_plan_however_large() -> None:
    """150 m need 1 : 800 or so; a step further, half as much again, would be too small to use."""
    (page,) = floor_plan_pages(Story("T", board=Board(Fraction(150_000), Fraction(60_000))))
    said = " ".join(" ".join(text.text for text in page.texts).split())
    scale = int(said.partition("Scale 1 : ")[2].partition(",")[0])
    assert 151_400 / 271 < scale < 1.7 * 151_400 / 271
    assert scale % 50 == 0


def plum(pages: tuple[Page, ...]) -> list[list[float]]:
    """How high each purple sign under words is at the left and at the right."""
    found = [
        e
        for page in pages
        for block in page.blocks
        if block.alt.partition("Taps.")[1]
        for e in block.elements
        if isinstance(e, Shape) and e.ink == PLUM
    ]
    points = [
        [xy for name, values in each.ops if name != "Z" for xy in [values[-2:]]] for each in found
    ]
    return [
        [
            max(y for at, y in each if at == end) - min(y for at, y in each if at == end)
            for end in (min(x for x, _ in each), max(x for x, _ in each))
        ]
        for each in points
    ]


def test_one_tap_of_a_swell_has_no_hairpin_and_a_line_of_two_adults_has_the_whole_one() -> None:
    """A bar of one thickness stood under the whole line, which said that nothing swells."""
    lane = "'| x . x . x . x(ann, bea) . |'"
    more = f"by: ann, loudness: quiet to loud, lane: {lane}}}"
    made = lines_of(f"      - {{words: Up and up now, {more}\n")
    performance = perform(made)
    assert plum(part_pages(made, performance, "bea")) == []
    keys = [told(part_pages(made, performance, role)) for role in ("ann", "bea")]
    assert ["grows louder or softer" in key for key in keys] == [True, False]
    for pages in (part_pages(made, performance, "ann"), sheet_pages(made, performance)):
        ((left, right),) = plum(pages)
        assert 0 < 2 * left < right
