"""The strips that papers are made of: each covers what it shows, and says it in its place."""

from collections.abc import Callable
from itertools import pairwise

import pytest

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band, Item
from tapscore.exports.paper.drawing import Element, Page, Panel, StraightLine, TextRun, extent
from tapscore.exports.paper.inks import AMBER, CREAM, INK, MUTED, WHITE
from tapscore.exports.paper.pages import paper
from tapscore.exports.paper.part_edges import FINISH, ruled
from tapscore.exports.paper.prop_tags import prop_tag, tag_item
from tapscore.exports.paper.running_pages import (
    heading,
    notice,
    running_pages,
    sheet_of,
    text,
    tick,
    title,
    write_on,
)
from tapscore.exports.paper.sizes import card_sizes
from tapscore.exports.paper.text_flow import Piece, flow
from tests.exports.paper.test_card_layout import check_apart

SIZES = card_sizes(1.0)
LONG = "a look, a breath, a hand that opens, a head that turns to where the bell was"
SIGN = tag_item("bell", "in", 24)
STRIPS: dict[str, Callable[[float], Band]] = {
    "paragraph": lambda wide: bands.paragraph((Piece(LONG),), 24, wide),
    "stack": lambda wide: bands.stack(
        [bands.spaced(bands.paragraph((Piece(LONG),), 24, wide), 5.0)] * 3, 7.0
    ),
    "boxed": lambda wide: bands.boxed((Piece(LONG),), 24, wide, fill=CREAM, edge=AMBER),
    "warn first": lambda wide: bands.warn_first(LONG, "Ann warns first", SIZES, wide),
    "come in": lambda wide: bands.come_in("here is the hill", SIZES, wide),
    "wait": lambda wide: bands.wait_block(12, LONG, SIZES, wide),
    "wait first": lambda wide: bands.wait_block(12, None, SIZES, wide, first=True),
    "items": lambda wide: bands.items_line([Item("one"), SIGN, Item(LONG), SIGN], 24, wide),
    "pill": lambda wide: bands.pill_line("Stop", (Piece(LONG),), 24, wide),
    "no pill": lambda wide: bands.pill_line("", (Piece(LONG),), 24, wide),
    "tag": lambda wide: prop_tag("bell", "in before the words", SIZES, wide, mine=True),
    "others' tag": lambda wide: prop_tag("bell", LONG, SIZES, wide, mine=False),
    "long tag": lambda wide: prop_tag("a bell " * 9, "out", SIZES, wide, mine=True),
    "title": lambda wide: title("The Hill", LONG, wide),
    "heading": lambda wide: heading(LONG, wide),
    "text": lambda wide: text(LONG, wide, bold="Look for "),
    "tick": lambda wide: tick(LONG, wide, bold="bell"),
    "write on": lambda wide: write_on("Next steps", wide, 3),
    "write below": lambda wide: write_on(LONG, wide, 2),
    "notice": lambda wide: notice([text(LONG, wide - 16)] * 2, wide, warn=True),
    "ruled": lambda wide: ruled(FINISH, SIZES, wide),
}


def drawn(band: Band) -> list[Element]:
    return [element for block in band.blocks for element in block.elements]


@pytest.mark.parametrize("name", STRIPS)
@pytest.mark.parametrize("wide", [260.0, 400.0, 700.0])
def test_a_strip_covers_what_it_shows(name: str, wide: float) -> None:
    """Nothing sticks out beyond its width and height but the tails of letters and lines' ends."""
    band = STRIPS[name](wide)
    elements = drawn(band)
    boxes = [extent(element) for element in elements]
    assert min(left for left, *_ in boxes) >= -0.01
    assert max(right for *_, right, _ in boxes) <= wide + 0.7
    assert min(top for _, top, *_ in boxes) >= -0.01
    lowest = max(foot for *_, foot in boxes)
    assert lowest <= band.height + 2.5
    # Nor is there a line's height of nothing below it.
    assert band.height - lowest < 12
    blocks = tuple(block for block in band.at(40, 40) if block.elements)
    check_apart((Page(paper("A3", landscape=True), blocks),))


