"""Returns of a refrain that are written to differ are told in full, on every paper."""

from collections.abc import Callable

import pytest

from tapscore.exports.paper.briefing import briefing_pages
from tapscore.exports.paper.cards import role_cards
from tapscore.exports.paper.cue_cards import card_pages
from tapscore.exports.paper.cue_sheet import sheet_pages
from tapscore.exports.paper.drawing import Page, TextRun
from tapscore.exports.paper.home_version import home_pages
from tapscore.exports.paper.large_words import large_words_pages
from tapscore.exports.paper.part_sheets import part_pages
from tapscore.exports.paper.session_plan import session_plan_pages
from tapscore.exports.paper.steps import steps
from tapscore.exports.paper.supply_sheet import supply_pages
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance
from tests.exports.paper.test_cards import foot
from tests.exports.paper.test_small_papers import told
from tests.hill import HEAD, line, lines_of, story_of

Pages = Callable[[Story, Performance], tuple[Page, ...]]

HOME = "      - refrain: home\n"
LOUD = "      - {refrain: home, loudness: loud, stroke: knuckles}\n"


def story(*returns: str, more: str = "") -> Story:
    """Returns of a refrain that ann taps, with a line of bea's between each two."""
    warned = "by: ann, warn first: lean in, warned by: ann"
    head = f"{HEAD}refrains:\n  home:\n{line('Row home', warned)}      - {{wait: 6}}\n{more}"
    return lines_of(line("Out we go", "by: bea").join(returns), head)


def test_a_loud_return_is_loud_on_a_card_of_its_own() -> None:
    """Both times the card said quiet, though the second is written loud."""
    made = story(HOME, HOME, LOUD, HOME)
    cards = role_cards(made, perform(made), "ann")
    assert [card.label for card in cards] == ["home", "home, 3rd time"]
    assert [{int(tap.level) for tap in card.taps} for card in cards] == [{1}, {3}]
    after = "Come in after “Out we go”: refrain, home"
    assert foot(cards[0]) == f"[Stop] {after}, 2nd time / {after}, 3rd time"
    assert foot(cards[1]).startswith(f"[Stop] {after} / [Finish]")
    assert "knuckles middle loud" in told(card_pages(made, perform(made), "ann"))


def test_a_card_counts_the_times_that_are_heard_and_not_its_own() -> None:
    """The part sheet and the leader's sheet said the third time where the card said the second."""
    made = story(HOME, "      - {refrain: home, by: bea}\n", HOME)
    (card,) = role_cards(made, perform(made), "ann")
    assert foot(card).startswith("[Stop] Come in after “Out we go”: refrain, home, 3rd time")


@pytest.mark.parametrize(
    "pages", [sheet_pages, home_pages, lambda made, of: part_pages(made, of, "ann")]
)
def test_a_loud_return_and_the_one_after_it_are_told_in_full(pages: Pages) -> None:
    full = "Row: quiet, fingertips; home: quiet, fingertips"
    loud = "Row: loud, knuckles; home: loud, knuckles"

    def marks(*returns: str) -> list[str]:
        made = story(*returns)
        said = told(pages(made, perform(made))).split("[")
        found = [each.partition("Taps. ")[2].partition("]")[0] for each in said]
        return [each for each in found if each.startswith("Row")]

    assert marks(HOME, LOUD, HOME) == [full, loud, full]
    assert marks(HOME, LOUD, LOUD) == [full, loud, loud]


def test_a_return_is_never_as_above_where_what_is_above_is_told_otherwise() -> None:
    """After a loud one on the same sheet the quiet one would be tapped loud."""
    told_so = [step.after_otherwise for step in steps(perform(story(HOME, HOME, LOUD, HOME)))]
    assert told_so == [0, 0, 0, 0, 1, 0, 2]


def test_returns_alike_are_told_once_with_every_wait_and_who_warns() -> None:
    made = story(HOME, HOME, more=line("Row row", "by: ann") + "      - {wait: 9}\n")
    assert [step.otherwise for step in steps(perform(made))] == [False] * 3
    said = told(sheet_pages(made, perform(made)))
    assert said.count("[ann. Taps. Row: quiet") == 2
    assert "Refrain: home , 2nd time, with wait 6 and 9. Ann warns first" in said
    (card,) = role_cards(made, perform(made), "ann")
    assert card.times == 2


