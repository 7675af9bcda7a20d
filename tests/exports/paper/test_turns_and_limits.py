"""Turns of cards and changes of sheets with the seconds there are for them; what paper allows.

The hill's and the door's seconds are worked out in ``test_small_papers``; a tap takes half a beat,
a held one all of its own, and whoever handles a prop or does something has her hands full to the
line's end.
"""

import pytest

from tapscore.exports.paper.briefing import briefing_pages
from tapscore.exports.paper.cue_cards import card_pages, cue_cards
from tapscore.exports.paper.drawing import Page
from tapscore.exports.paper.imposition import cut_findings, grid
from tapscore.exports.paper.pages import Paper, paper, paper_name, parts, sides_mm
from tapscore.exports.paper.part_pieces import part_of
from tapscore.exports.paper.part_plan import plan_part
from tapscore.exports.paper.print_findings import margin_findings
from tapscore.exports.paper.running_pages import sheet_of
from tapscore.exports.paper.sizes import card_sizes
from tapscore.exports.paper.steps import last_words
from tapscore.exports.paper.turn_findings import card_findings, card_turns, sheet_findings
from tapscore.model.finding import Severity
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tests.exports.paper.test_laid_out import YARD
from tests.hill import DOOR, HEAD, STORY, line, lines_of

TURNS: dict[tuple[Story, str], list[tuple[str, str, float]]] = {
    (STORY, "ann"): [("1 of 4", "up we go", 120)],
    (STORY, "bea"): [("2 of 4", "up we go", 120.5)],
    (STORY, "cyd"): [
        *[("2 of 4", "up we go", 0), ("up we go", "3 of 4", 13.5), ("3 of 4", "up we go", 0)]
    ],
    (STORY, "dot"): [
        *[("2 of 4", "up we go", 120), ("up we go", "3 of 4", 13.5)],
        *[("3 of 4", "up we go", 0), ("up we go", "4 of 4", 9.5)],
    ],
    (DOOR, "bea"): [
        *[("1 of 4", "knock", 0), ("knock", "2 of 4", 7.5)],
        *[("2 of 4", "knock", 84), ("knock", "4 of 4", 4.5)],
    ],
    (DOOR, "cyd"): [
        *[("1 of 4", "knock", 4), ("knock", "2 of 4", 7.5), ("2 of 4", "3 of 4", 2.1)],
        *[("3 of 4", "knock", 82.5), ("knock", "4 of 4", 2.5)],
    ],
    (DOOR, "dot"): [("2 of 4", "3 of 4", 0)],
}


def laid_of(story: Story, role: str) -> dict[str, tuple[Page, ...]]:
    """Sides of a role's cards by their label, which has a capital on paper."""
    laid: dict[str, list[Page]] = {}
    for page in card_pages(story, perform(story), role):
        for mark in page.bookmarks or ("",):
            name = mark or next(reversed(laid))
            small = name[:1].lower() + name[1:]
            laid.setdefault(small, []).append(page)
    return {name: tuple(pages) for name, pages in laid.items()}


@pytest.mark.parametrize(("story", "role"), TURNS, ids=lambda each: getattr(each, "title", each))
def test_every_turn_of_a_role_s_cards(story: Story, role: str) -> None:
    wanted = TURNS[story, role]
    laid = laid_of(story, role)
    turns = card_turns(story, perform(story), role, laid)
    assert [turn.words for turn in turns] == [f"{one} to {two}" for one, two, _ in wanted]
    seconds = [free for *_, free in wanted]
    assert [turn.free_sec for turn in turns] == pytest.approx(seconds, abs=0.02)
    busy = [(f"{one} to {two}", free) for one, two, free in wanted if free < 4]
    found = card_findings(story, perform(story), role, laid)
    assert len(found) == bool(busy)
    for each in found:
        assert (each.code, each.severity) == ("print-busy-turn", Severity.LOOK_AGAIN)
        assert each.path == ("roles", role)
        about = each.about
        assert (about["busy"], about["turns"], about["more"]) == (len(busy), len(wanted), 0)
        assert about["named"] == tuple(f"{turn} ({free:.1f} s)" for turn, free in busy)


