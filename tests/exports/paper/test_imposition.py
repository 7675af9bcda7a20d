from collections import Counter

import pytest
from attrs import evolve
from hypothesis import assume, given
from hypothesis import strategies as st

from tapscore.exports.paper.cue_cards import card_pages, cue_cards
from tapscore.exports.paper.drawing import Page, StraightLine, extent
from tapscore.exports.paper.imposition import back_page, cut_findings, impose, sheet_paper
from tapscore.exports.paper.pages import paper
from tapscore.exports.paper.sizes import card_sizes
from tapscore.rhythm.perform import perform
from tests.exports.paper.paper_samples import sample


def cards(count: int, name: str = "A6") -> tuple[Page, ...]:
    story = evolve(sample(), title="T")
    made = card_pages(story, perform(story), "beat-keeper", paper=name, distance_m=0.5)
    return tuple(made[i % len(made)] for i in range(count))


def in_cell(page: Page, column: int, row: int, across: int, down: int) -> list[str]:
    """Texts whose middle lies in one cell of a sheet."""
    wide, high = page.paper.width_pt / across, page.paper.height_pt / down
    return [
        t.text
        for t in page.texts
        if column * wide <= t.x + t.width_pt / 2 < (column + 1) * wide
        and row * high <= t.y < (row + 1) * high
    ]