def test_the_session_plan_says_which_return_is_told_otherwise() -> None:
    made = story(HOME, HOME, LOUD)
    said = told(session_plan_pages(made, perform(made)))
    assert "again (2)" in said
    assert "again (2), in another way" not in said
    assert "again (3), in another way" in said


def test_the_front_has_the_signs_and_spots_of_returns_that_are_told_otherwise() -> None:
    """The flat hand and the ring of the second return stood on its sheet, and in no key."""
    other = "      - {refrain: home, stroke: flat hand, spot: low}\n"
    said = told(part_pages(made := story(HOME, other), perform(made), "ann"))
    key, _, _ = said.partition("Change to sheet")
    assert "Key fingertips flat hand" in key
    assert "A ring at low." in key
    plain = told(part_pages(made := story(HOME, HOME), perform(made), "ann"))
    assert "flat hand" not in plain
    assert "A ring at low." not in plain


def test_the_briefing_names_whoever_taps_a_refrain_at_some_return_alone() -> None:
    made = story(HOME, "      - {refrain: home, by: cyd}\n")
    said = told(briefing_pages(made, perform(made)))
    assert "Cyd: seat “south”, taps the refrain home, brings silk." in said
    assert "Bea: seat “east”, taps 1 line." in said


def test_a_return_in_one_row_names_its_turns() -> None:
    made = story(HOME, HOME, more="      - {offer: bell, turn: 20}\n")
    said = told(sheet_pages(made, perform(made)))
    assert "Refrain: home , 2nd time, with wait 6, with turns with bell. Ann warns" in said


WHOLE, TICK = "      - refrain: whole\n", "      - refrain: tick\n"


def nested(*told: str) -> Story:
    """A refrain that ann taps in two parts, the second loud, round another that bea taps."""
    loud = "by: ann, loudness: loud, warn first: lean in, warned by: cyd, do: nod, done by: dot"
    head = (
        f"{HEAD}refrains:\n  tick:\n{line('Tick', 'by: bea')}      - {{wait: 5}}\n"
        f"  whole:\n{line('Row home', 'by: ann')}{TICK}{line('Shine', loud)}"
    )
    return lines_of("".join(told), head)


def test_a_part_of_a_refrain_is_never_told_as_the_other_part_above() -> None:
    """Below the loud part the quiet one was “as above”."""
    wait = "      - {wait: 60}\n"
    many = line("Out we go now", "by: ann")
    for before in range(6):
        made = nested(many * before, WHOLE, wait, WHOLE, many)
        for page in part_pages(made, perform(made), "ann"):
            rows = told((page,)).splitlines()
            for at, row in enumerate(rows):
                if row.endswith("as above"):
                    part = row.endswith("part 2: as above")
                    words = "Shine" if part else "Row home"
                    assert words in rows[:at]


def test_parts_of_a_refrain_are_not_counted_as_times() -> None:
    made = nested(WHOLE, line("Out", "by: bea"), WHOLE)
    performance = perform(made)
    assert [(step.refrain, step.refrain_time, step.part) for step in steps(performance)] == [
        *(("whole", 1, 1), ("tick", 1, 1), ("whole", 1, 2)),
        (None, 0, 1),
        *(("whole", 2, 1), ("tick", 2, 1), ("whole", 2, 2)),
    ]
    said = told(part_pages(made, performance, "ann"))
    assert "Refrain: whole , 2nd of 2 times, part 2" in said
    assert "Row home Shine (2 times)" in told(briefing_pages(made, performance))
    step_in = told(supply_pages(made, performance))
    assert "The refrain comes 2 times; everybody knows it\nRow home\nShine\n" in step_in
    assert step_in.count("The refrain comes") == 2
    sheet = told(sheet_pages(made, performance))
    assert "Refrain: whole , 2nd time\n" in sheet
    assert "Refrain: whole , 2nd time, part 2. Cyd warns first\n" in sheet