def test_six_turns_are_named_and_the_others_counted() -> None:
    """Ann taps, speaks or offers in every part of the yard: nine of ten turns are busy."""
    (found,) = card_findings(YARD, perform(YARD), "ann", laid_of(YARD, "ann"))
    assert (found.about["busy"], found.about["turns"], found.about["more"]) == (9, 10, 3)
    named = found.about["named"]
    assert isinstance(named, tuple)
    assert len(named) == 6
    assert named[0] == "1 of 6 to round the yard (0.0 s)"


def test_a_card_of_two_sides_is_turned_within_each_time() -> None:
    turns = card_turns(YARD, perform(YARD), "dot", laid_of(YARD, "dot"))
    within = [turn.free_sec for turn in turns if turn.words == "within round the yard"]
    assert within == [0, 0]


def test_the_card_of_an_offering_is_turned_like_any_other() -> None:
    """Dot offers the bell for two turns of 30 s after a line of others, and then taps at once."""
    story = lines_of(
        "      - refrain: home\n      - offer: bell\n" + line("Off we go", "by: dot"),
        HEAD + "refrains:\n  home:\n" + line("Row home", "by: everyone"),
    )
    turns = card_turns(story, perform(story), "dot", laid_of(story, "dot"))
    assert [turn.words for turn in turns] == ["home to after home", "after home to 1 of 1"]
    assert [turn.free_sec for turn in turns] == pytest.approx([2.5, 0])
    (found,) = card_findings(story, perform(story), "dot", laid_of(story, "dot"))
    assert found.about["busy"] == 2


@pytest.mark.parametrize(("wait_sec", "poor"), [(3, 1), (4, 0)])
def test_the_best_moment_to_change_is_the_end_of_a_wait_that_is_long_enough(
    wait_sec: int, poor: int
) -> None:
    """Ann's hands are free for a line of bea's and the wait, 4 s and more either way."""
    story = lines_of(
        line("Out we go", "by: ann")
        + line("Off we go", "by: bea, says: bea")
        + f"      - {{wait: {wait_sec}}}\n"
        + line("On we go", "by: ann")
    )
    part = part_of(story, perform(story), "ann")
    assert [border.busy for border in part.borders] == [False] * 3
    assert part.borders[2].poor == poor


def test_a_long_rest_is_one_row_but_not_over_a_section_s_end_or_a_wait() -> None:
    rests, last = line("Off we go", "by: bea") * 2, line("On we go", "by: cyd")
    sizes = []
    for between in ("", "  - section: Two\n    lines:\n", "      - {wait: 10}\n"):
        story = lines_of(rests + between + rests + last)
        part = part_of(story, perform(story), "cyd")
        sizes.append([len(piece.steps) for piece in part.pieces])
    assert sizes == [[4, 1], [1] * 5, [1] * 5]


LIFT = "lift the silk as high as it goes and let it come down slowly over the board and everybody"
BUSY = lines_of(
    line("one two three four", f"by: ann, do: {LIFT} and the hill") * 4
    + "      - {wait: 3}\n"
    + line("five six", "by: bea")
    + line("one two three", "by: ann")
)
ALWAYS = ("wait:5", "share", "turner:bea, cyd or dot")


def test_busy_changes_are_told_with_their_line_and_what_would_help() -> None:
    """On A4 three lines fill a sheet each and follow at once; on A3 two go on a sheet."""
    for size, lines, ways in (("", (3,), "metres:0.75"), ("A4", (2, 3, 4), "metres:0.5")):
        told = perform(BUSY)
        sheets = plan_part(BUSY, told, "ann", paper=size)
        found = sheet_findings(BUSY, told, sheets, distance_m=1.0, margin_mm=None)
        assert sheets.paper.name == (size or "A3")
        for each, number in zip(found, lines, strict=True):
            assert (each.code, each.severity) == ("print-busy-change", Severity.LOOK_AGAIN)
            assert each.path == ("story", 0, "lines", number - 1)
            about = each.about.as_plain()
            assert about["line"] == {"number": number}
            assert (about["role"], about["free_sec"], about["needed_sec"]) == ("ann", 0, 4)
            assert about["ways"] == [ways, *ALWAYS]


