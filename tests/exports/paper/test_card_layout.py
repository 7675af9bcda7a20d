import re
from fractions import Fraction

import pytest
from attrs import evolve
from hypothesis import given, settings

from tapscore.exports.paper.cards import role_cards
from tapscore.exports.paper.cue_cards import card_pages
from tapscore.exports.paper.cue_sheet import sheet_pages
from tapscore.exports.paper.drawing import Page, Panel, Shape, StraightLine, TextRun, extent
from tapscore.exports.paper.inks import WHITE
from tapscore.exports.paper.sizes import SHEET_SIZES, card_sizes
from tapscore.model.manner import PartialManner
from tapscore.model.story import Line, Role, Section, Story, Wait
from tapscore.resources import demo_stories
from tapscore.rhythm.perform import perform
from tapscore.rhythm.role_view import LinePart, PausePart
from tapscore.storyfile.read import read_text
from tests.exports.paper.letters import CAPITAL_EM
from tests.exports.paper.paper_samples import BOARD, lane, sample
from tests.exports.paper.paper_strategies import Format, formats, stories


def words_on(pages: tuple[Page, ...]) -> str:
    return " ".join(text.text for page in pages for text in page.texts)


def tap_names(pages: tuple[Page, ...]) -> int:
    """How many taps the pictures of taps speak of."""
    alts = [b.alt for page in pages for b in page.blocks if b.alt.startswith("Taps. ")]
    return sum(len(alt.removeprefix("Taps. ").split("; ")) for alt in alts)


def check_margins(pages: tuple[Page, ...]) -> None:
    for page in pages:
        paper = page.paper
        for block in page.blocks:
            for element in block.elements:
                left, top, right, foot = extent(element)
                if isinstance(element, Shape) and element.ink == WHITE:
                    continue
                if isinstance(element, TextRun):
                    top = element.y - CAPITAL_EM * element.size_pt
                assert left >= paper.margin_pt - 0.1
                assert top >= paper.margin_pt - 0.1
                assert right <= paper.width_pt - paper.margin_pt + 0.1
                assert foot <= paper.height_pt - paper.margin_pt + 0.1


def check_apart(pages: tuple[Page, ...], *, lines: bool = False) -> None:
    """No words lie over others, capitals and tails included; nor over lines, if these count."""
    for page in pages:
        texts = sorted((t for t in page.texts if t.text.strip()), key=lambda text: text.x)
        for at, one in enumerate(texts):
            here = _letters_box(one)
            for other in texts[at + 1 :]:
                if other.x >= here[2]:
                    break
                assert not _over(here, _letters_box(other)), (one.text, other.text)
        rules = (
            [e for b in page.blocks for e in b.elements if isinstance(e, StraightLine)]
            if lines
            else []
        )
        for rule in rules:
            across = sorted((rule.x0, rule.x1)), sorted((rule.y0, rule.y1))
            half = rule.thick_pt / 2
            line = (
                across[0][0] - half,
                across[1][0] - half,
                across[0][1] + half,
                across[1][1] + half,
            )
            for text in texts:
                assert not _over(_letters_box(text), line), text.text


def _letters_box(text: TextRun) -> tuple[float, float, float, float]:
    top, foot = text.y - CAPITAL_EM * text.size_pt, text.y + 0.2 * text.size_pt
    return text.x, top, text.x + text.width_pt, foot


