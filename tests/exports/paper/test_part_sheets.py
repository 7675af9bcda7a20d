"""Part sheets: every tap once, changed only with free hands, nothing small and nothing lost."""

from collections import Counter
from fractions import Fraction
from itertools import pairwise

import pytest
from attrs import evolve
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tapscore.exports.paper.card_layout import lay_out
from tapscore.exports.paper.cards import role_cards
from tapscore.exports.paper.cue_cards import cue_cards
from tapscore.exports.paper.drawing import Page
from tapscore.exports.paper.pages import paper
from tapscore.exports.paper.part_pieces import MOST_RESTS
from tapscore.exports.paper.part_plan import PartSheets, plan_part
from tapscore.exports.paper.part_sheets import part_pages, part_sheets
from tapscore.exports.paper.sheet_plan import (
    Border,
    Cost,
    Measure,
    SheetRoom,
    filled,
    plan_sheets,
)
from tapscore.exports.paper.sizes import FLOOR_PT, card_sizes
from tapscore.exports.paper.turn_findings import card_turns
from tapscore.model.manner import PartialManner
from tapscore.model.story import Line, Role, Section, Story, Wait
from tapscore.resources import demo_stories
from tapscore.rhythm.free_hands import FREE_SEC, WARN_SEC
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance, SegmentKind
from tapscore.storyfile.read import read_text
from tests.exports.paper.paper_samples import lane, sample
from tests.exports.paper.paper_strategies import Format, formats, stories
from tests.exports.paper.test_card_layout import check_margins, tap_names, words_on
from tests.hill import line, lines_of
from tests.strategies import stories as any_stories


def planned(story: Story, role: str, wanted: Format) -> PartSheets:
    try:
        return plan_part(story, perform(story), role, **wanted)
    except ValueError as error:
        assume("choose" not in str(error))
        raise


def shown(sheets: PartSheets) -> Counter[tuple[int, int]]:
    """Segments and events of the taps drawn on each sheet, a refrain's once for each return
    that the sheet has."""
    found: Counter[tuple[int, int]] = Counter()
    for span in sheets.plan.spans:
        for piece in sheets.part.pieces[span.first : span.end]:
            for step in piece.steps:
                for index, segment in zip(step.indexes, step.segments, strict=True):
                    for tap in segment.taps:
                        if tap.role == sheets.part.view.role and piece.mine:
                            found[index, tap.event] += 1
    return found


@settings(max_examples=30, deadline=None)
@given(stories | any_stories, formats)
def test_every_performed_tap_is_on_exactly_one_sheet_of_its_role(
    story: Story, wanted: Format
) -> None:
    performance = perform(story)
    for role in performance.roles:
        sheets = planned(story, role, wanted)
        made = Counter((t.segment, t.event) for t in performance.taps if t.role == role)
        assert shown(sheets) == made
        assert set(made.values()) <= {1}


@settings(max_examples=20, deadline=None)
@given(stories | any_stories, formats)
def test_taps_are_drawn_once_and_a_refrain_once_on_each_sheet_that_needs_it(
    story: Story, wanted: Format
) -> None:
    performance = perform(story)
    for role in performance.roles:
        sheets = planned(story, role, wanted)
        drawn = 0
        for span in sheets.plan.spans:
            seen: set[str] = set()
            for piece in sheets.part.pieces[span.first : span.end]:
                if piece.refrain is not None and piece.refrain in seen:
                    continue
                seen |= {piece.refrain} if piece.refrain is not None else set()
                if piece.mine:
                    drawn += sum(
                        tap.role == role
                        for step in piece.steps
                        for segment in step.segments
                        for tap in segment.taps
                    )
        assert tap_names(part_pages(story, performance, role, **wanted)) == drawn


@settings(max_examples=30, deadline=None)
@given(stories | any_stories, formats)
def test_no_sheet_is_changed_inside_a_line_nor_without_saying_so(
    story: Story, wanted: Format
) -> None:
    performance = perform(story)
    for role in performance.roles:
        sheets = planned(story, role, wanted)
        spans = sheets.plan.spans
        assert [span.first for span in spans[1:]] == [span.end for span in spans[:-1]]
        assert spans[-1].end in (0, len(sheets.part.pieces))
        for at in sheets.changes:
            piece = sheets.part.pieces[at]
            # A piece begins where a segment begins: never within one.
            start = performance.segments[piece.first].start_sec
            assert start == piece.steps[0].segments[0].start_sec
            free = free_around(story, performance, role, piece.first)
            assert sheets.part.free_sec(at) == pytest.approx(free)
            assert (at in sheets.busy_changes) == (free < FREE_SEC - 1e-6)