def test_margins_at_their_limits() -> None:
    """What printers leave blank is 5 mm; 40 mm are left between margins, 70 mm for words."""
    assert [
        f.about["reach_mm"] for f in margin_findings(paper("A5", landscape=True, margin_mm=4.9))
    ] == [5.0]
    for margin in (5.0, 4.995):
        assert margin_findings(paper("A5", landscape=True, margin_mm=margin)) == ()
    assert paper("A5", landscape=False, margin_mm=0).margin_pt == 0
    assert paper("A5", landscape=False, margin_mm=54).inner_width_pt == pytest.approx(
        40 * 72 / 25.4
    )
    for margin in (-0.1, 54.1):
        with pytest.raises(ValueError, match=r"choose 0 to 54 mm"):
            paper("A5", landscape=False, margin_mm=margin)
    assert sheet_of("A5", 39).inner_width_pt == pytest.approx(70 * 72 / 25.4)
    assert sheet_of("A4").margin_mm == pytest.approx(13)
    assert sheet_of("A5", 39, landscape=True).inner_height_pt == pytest.approx(70 * 72 / 25.4)
    for landscape in (False, True):
        with pytest.raises(ValueError, match="too small for pages of words"):
            sheet_of("A5", 39.1, landscape=landscape)


def test_paper_at_its_limits() -> None:
    """A7 to A3 (ISO 216); Letter is 8.5 by 11 inches."""
    for known, sides in (("74x105", "74 x 105 mm"), ("297 x 420", "A3"), ("279.4*215.9", "Letter")):
        assert paper_name(known) == sides
    for small in ("73.9x105", "74x104.9", "105x73"):
        with pytest.raises(ValueError, match=r"too small: choose 74 x 105 mm \(A7\)"):
            paper_name(small)
    for large in ("297.1x420", "297x420.1"):
        with pytest.raises(ValueError, match=r"too large: choose 297 x 420 mm \(A3\)"):
            paper_name(large)
    assert sides_mm("180 x 120") == (120, 180)
    lying = paper("120x180", landscape=True)
    assert (lying.width_pt, lying.height_pt) == pytest.approx((180 * 72 / 25.4, 120 * 72 / 25.4))
    assert lying.margin_mm == pytest.approx(6.5)
    assert parts("A3", 4) == ("A5", 4)
    assert parts("A4", 2) == ("A5", 2)
    assert parts("A4", 1) == ("A4", 1)
    assert parts("A5", 2) == ("A6", 2)  # 105 x 148 mm, more than the least of 100 x 135
    assert parts("A6", 2) == ("A6", 1)
    assert parts("Letter", 2) == ("139.7 x 215.9 mm", 2)
    assert parts("200 x 270", 4) == ("100 x 135 mm", 4)
    assert parts("199 x 270", 4) == ("135 x 199 mm", 2)  # then 99.5 x 135: too small
    assert parts("200 x 269", 4) == ("134.5 x 200 mm", 2)


@pytest.mark.parametrize(("distance", "words", "action", "number", "label"), [
    (1.0, 40, 48, 30, 24),
    (2.0, 80, 96, 60, 48),
    (0.5, 20, 24, 16, 16),
    (0.3, 16, 16, 16, 16),
    (3.0, 120, 144, 90, 72),
])  # fmt: skip
def test_sizes_by_distance(
    distance: float, words: float, action: float, number: float, label: float
) -> None:
    sizes = card_sizes(distance)
    assert (sizes.words, sizes.action, sizes.number) == pytest.approx((words, action, number))
    assert (sizes.label, sizes.mark) == pytest.approx((label, 0.84 * words))
    assert sizes.smallest == pytest.approx(min(label, number, words))
    for beyond in (0.29, 3.01):
        with pytest.raises(ValueError, match=r"0.3 to 3 m"):
            card_sizes(beyond)