def _over(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    across = min(one[2], other[2]) - max(one[0], other[0])
    down = min(one[3], other[3]) - max(one[1], other[1])
    return across > 0.6 and down > 0.6


@settings(max_examples=40, deadline=None)
@given(stories, formats)
def test_nothing_is_too_small_or_over_the_margins_or_lost(story: Story, wanted: Format) -> None:
    performance = perform(story)
    smallest = card_sizes(wanted["distance_m"]).smallest
    for role in performance.roles:
        pages = card_pages(story, performance, role, **wanted)
        check_margins(pages)
        check_apart(pages)
        assert all(text.size_pt >= smallest for page in pages for text in page.texts)
        cards = role_cards(story, performance, role)
        assert tap_names(pages) == sum(len(card.taps) for card in cards)


@settings(max_examples=25, deadline=None)
@given(stories)
def test_the_sheet_keeps_its_margins_and_sizes(story: Story) -> None:
    pages = sheet_pages(story, perform(story))
    check_margins(pages)
    assert all(t.size_pt >= SHEET_SIZES.smallest for page in pages for t in page.texts)


def test_rows_of_text_do_not_lie_on_one_another() -> None:
    story = sample()
    performance = perform(story)
    for role in performance.roles:
        for page in card_pages(story, performance, role):
            boxes = [
                (extent(element), element.text)
                for block in page.blocks
                if block.tag != "Figure"
                for element in block.elements
                if isinstance(element, TextRun)
            ]
            for i, (one, text) in enumerate(boxes):
                for other, more in boxes[i + 1 :]:
                    apart = (
                        one[2] <= other[0] + 0.5
                        or other[2] <= one[0] + 0.5
                        or one[3] <= other[1] + 2.5
                        or other[3] <= one[1] + 2.5
                    )
                    assert apart, (page.bookmarks, text, more)


def _one_line(line: Line, role: str = "leader") -> tuple[Page, ...]:
    story = Story("Test", roles=(Role(role),), sections=(Section("One", (line,)),))
    return card_pages(story, perform(story), role)


def test_a_long_line_goes_on_to_further_cards() -> None:
    words = " ".join(["round and round the"] * 11)[:200]
    steps = " ".join(["x"] * 8)
    pages = _one_line(Line(words, lane("| " + f"{steps} | " * 6)))
    assert len(pages) > 1
    for word in words.split():
        assert word in words_on(pages)
    assert words_on(pages).count("round") == words.count("round")
    assert all("continued" in words_on((page,)) for page in pages[1:])
    assert all("next card" in words_on((page,)) for page in pages[:-1])


def test_long_texts_of_every_kind_are_printed_whole() -> None:
    many = " ".join(f"word{i}" for i in range(150))
    line = Line("Hush", lane("| x . . . |"), warn_first=many, do=many, look_for=many)
    pages = _one_line(line)
    for i in range(150):
        assert sum(t.text.split().count(f"word{i}") for p in pages for t in p.texts) == 3
    check_margins(pages)


def test_a_long_look_for_of_a_wait_is_printed_whole() -> None:
    many = " ".join(f"word{i}" for i in range(200))
    story = Story(
        "Test",
        roles=(Role("leader"),),
        sections=(Section("One", (Line("Hush", lane("| x . . . |")), Wait(Fraction(10), many))),),
    )
    pages = card_pages(story, perform(story), "leader")
    said = words_on(pages).split()
    assert all(f"word{i}" in said for i in range(200))
    check_margins(pages)


def test_twenty_roles_no_board_no_props() -> None:
    roles = tuple(Role(f"tapper {i}") for i in range(1, 21))
    line = Line("Tap to-ge-ther", lane("| x x x x |"), PartialManner(by=("everyone",)))
    story = Story("Many", roles=roles, sections=(Section("One", (line,)),))
    performance = perform(story)
    for role in performance.roles:
        assert tap_names(card_pages(story, performance, role)) == 4
    (page,) = sheet_pages(story, performance)
    assert "everyone" in words_on((page,))


def test_an_idle_role_gets_a_card_that_says_so() -> None:
    story = evolve(sample(), roles=(*sample().roles, Role("observer")))
    story = evolve(story, refrains=(), sections=story.sections[:1])
    (page,) = card_pages(story, perform(story), "observer")
    assert "Nothing to tap" in words_on((page,))


def test_the_board_is_shown_only_if_described() -> None:
    story = sample()
    with_board = card_pages(story, perform(story), "second tapper")
    bare = evolve(story, board=None)
    without = card_pages(bare, perform(bare), "second tapper")
    pictures = [b for page in with_board for b in page.blocks if b.alt.startswith("The board")]
    assert pictures
    assert all("your seat nearest" in b.alt and "Places: A, B." in b.alt for b in pictures)
    assert not [b for page in without for b in page.blocks if b.alt.startswith("The board")]


def test_the_board_picture_is_turned_to_the_seat() -> None:
    # The west seat is at (0, 45 cm): seen from there, place A (x 32 cm) is nearer than B
    # (x 88 cm), so that its letter stands lower.
    page = card_pages(sample(), perform(sample()), "second tapper")[0]
    heights = {t.text: t.y for t in page.texts if t.text in ("A", "B")}
    assert heights["A"] > heights["B"]
    assert BOARD.seat("west") is not None


def test_too_small_a_paper_is_refused_not_shrunk_to() -> None:
    story = sample()
    with pytest.raises(ValueError, match="A6 is too small"):
        card_pages(story, perform(story), "leader", paper="A6", distance_m=2.0)


def test_a_wait_is_a_solid_block_with_its_seconds() -> None:
    pages = card_pages(sample(), perform(sample()), "beat-keeper")
    (page,) = [p for p in pages if "Wait 15" in words_on((p,))]
    (text,) = [t for t in page.texts if t.text == "Wait 15"]
    assert text.size_pt == 48
    blocks = [e for b in page.blocks for e in b.elements if isinstance(e, Panel) and e.fill]
    assert any(p.x < text.x and p.x + p.width_pt > text.x + text.width_pt for p in blocks)


def test_marks_grow_with_loudness_along_a_swell() -> None:
    pages = card_pages(sample(), perform(sample()), "beat-keeper")
    (block,) = [b for p in pages for b in p.blocks if "wave!: loud" in b.alt]
    # A slab is the first outline of its shape; the wedge of an accent and a tail follow it.
    shapes = [Shape(e.ops[:10], e.ink) for e in block.elements if isinstance(e, Shape)]
    slabs = [extent(s) for s in shapes if s.ops[9:] == (("Z", ()),)]
    slabs = [slab for slab in slabs if slab[3] - slab[1] > 8]
    widths = [right - left for left, _, right, _ in slabs]
    assert len(widths) == 4
    assert widths == sorted(widths)
    assert widths[-1] > 1.7 * widths[0]


def test_cards_share_a_side_where_all_fits_at_full_size() -> None:
    demo = next(path for path in demo_stories() if path.stem == "the-lantern-boat")
    story = read_text(demo.read_text(encoding="utf-8")).story
    assert story is not None
    performance = perform(story)
    cards = role_cards(story, performance, "beat-keeper")
    sides = card_pages(story, performance, "beat-keeper")
    doing = sum(
        any(isinstance(p, LinePart) and (p.do or p.others_bring) for p in card.parts)
        for card in cards
    )
    assert len(sides) <= len(cards) + doing
    assert min(t.size_pt for page in sides for t in page.texts) == 24


@settings(max_examples=40, deadline=None)
@given(stories, formats)
def test_no_wait_and_no_offering_is_lost(story: Story, wanted: Format) -> None:
    performance = perform(story)
    for role in performance.roles:
        pages = card_pages(story, performance, role, **wanted)
        cards = role_cards(story, performance, role)
        pauses = [p for card in cards for p in card.lead]
        pauses += [p for card in cards for p in card.parts if isinstance(p, PausePart)]
        waits = [f"Wait {round(p.segment.length_sec)}" for p in pauses if p.segment.prop is None]
        blocks = [t.text for page in pages for t in page.texts]
        assert sorted(b for b in blocks if re.fullmatch(r"Wait \d+", b)) == sorted(waits)
        rests = sum(p.segment.prop is not None and not p.mine for p in pauses)
        assert sum(b.startswith(("Rest", "First rest")) for b in blocks) == rests


@settings(max_examples=40, deadline=None)
@given(stories, formats)
def test_no_words_lie_under_the_board(story: Story, wanted: Format) -> None:
    performance = perform(story)
    for role in performance.roles:
        for page in card_pages(story, performance, role, **wanted):
            boards = [b for b in page.blocks if b.alt.startswith("The board")]
            for board in boards:
                boxes = [extent(element) for element in board.elements]
                left, top = min(b[0] for b in boxes), min(b[1] for b in boxes)
                right, foot = max(b[2] for b in boxes), max(b[3] for b in boxes)
                for block in page.blocks:
                    if block is board:
                        continue
                    for element in block.elements:
                        box = extent(element)
                        apart = (
                            box[2] <= left + 1
                            or box[0] >= right - 1
                            or box[3] <= top + 2.5
                            or box[1] >= foot - 2.5
                        )
                        assert apart, element


def test_no_side_is_empty_but_for_its_foot() -> None:
    for path in demo_stories():
        story = read_text(path.read_text(encoding="utf-8")).story
        assert story is not None
        performance = perform(story)
        for role in performance.roles:
            for page in card_pages(story, performance, role):
                middle = [t for t in page.texts if 60 < t.y < page.paper.height_pt - 90]
                assert middle, page.bookmarks


def test_a_card_with_nothing_to_do_goes_on_where_paper_is_small() -> None:
    story = Story("t", roles=(Role("observer"),))
    pages = card_pages(story, perform(story), "observer", paper="87x105", margin_mm=0.0)
    check_margins(pages)
    assert len(pages) > 1
    said = words_on(pages)
    assert "Nothing to tap or bring" in said
    assert "cue sheet" in said