def free_around(story: Story, performance: Performance, role: str, boundary: int) -> float:
    """Free seconds around a segment's beginning, told anew from the performance."""
    before, after = float("-inf"), float("inf")
    for index, segment in enumerate(performance.segments):
        end = segment.start_sec + segment.length_sec
        times = [(t.onset_sec, t.onset_sec + t.length_sec) for t in segment.taps if t.role == role]
        line = segment.line
        prop = story.prop(segment.prop or "")
        handing = (story.bringer(segment.prop or ""), *(prop.handed_by if prop else ()))
        if segment.kind is SegmentKind.OFFER and role in handing:
            times.append((segment.start_sec, end))
        if line is not None:
            props = [*(e.prop for e in line.props_in), *line.props_out]
            doers = line.done_by or segment.manner.by
            does = line.do is not None and ({role, "everyone"} & set(doers) or times)
            if any(story.bringer(name) == role for name in props) or (
                does and (not line.done_by or {role, "everyone"} & set(doers))
            ):
                times.append((segment.start_sec, end))
        if line is not None and role in segment.manner.says:
            times.append((segment.start_sec, end))
        warners = line is not None and (line.warned_by or segment.manner.says)
        if line is not None and line.warn_first and {role, "everyone"} & set(warners or ()):
            times.append((segment.start_sec - WARN_SEC, segment.start_sec))
        if index < boundary:
            before = max([before, *(stop for _, stop in times)])
        else:
            after = min([after, *(start for start, _ in times)])
    return max(after - before, 0.0)


@settings(max_examples=20, deadline=None)
@given(stories, formats)
def test_nothing_is_small_or_over_the_margins(story: Story, wanted: Format) -> None:
    performance = perform(story)
    for role in performance.roles:
        planned(story, role, wanted)
        pages = part_pages(story, performance, role, **wanted)
        check_margins(pages)
        assert all(t.size_pt >= FLOOR_PT for page in pages for t in page.texts)


def test_sheets_are_as_large_as_their_distance_asks() -> None:
    pages = part_pages(sample(), perform(sample()), "beat-keeper", paper="A3", distance_m=1.0)
    sizes = card_sizes(1.0)
    found = Counter(round(text.size_pt, 2) for page in pages for text in page.texts)
    assert set(found) <= {FLOOR_PT, sizes.label, sizes.number, sizes.words, sizes.action}
    # Only what is read before the story, on the first sheet, has the size of large print.
    assert all(text.size_pt > FLOOR_PT for page in pages[1:] for text in page.texts)


@pytest.mark.parametrize("name", ["the-lantern-boat", "the-bread-van"])
def test_nobody_changes_a_demo_story_s_sheets_with_busy_hands(name: str) -> None:
    story = demo(name)
    performance = perform(story)
    for role in performance.roles:
        sheets = plan_part(story, performance, role)
        assert not sheets.busy_changes
        assert len(sheets.plan.spans) <= 6
        for at, following in pairwise((0, *sheets.changes)):
            assert following > at


def demo(name: str) -> Story:
    path = next(path for path in demo_stories() if path.stem == name)
    story = read_text(path.read_text(encoding="utf-8")).story
    assert story is not None
    return story


# what is written on them


def without_waits(count: int = 14) -> Story:
    """Line upon line for one adult, another who has nothing to do."""
    line = Line(
        "Out on the wa-ter the lit-tle boat lay,",
        lane("| X x x X x x | X x x X x x |"),
        PartialManner(by=("drummer",)),
    )
    return Story(
        "Without", roles=(Role("drummer"), Role("helper")), sections=(Section("", (line,) * count),)
    )


def test_where_no_layout_frees_the_hands_it_says_so_and_what_would_help() -> None:
    story = without_waits()
    printed = part_sheets(story, perform(story), "drummer", paper="A4", distance_m=1.0)
    busy = [f for f in printed.findings if f.code == "print-busy-change"]
    assert busy
    assert all("no time to change the sheet before line" in f.message for f in busy)
    assert all(f.path[:2] == ("story", 0) for f in busy)
    for words in ("a wait of 5 seconds there", "somebody else to tap", "helper to change it"):
        assert words in busy[0].remedy
    pages = part_pages(story, perform(story), "drummer", paper="A4", distance_m=1.0)
    assert words_on(pages).count("No time to change to sheet") == len(busy)


def test_larger_paper_or_a_nearer_sheet_is_offered_only_where_it_helps() -> None:
    story = without_waits(7)
    printed = part_sheets(story, perform(story), "drummer", paper="A4", distance_m=1.0)
    remedy = next(f.remedy for f in printed.findings if f.code == "print-busy-change")
    assert "to print on A3" in remedy
    assert not plan_part(story, perform(story), "drummer", paper="A3").busy_changes
    long = without_waits(60)
    printed = part_sheets(long, perform(long), "drummer", paper="A4", distance_m=1.0)
    assert not any("A3" in f.remedy for f in printed.findings if f.code == "print-busy-change")