def test_cards_that_go_on_for_many_sides_are_told_of() -> None:
    """More than three sides to a card: at three metres on A5 words of 120 pt have no room."""
    with pytest.raises(ValueError, match="too small for cards to be read at 3 m"):
        cue_cards(DOOR, perform(DOOR), "bea", distance_m=3.0)
    with pytest.raises(ValueError, match="cards go 1, 2 or 4 on a sheet, not 3"):
        cue_cards(DOOR, perform(DOOR), "bea", per_sheet=3)
    made = cue_cards(DOOR, perform(DOOR), "bea", backs=True)
    assert made.pages == 2 * len(card_pages(DOOR, perform(DOOR), "bea"))
    assert [f.code for f in made.findings] == ["print-busy-turn"]


def _card(width_mm: float, height_mm: float) -> Paper:
    return Paper("own", width_mm * 72 / 25.4, height_mm * 72 / 25.4, 10)


def test_how_cards_lie_on_a_sheet() -> None:
    for size, per_sheet, name, shape, lies in (
        ("A5", 2, "A4", (1, 2), False),
        ("A6", 2, "A5", (1, 2), False),
        ("A6", 4, "A4", (2, 2), True),
        ("A4", 1, "A4", (1, 1), True),
    ):
        laid = grid(paper(size, landscape=True), per_sheet)
        assert (laid.sheet.name, (laid.across, laid.down)) == (name, shape)
        assert (laid.sheet.width_pt > laid.sheet.height_pt) == lies
        assert (laid.left_pt, laid.top_pt) == pytest.approx((0, 0), abs=0.01)
    # 190 x 140 mm: two above one another on A4 standing, 10 mm at each side, 8.5 mm above and below
    laid = grid(_card(190, 140), 2)
    assert (laid.across, laid.down, laid.sheet.width_pt < laid.sheet.height_pt) == (1, 2, True)
    assert (laid.left_pt, laid.top_pt) == pytest.approx((10 * 72 / 25.4, 8.5 * 72 / 25.4))
    # 140 x 200: side by side on A4 lying; a millimetre over all is let be, more isn't
    assert (grid(_card(140, 200), 2).across, grid(_card(149, 200), 2).across) == (2, 2)
    assert grid(_card(100, 70), 4).down == 2
    assert grid(_card(205, 74), 4).down == 4
    for over in (_card(149.2, 209), _card(150, 211.2)):
        with pytest.raises(ValueError, match="2 cards of own need a sheet larger than A4"):
            grid(over, 2)


@pytest.mark.parametrize(
    ("width", "height", "side", "end"),
    [
        (190, 140, 0, 0),
        (206, 140, 2, 0),
        (190, 146, 0, 2.5),
        (206, 146, 2, 2.5),
        (210, 148.5, 0, 0),
    ],
)
def test_what_no_mark_can_show_is_told(
    width: float, height: float, side: float, end: float
) -> None:
    """Marks begin at the margin (here 10 pt, 3.5 mm): strips narrower than it have none."""
    found = cut_findings(_card(width, height), 2)
    assert len(found) == bool(side or end)
    for each in found:
        assert (each.about["side_mm"], each.about["end_mm"]) == pytest.approx((side, end))
        assert each.about["both"] == ("yes" if side and end else "no")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("Here is the hill.", "Here is the hill"),
        ("and out comes the silk!", "out comes the silk"),
        ("Hush…", "Hush"),
        ("", ""),
        (
            "aaaaaaaaaaaa bbbbbbbbbbbb cccccccccccc dddddddddddd",
            "bbbbbbbbbbbb cccccccccccc dddddddddddd",
        ),
        (f"a {'b' * 50}", "b" * 40),
        (f"{'a' * 20} {'b' * 19}", f"{'a' * 20} {'b' * 19}"),
        (f"{'a' * 20} {'b' * 20}", "b" * 20),
    ],
)
def test_the_words_to_listen_for(text: str, words: str) -> None:
    """Four words at most, and forty letters."""
    assert last_words(text) == words


def test_a_briefing_on_small_paper_is_refused() -> None:
    with pytest.raises(ValueError, match="too small for pages of words"):
        briefing_pages(STORY, perform(STORY), paper="74x105")