def lines_of(band: Band) -> list[TextRun]:
    return [element for element in drawn(band) if isinstance(element, TextRun)]


@pytest.mark.parametrize("name", ["boxed", "warn first", "come in", "notice"])
def test_a_box_has_as_much_room_on_every_side(name: str) -> None:
    panel = next(each for each in drawn(STRIPS[name](400)) if isinstance(each, Panel))
    texts = lines_of(STRIPS[name](400))
    left, top, right, foot = extent(panel)
    first, last = texts[0], texts[-1]
    inside = first.x - left
    assert 6 < inside < 14
    assert right - max(text.x + text.width_pt for text in texts) >= inside - 2
    above, below = first.y - 0.668 * first.size_pt - top, foot - last.y
    assert above == pytest.approx(below, abs=0.3 * first.size_pt)
    warns = name in ("warn first", "notice", "boxed")
    assert (panel.edge, panel.fill) == ((AMBER, CREAM) if warns else (INK, None))
    assert bool(panel.dash_pt) == (name in ("warn first", "notice"))


def test_a_stack_leaves_its_gaps_between_and_none_above_or_below() -> None:
    one = bands.spaced(bands.paragraph((Piece("one"),), 20, 300), 5.0)
    three = bands.stack([one, one, one], 7.0)
    assert three.height == pytest.approx(3 * one.height + 2 * 12)
    ys = [text.y for text in lines_of(three)]
    assert ys[0] == lines_of(one)[0].y
    assert [b - a for a, b in pairwise(ys)] == pytest.approx([one.height + 12] * 2)


def test_a_paragraph_s_lines_are_evenly_apart() -> None:
    band = bands.paragraph((Piece(LONG),), 20, 200)
    ys = sorted({text.y for text in lines_of(band)})
    steps = {round(b - a, 3) for a, b in pairwise(ys)}
    (step,) = steps
    assert 20 < step < 26
    assert band.height == pytest.approx(len(ys) * step)


def test_a_wait_says_its_seconds_large_and_what_to_look_for_beside_or_below() -> None:
    for wide, beside in ((600.0, True), (220.0, False)):
        band = bands.wait_block(12.4, "a look", SIZES, wide)
        block = next(each for each in drawn(band) if isinstance(each, Panel))
        seconds, said, *_ = lines_of(band)
        assert (seconds.text, seconds.size_pt, seconds.ink) == ("Wait 12", 48, WHITE)
        assert said.text.startswith("seconds or more")
        right, foot = block.x + block.width_pt, block.y + block.height_pt
        assert (said.x > right) == beside
        assert (said.y > foot) == (not beside)
    first = bands.wait_block(12, None, SIZES, 600, first=True)
    before, seconds, _ = lines_of(first)
    block = next(each for each in drawn(first) if isinstance(each, Panel))
    assert before.text == "First"
    assert before.x + before.width_pt < block.x < seconds.x
    # The words beside it are in the middle of its height.
    assert before.y - 0.334 * 24 == pytest.approx(block.height_pt / 2, abs=4)


def test_items_go_on_in_a_new_line_where_there_is_no_room() -> None:
    wide = bands.items_line([Item("one"), Item("two"), Item("three")], 24, 1000)
    one, two, three = lines_of(wide)
    assert one.y == two.y == three.y
    assert one.x == 0
    for left, right in ((one, two), (two, three)):
        assert right.x - left.x - left.width_pt == pytest.approx(0.62 * 24)
    room = two.x + two.width_pt + 1
    one, two, three = lines_of(
        bands.items_line([Item("one"), Item("two"), Item("three")], 24, room)
    )
    assert one.y == two.y < three.y
    assert three.x == 0
    assert bands.items_line([], 24, 100).height == 0