@pytest.mark.parametrize("per_sheet", [2, 4])
@pytest.mark.parametrize("count", [1, 2, 3, 4, 5, 7, 8, 9])
def test_cut_and_laid_on_one_another_the_cards_are_in_order(count: int, per_sheet: int) -> None:
    fronts = cards(count)
    sheets = impose(fronts, per_sheet)
    assert len(sheets) == -(-count // per_sheet)
    across = 2 if per_sheet == 4 else 1
    piles = [
        in_cell(page, place % across, place // across, across, 2)
        for place in range(per_sheet)
        for page in sheets
    ]
    assert [pile for pile in piles if pile] == [[t.text for t in c.texts] for c in fronts]


@pytest.mark.parametrize("per_sheet", [1, 2, 4])
def test_a_back_is_behind_every_card_whichever_edge_turns(per_sheet: int) -> None:
    fronts = cards(5)
    back = back_page("The Mill", "leader", fronts[0].paper, card_sizes(0.5))
    sheets = impose(fronts, per_sheet, back)
    assert len(sheets) % 2 == 0
    across, down = {1: (1, 1), 2: (1, 2), 4: (2, 2)}[per_sheet]
    for page in sheets[1::2]:
        cells = [in_cell(page, c, r, across, down) for c in range(across) for r in range(down)]
        assert cells == [["Leader", "The Mill"]] * per_sheet
    on_fronts = Counter(t.text for page in sheets[0::2] for t in page.texts)
    assert on_fronts == Counter(t.text for card in fronts for t in card.texts)


@pytest.mark.parametrize(("name", "per_sheet"), [("A5", 2), ("A6", 2), ("A6", 4)])
def test_cut_marks_lie_on_the_cuts_and_off_the_cards(name: str, per_sheet: int) -> None:
    fronts = cards(per_sheet, name)
    (page,) = impose(fronts, per_sheet)
    wide, high = page.paper.width_pt, page.paper.height_pt
    rules = [e for e in page.blocks[-1].elements if isinstance(e, StraightLine)]
    assert rules
    for rule in rules:
        level = rule.y0 == rule.y1 == pytest.approx(high / 2)
        upright = rule.x0 == rule.x1 == pytest.approx(wide / 2)
        assert level != upright
    for block in page.blocks[:-1]:
        for element in block.elements:
            _, top, _, foot = extent(element)
            assert not top < high / 2 < foot


def test_no_sheet_is_larger_than_office_printers_take() -> None:
    with pytest.raises(ValueError, match="larger than A4"):
        sheet_paper(paper("A5", landscape=True), 4)
    with pytest.raises(ValueError, match="1, 2 or 4"):
        sheet_paper(paper("A6", landscape=True), 3)
    # ISO 216: two A5 make an A4, four A6 make an A4.
    assert sheet_paper(paper("A5", landscape=True), 2).name == "A4"
    assert sheet_paper(paper("A6", landscape=True), 4).name == "A4"


def test_cards_can_be_printed_on_sheets_with_backs() -> None:
    story = sample()
    plain = cue_cards(story, perform(story), "leader")
    cut = cue_cards(story, perform(story), "leader", per_sheet=2, backs=True)
    assert cut.pages == 2 * -(-plain.pages // 2)


@given(
    st.integers(74, 210),
    st.integers(105, 297),
    st.sampled_from([2, 4]),
    st.sampled_from(["A4", "Letter", "297x420"]),
    st.sampled_from([0.0, 5.0, 6.5, 12.0]),
)
def test_cards_of_any_size_lie_on_the_sheet_and_marks_between_them(
    short: int, long: int, per_sheet: int, on: str, margin_mm: float
) -> None:
    size = paper(f"{min(short, long)}x{max(short, long)}", landscape=True, margin_mm=margin_mm)
    back = back_page("The Mill", "leader", size, card_sizes(0.5))
    try:
        front, reverse = impose((back,) * per_sheet, per_sheet, back, on=on)
    except ValueError as error:
        assume("need a sheet larger than" not in str(error))
        raise
    assert front == reverse
    sheet = front.paper
    (words,) = (t for t in back.texts if t.text == "Leader")
    corners = {(t.x - words.x, t.y - words.y) for t in front.texts if t.text == words.text}
    assert len(corners) == per_sheet
    # Turned over whichever edge, each back lies behind a front: the cards are in the middle.
    turned = {(sheet.width_pt - size.width_pt - x, y) for x, y in corners}
    upside_down = {(x, sheet.height_pt - size.height_pt - y) for x, y in corners}
    for backs in (turned, upside_down):
        assert sorted(backs) == [pytest.approx(corner, abs=1e-6) for corner in sorted(corners)]
    rules = [e for e in front.blocks[-1].elements if isinstance(e, StraightLine)]
    assert rules
    for rule in rules:
        left, top, right, foot = extent(rule)
        assert left >= sheet.margin_pt - 0.31
        assert top >= sheet.margin_pt - 0.31
        assert right <= sheet.width_pt - sheet.margin_pt + 0.31
        assert foot <= sheet.height_pt - sheet.margin_pt + 0.31
    for text in front.texts:
        assert not any(
            extent(rule)[0] < text.x + text.width_pt
            and extent(rule)[2] > text.x
            and extent(rule)[1] < extent(text)[3]
            and extent(rule)[3] > extent(text)[1]
            for rule in rules
        )


def test_two_halves_of_a_letter_sheet_fill_it() -> None:
    # ANSI/ASME Y14.1: size A is 8.5 by 11 inches; its half is 5.5 by 8.5.
    size = paper("139.7x215.9", landscape=True)
    sheet = sheet_paper(size, 2, "Letter")
    assert sheet.name == "Letter"
    assert [sheet.width_pt, sheet.height_pt] == pytest.approx([612, 792])
    assert cut_findings(size, 2, "Letter") == ()
    # 140 mm is what people write: half a millimetre over is let pass, three are not.
    assert sheet_paper(paper("140x216", landscape=True), 2, "Letter").name == "Letter"
    with pytest.raises(ValueError, match="larger than Letter"):
        sheet_paper(paper("141x216", landscape=True), 2, "Letter")


def test_paper_left_over_that_marks_cannot_show_is_told() -> None:
    (found,) = cut_findings(paper("140x205", landscape=True), 2)
    assert "2.5 mm at the left and the right" in found.message
    assert "8.5" not in found.message
    # Round halves of standard sheets nothing is to be cut off.
    assert cut_findings(paper("A6", landscape=True), 4) == ()
    assert cut_findings(paper("A5", landscape=True), 2) == ()