def test_a_line_longer_than_a_sheet_lies_side_by_side_and_is_said() -> None:
    words = " ".join(["round and round the"] * 40)
    line = Line(words, lane("| " + "x x x x x x x x | " * 20))
    story = Story("Long", roles=(Role("leader"),), sections=(Section("", (line,)),))
    printed = part_sheets(story, perform(story), "leader", paper="A4")
    assert [f.code for f in printed.findings if f.code.startswith("print-long")]
    pages = part_pages(story, perform(story), "leader", paper="A4")
    assert tap_names(pages) == len(perform(story).taps)
    said = words_on(pages)
    assert "part 1 of" in said
    assert "to the right of this one" in said
    check_margins(pages)


def test_the_foot_says_when_to_change() -> None:
    story = demo("the-lantern-boat")
    said = [
        words_on((page,)) for page in part_pages(story, perform(story), "beat-keeper", paper="A3")
    ]
    assert "Change to sheet 2" in said[0]
    assert "Finish:" in said[-1]
    assert all("sheet" in text for text in said)


def test_whoever_has_nothing_to_do_is_told_so() -> None:
    story = without_waits()
    (page,) = part_pages(story, perform(story), "helper", paper="A4")
    assert "Nothing to tap or bring" in words_on((page,))


def test_a_role_that_is_not_there_is_an_error() -> None:
    with pytest.raises(ValueError, match="nobody"):
        plan_part(sample(), perform(sample()), "nobody")


def test_paper_too_small_for_the_distance_says_what_to_choose() -> None:
    with pytest.raises(ValueError, match="choose larger paper"):
        plan_part(sample(), perform(sample()), "leader", paper="A6", distance_m=2.0)


def test_hard_stories_have_their_sheets() -> None:
    roles = tuple(Role(f"tapper {i}") for i in range(1, 21))
    line = Line("Tap to-ge-ther", lane("| x x x x |"), PartialManner(by=("everyone",)))
    many = Story("Many", roles=roles, sections=(Section("One", (line, Wait(Fraction(10)))),))
    hebrew = evolve(line, words="שָׁ-לוֹם שָׁ-לוֹם")
    right = evolve(many, sections=(Section("", (hebrew,)),), roles=roles[:1])
    for story in (many, right, Story("Nothing"), evolve(many, sections=())):
        for role in perform(story).roles:
            pages: tuple[Page, ...] = part_pages(story, perform(story), role)
            assert pages
            check_margins(pages)


# the plan


@st.composite
def puzzles(draw: st.DrawFn) -> tuple[list[Measure], list[Border], SheetRoom]:
    count = draw(st.integers(1, 7))
    names = st.sampled_from([None, "home"])

    def measure() -> Measure:
        full, name = draw(st.integers(5, 60)), draw(names)
        return Measure(float(full), 4.0 if name else None, name)

    borders = [
        Border(draw(st.booleans()), draw(st.booleans()), draw(st.integers(0, 2)))
        for _ in range(count)
    ]
    room = SheetRoom(float(draw(st.integers(0, 100))), 100.0, draw(st.integers(1, 2)))
    return [measure() for _ in range(count)], borders, room


def every_plan(
    measures: list[Measure], borders: list[Border], room: SheetRoom, start: int = 0
) -> list[Cost]:
    """The costs of all plans there are, by trying every one."""
    if start == len(measures):
        return [(0, 0, 0, 0, 0.0)]
    found: list[Cost] = []
    height = room.other_pt
    firsts = [(height, 0)] if start else [(room.first_pt, 0), (height, 1)]
    for space, more in firsts:
        total = 0.0
        for end, (_, high) in enumerate(filled(measures, start, space, room.columns), start + 1):
            total += high
            border = borders[end] if end < len(borders) else Border(False, False)
            empty = round((1 - total / (space * room.columns)) ** 2, 6)
            for cost in every_plan(measures, borders, room, end):
                found.append(
                    (
                        cost[0] + border.busy,
                        cost[1] + 1 + more,
                        cost[2] + border.parts_section,
                        cost[3] + border.poor,
                        cost[4] + empty + more,
                    )
                )
    return found


@settings(max_examples=150, deadline=None)
@given(puzzles())
def test_no_plan_at_all_is_better(puzzle: tuple[list[Measure], list[Border], SheetRoom]) -> None:
    measures, borders, room = puzzle
    best = min(every_plan(measures, borders, room))
    plan = plan_sheets(measures, borders, room)
    assert plan.cost[:4] == best[:4]
    assert plan.cost[4] == pytest.approx(best[4])