def test_each_part_of_a_refrain_has_its_card() -> None:
    """Both stood on one card without what comes between: shine was tapped over the wait."""
    made = nested(WHOLE, line("Out", "by: ann"), WHOLE)
    cards = role_cards(made, perform(made), "ann")
    assert [card.label for card in cards] == ["whole", "whole, part 2", "1 of 1"]
    assert cards[1].come_in_after == "Tick"
    assert [part.segment.length_sec for part in cards[1].lead] == [5.0]
    assert foot(cards[2]) == (
        "Next: refrain, whole / Come in after “Tick”: wait 5, then refrain, whole, part 2"
        " / [Finish] hands still, cards down"
    )


def test_what_is_warned_of_at_home_is_warned_of_again() -> None:
    made = story(HOME, HOME)
    said = told(home_pages(made, perform(made)))
    assert "Again: home\nFirst: lean in\nWait 6 seconds or more." in said


def test_sections_of_one_name_have_each_their_own_time() -> None:
    """The last one's stood at all of them."""
    text = "story:\n"
    for name, count in (("Hill", 8), ("Sea", 1), ("Hush", 0), ("Hill", 2)):
        told_in = line("Out", "by: ann") * count or "      - {wait: 60}\n"
        text += f"  - section: {name}\n    lines:\n{told_in}"
    made = story_of(HEAD + text)
    pages = session_plan_pages(made, perform(made))
    heads = [
        "".join(text.text for text in block.elements if isinstance(text, TextRun))
        for page in pages
        for block in page.blocks
        if block.tag == "H2"
    ]
    times = [("Hill", "0:56 to 2:32"), ("Sea", "0:07 to 0:19"), ("Hush", "1:00")]
    assert heads[1:5] == [f"{name} ({time})" for name, time in (*times, ("Hill", "0:14 to 0:38"))]


def test_what_a_section_begins_with_stands_below_its_heading() -> None:
    """A wait stood with the line before, and the section's name at the line after it."""
    wait = "      - {wait: 7}\n"
    text = f"story:\n  - section: Hill\n    lines:\n{line('Out', 'by: ann')}{wait}"
    text += f"  - section: Sea\n    lines:\n{wait}{line('In', 'by: ann')}"
    made = story_of(HEAD + text)
    performance = perform(made)
    sheet = told(sheet_pages(made, performance))
    assert sheet.index("Sea") < sheet.rindex("Wait 7")
    for pages in (session_plan_pages(made, performance), large_words_pages(made, performance)):
        said = told(pages)
        assert said.index("Sea") < said.rindex("Wait")
    cards = role_cards(made, performance, "ann")
    assert [len(card.lead) for card in cards] == [0, 1]


def test_a_refrain_is_named_once_among_the_lines_of_an_area() -> None:
    made = lines_of(
        HOME * 2,
        f"{HEAD}refrains:\n  home:\n{line('Row home', 'by: ann, areas: [exploration]')}",
    )
    assert "Exploration (home): pupils may" in told(session_plan_pages(made, perform(made)))


def test_before_the_card_after_a_refrain_it_is_said_what_to_have_ready() -> None:
    """The card said “your next card”, and not that the bell comes with it."""
    head = HEAD.replace("a hand bell, by: dot", "a hand bell, by: ann")
    head += f"refrains:\n  home:\n{line('Row home', 'by: ann')}"
    made = lines_of(HOME + line("Ring", "by: ann, prop in: bell") + HOME, head)
    cards = role_cards(made, perform(made), "ann")
    assert foot(cards[0]) == (
        "The refrain comes 2 times in the story. Here: your next card. Have ready: bell"
    )


@pytest.mark.parametrize("paper", ["A5", "A6", "A4"])
def test_what_a_refrain_begins_with_comes_first_on_its_card(paper: str) -> None:
    """A wait before its one line stood below the line: it was tapped before anybody waited."""
    head = f"{HEAD}refrains:\n  home:\n      - {{wait: 6}}\n      - {{offer: bell}}\n"
    head += line("Row", "by: dot, do: nod, warn first: now") + "      - {wait: 9}\n"
    made = lines_of(HOME + line("Out", "by: ann") + HOME, head)
    said = told(card_pages(made, perform(made), "dot", paper=paper))
    order = ["Wait 6", "Offer bell", "Ann warns first", "Row", "Taps. Row", "nod", "Wait 9"]
    places = [said.index(words) for words in order]
    assert places == sorted(places)
    plan = told(session_plan_pages(made, perform(made)))
    assert "Wait 6 seconds or more\nOffer bell , 30 seconds or more each\nRefrain home Row" in plan