def test_a_tick_has_its_box_before_its_words_and_lines_to_write_on_begin_behind_them() -> None:
    band = tick("bell", 300, 20)
    (box,) = [each for each in drawn(band) if isinstance(each, Panel)]
    (word,) = lines_of(band)
    assert (box.width_pt, box.height_pt) == (20, 20)
    assert box.x + box.width_pt < word.x < 40
    assert box.y < word.y < box.y + box.height_pt + 3
    label = write_on("Packed by", 300, 3)
    (word,) = lines_of(label)
    rules = [each for each in drawn(label) if isinstance(each, StraightLine)]
    assert [rule.x0 > word.x + word.width_pt for rule in rules] == [True, False, False]
    assert all(rule.x1 == 300 and rule.y0 == rule.y1 and rule.ink == MUTED for rule in rules)
    assert abs(rules[0].y0 - word.y) < 4
    # Room to write by hand: eight millimetres and more, common practice, no source.
    assert all(b.y0 - a.y0 >= 8 * 72 / 25.4 for a, b in pairwise(rules))


def test_a_tag_is_solid_for_whoever_moves_the_prop() -> None:
    def words(*, mine: bool) -> TextRun:
        return lines_of(prop_tag("bell", "in", SIZES, 600, mine=mine))[0]

    assert (words(mine=True).ink, words(mine=True).size_pt) == (WHITE, SIZES.words)
    assert (words(mine=False).ink, words(mine=False).size_pt) == (INK, SIZES.label)
    tag, said = lines_of(prop_tag("bell", "in", SIZES, 600, mine=True))
    assert said.x > tag.x + tag.width_pt
    narrow = lines_of(prop_tag("bell", "in before the words", SIZES, 170, mine=True))
    assert all(text.y > narrow[0].y for text in narrow[1:])
    assert narrow[1].x == 0


def test_pages_run_on_with_their_number_and_title_at_the_foot() -> None:
    size = sheet_of("A4")
    rows = [
        bands.spaced(text(f"row {number}", size.inner_width_pt, 20), 4.0) for number in range(70)
    ]
    pages = running_pages(rows, size, "The Hill")
    assert len(pages) == 3
    for number, page in enumerate(pages, 1):
        foot = [t for b in page.blocks if b.tag == "Artifact" for t in b.elements]
        name, count = [t for t in foot if isinstance(t, TextRun)]
        assert (name.text, count.text) == ("The Hill", f"page {number} of 3")
        assert name.x == pytest.approx(size.margin_pt)
        right = size.width_pt - size.margin_pt
        assert count.x + count.width_pt == pytest.approx(right, abs=0.1)
        (rule,) = [each for each in foot if isinstance(each, StraightLine)]
        assert (rule.x0, rule.x1) == pytest.approx((size.margin_pt, right))
        told = [
            t for b in page.blocks if b.tag == "P" for t in b.elements if isinstance(t, TextRun)
        ]
        assert told[0].y < size.margin_pt + 20
        assert all(t.y < rule.y0 for t in told)
        assert rule.y0 < name.y < size.height_pt - size.margin_pt
    first = flow((Piece("row 0"),), 20, size.inner_width_pt)
    assert pages[0].texts[0].y == pytest.approx(size.margin_pt + first.texts[0].y)


def test_two_columns_stand_side_by_side_and_a_full_single_page_has_no_foot() -> None:
    size = sheet_of("A3", landscape=True)
    wide = (size.inner_width_pt - 22) / 2
    rows = [text(f"row {number}", wide, 20) for number in range(40)]
    (page,) = running_pages(rows, size, "The Hill", columns=2, gap_pt=22)
    xs = sorted({round(t.x, 2) for t in page.texts if t.text.startswith("row")})
    assert xs == pytest.approx([size.margin_pt, size.margin_pt + wide + 22], abs=0.1)
    tops = [min(t.y for t in page.texts if round(t.x, 2) == x) for x in xs]
    assert tops[0] == tops[1]
    one = sheet_of("A4")
    high = text("row", one.inner_width_pt, 20).height + 3
    fits = int(one.inner_height_pt // high)
    for count, pages, foot in ((fits, 1, False), (fits - 3, 1, True), (fits + 1, 2, True)):
        made = running_pages([text("row", one.inner_width_pt, 20)] * count, one, "The Hill")
        assert len(made) == pages
        assert any(t.text.startswith("page") for t in made[0].texts) == foot