# cards


def test_a_finding_names_each_card_turned_with_busy_hands() -> None:
    story = demo("the-lantern-boat")
    printed = cue_cards(story, perform(story), "beat-keeper")
    (found,) = [f for f in printed.findings if f.code == "print-busy-turn"]
    assert "1 of 9 to 2 of 9 (0.7 s)" in found.message
    # After line 5 there is a wait of 12 seconds: no busy turn.
    assert "5 of 9 to row home" not in found.message
    size = paper("A5", landscape=True)
    laid = {
        card.label: lay_out(story, card, size, card_sizes(1.0))
        for card in role_cards(story, perform(story), "beat-keeper")
    }
    turns = card_turns(story, perform(story), "beat-keeper", laid)
    assert any(turn.words == "5 of 9 to row home" and turn.free_sec > 12 for turn in turns)


def sheet_words(source: str, role: str) -> str:
    story = read_text(source).story
    assert story is not None
    return " ".join(words_on(part_pages(story, perform(story), role)).split())


def test_the_usual_spot_is_said_where_the_line_before_is_tapped_elsewhere() -> None:
    lines = "".join(
        f'      - {{words: go down and down, lane: "| X x X x |"{spot}}}\n'
        for spot in ("", "", ", spot: edge", "", "")
    )
    source = (
        "tapscore: 2\ntitle: Edges\nmetre: 2/4\nroles: {leader: {}, helper: {}}\nspot: middle\n"
        "board: {size_cm: [120, 90], spots: {middle: [60, 45], edge: [60, 12]}}\nby: [helper]\n"
        f"story:\n  - section: One\n    lines:\n{lines}"
    )
    said = sheet_words(source, "helper")
    _, second, away, back, after, _ = said.split("go down and down")
    assert "edge" in away
    assert "middle" in back
    assert not [each for each in (second, after) if "middle" in each or "edge" in each]


def test_who_ends_a_wait_and_what_the_picture_shows_is_said() -> None:
    (boat,) = [path for path in demo_stories() if path.name == "the-lantern-boat.yaml"]
    source = boat.read_text(encoding="utf-8")
    said = sheet_words(source, "beat-keeper")
    assert "Leader speaks the words and ends each wait." in said
    # Seen from the east side, the near (south) edge is to the left of the middle.
    assert "letters are pupils, the rings are, from the left, near edge and middle." in said
    assert "You speak the words and end each wait." in sheet_words(source, "leader")
    handed = sheet_words(source, "prop handler")
    assert "2 turns, 2 pupils at a time, 30 seconds or more each turn: 1 minute" in handed


def test_a_front_by_itself_is_as_large_as_its_pages_have_room_for() -> None:
    """On small sheets it left most of two pages blank, in the smallest print."""
    (boat,) = [path for path in demo_stories() if path.name == "the-lantern-boat.yaml"]
    story = read_text(boat.read_text(encoding="utf-8")).story
    assert story is not None
    found: dict[str, tuple[int, float]] = {}
    for role in ("leader", "prop handler"):
        pages = part_pages(story, perform(story), role, paper="210x148")
        first = next(at for at in range(1, len(pages)) if pages[at].bookmarks)
        check_margins(pages)
        sizes = [text.size_pt for page in pages[:first] for text in page.texts]
        found[role] = first, min(sizes)
    assert found == {"leader": (2, card_sizes(1.0).label), "prop handler": (2, 18.0)}


def test_a_line_s_number_is_never_cut_in_two() -> None:
    """From the hundredth line on numbers stood in two rows, over those of the next line."""
    made = lines_of(line("Out", "by: ann") + line("In", "by: bea") * 120)
    texts = [text for page in part_pages(made, perform(made), "bea") for text in page.texts]
    numbers = {text.text: text for text in texts if text.text.isdecimal() and text.x < 30}
    assert {f"{number}" for number in range(2, 122)} <= set(numbers)
    words = min(text.x for text in texts if text.text == "In")
    assert all(text.x + text.width_pt < words for text in numbers.values())


def test_a_long_rest_ends_with_the_wait_that_everybody_waits() -> None:
    rest = line("Out", "by: ann") * (MOST_RESTS + 1)
    made = lines_of(f"{rest}      - {{wait: 12, look for: a look}}\n" + line("In", "by: bea"))
    words = " ".join(
        text.text for page in part_pages(made, perform(made), "bea") for text in page.texts
    )
    lead, _, after = words.partition(f"rest for {MOST_RESTS + 1} lines")
    assert lead
    assert "Wait 12 seconds or more. Look for a look" in after
