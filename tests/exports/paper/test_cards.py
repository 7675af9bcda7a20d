from collections import Counter

import pytest
from attrs import evolve
from hypothesis import given

from tapscore.exports.paper.card_foot import foot_sentences
from tapscore.exports.paper.cards import Card, role_cards
from tapscore.exports.paper.cue_cards import card_pages
from tapscore.exports.paper.drawing import TextRun
from tapscore.exports.paper.steps import StepKind, last_words, steps
from tapscore.model.story import Line, Offer, Story
from tapscore.rhythm.perform import perform
from tapscore.rhythm.role_view import LinePart, PausePart
from tests.exports.paper.paper_samples import sample
from tests.exports.paper.paper_strategies import segments_on_cards, stories
from tests.hill import HEAD, line, lines_of


def cards_of(role: str) -> dict[str, Card]:
    story = sample()
    return {card.label: card for card in role_cards(story, perform(story), role)}


def foot(card: Card) -> str:
    return " / ".join(
        f"[{s.pill}] " * bool(s.pill) + "".join(piece.text for piece in s.pieces)
        for s in foot_sentences(card)
    )


@given(stories)
def test_every_performed_tap_is_on_exactly_one_card_of_its_role(story: Story) -> None:
    performance = perform(story)
    for role in performance.roles:
        on_cards = Counter(
            (tap.segment, tap.event)
            for card in role_cards(story, performance, role)
            for tap in card.taps
        )
        expected = Counter(
            (tap.segment, tap.event)
            for at in segments_on_cards(performance)
            for tap in performance.segments[at].taps
            if tap.role == role
        )
        assert on_cards == expected
        assert all(tap.role == role for c in role_cards(story, performance, role) for tap in c.taps)


@given(stories)
def test_the_cards_together_say_what_to_do_to_the_end(story: Story) -> None:
    performance = perform(story)
    for role in performance.roles:
        cards = role_cards(story, performance, role)
        if not cards:
            continue
        assert cards[-1].then[-1].finish
        assert all(not cue.finish for card in cards[:-1] for cue in card.then)
        assert [card.then[-1].label for card in cards[:-1]] == [card.label for card in cards[1:]]
        names = [card.label for card in cards if card.kind is StepKind.REFRAIN]
        assert len(names) == len(set(names))


@given(stories)
def test_each_offering_and_prop_is_on_a_card_of_the_one_who_brings_it(story: Story) -> None:
    performance = perform(story)
    for segment in performance.segments:
        if segment.refrain_time > 1:
            continue
        moved = []
        if segment.line:
            moved = [e.prop for e in segment.line.props_in] + list(segment.line.props_out)
        offered = [segment.prop] if segment.prop else []
        for prop in moved + offered:
            role = story.bringer(prop)
            parts = [p for c in role_cards(story, performance, role) for p in c.parts]
            on_cards = [part for part in parts if part.segment is segment]
            assert len(on_cards) == 1
            (part,) = on_cards
            if isinstance(part, PausePart):
                assert part.mine
            else:
                assert prop in (*part.takes, *(e.prop for e in part.brings))


def test_a_line_without_the_role_has_no_card() -> None:
    cards = cards_of("second tapper")
    assert list(cards) == ["row home", "2 of 8", "4 of 8", "6 of 8", "8 of 8"]


def test_stop_and_come_in_are_told_on_both_sides_of_a_rest() -> None:
    cards = cards_of("second tapper")
    assert cards["4 of 8"].come_in_after == "and round the mast"
    assert "Come in after “and round the mast”: 4 of 8" in foot(cards["2 of 8"])
    assert cards["8 of 8"].come_in_after is None
    assert foot(cards["6 of 8"]).startswith("[Stop] Come in after “knocks upon the door”: refrain")


def test_a_wait_after_a_refrain_leads_the_next_card() -> None:
    (lead,) = cards_of("second tapper")["2 of 8"].lead
    assert (lead.segment.length_sec, lead.segment.look_for) == (10, "a look, a still body, a reach")


def test_a_role_that_only_knows_the_refrain_is_told_each_return() -> None:
    said = foot(cards_of("leader")["row home"])
    assert "row home, 2nd time" in said
    assert "row home, 4th time" in said
    assert said.count("Come in after") == 3
    assert "rest for beads" in said
    assert "wait 10, then refrain, row home, 3rd time" in said


def test_the_refrain_of_a_busy_role_sends_it_on() -> None:
    assert foot(cards_of("second tapper")["row home"]) == (
        "The refrain comes 4 times in the story. Here: your next card"
    )


def test_props_to_have_ready_are_named_before() -> None:
    assert "Have ready: lantern" in foot(cards_of("prop handler")["3 of 8"])


def test_the_last_card_says_finish() -> None:
    for role in ("leader", "beat-keeper", "second tapper", "prop handler"):
        assert foot(list(cards_of(role).values())[-1]).startswith("[Finish]")


def test_warnings_and_actions_reach_the_card() -> None:
    (part, wait) = cards_of("beat-keeper")["4 of 8"].parts
    assert isinstance(part, LinePart)
    assert isinstance(wait, PausePart)
    assert (part.warn_first, part.do) == ("lean in, whisper “ready?”", "Lift the cloth")


def test_an_unknown_role_is_told_the_names() -> None:
    story = sample()
    with pytest.raises(ValueError, match="leader, beat-keeper"):
        role_cards(story, perform(story), "drummer")


@given(stories)
def test_steps_keep_every_segment_in_order(story: Story) -> None:
    performance = perform(story)
    found = steps(performance)
    assert [i for step in found for i in step.indexes] == list(range(len(performance.segments)))
    for step in found:
        assert len({(s.refrain, s.refrain_time) for s in step.segments}) == 1


def test_words_to_listen_for_are_short() -> None:
    assert last_words("Out on the water the little boat lay,") == "the little boat lay"
    assert len(last_words("supercalifragilistic " * 4)) <= 40
    assert last_words("") == ""


def test_samples_hold_what_the_tests_rely_on() -> None:
    items = [item for section in sample().sections for item in section.items]
    assert any(isinstance(item, Offer) for item in items)
    assert sum(isinstance(item, Line) for item in items) == 8


def test_only_those_who_do_it_are_told_what_to_do() -> None:
    story = sample()

    def told(done_by: tuple[str, ...]) -> list[str]:
        sections = tuple(
            evolve(
                section,
                items=tuple(
                    evolve(item, done_by=done_by) if isinstance(item, Line) and item.do else item
                    for item in section.items
                ),
            )
            for section in story.sections
        )
        changed = evolve(story, sections=sections)
        performance = perform(changed)
        return [
            role
            for role in performance.roles
            for card in role_cards(changed, performance, role)
            for part in card.parts
            if isinstance(part, LinePart) and part.do
        ]

    assert told(()) == ["beat-keeper", "second tapper"]
    assert told(("prop handler",)) == ["prop handler"]
    assert told(("leader", "beat-keeper")) == ["leader", "beat-keeper"]
    assert told(("everyone",)) == ["leader", "beat-keeper", "second tapper", "prop handler"]


def test_an_offering_after_each_return_of_a_refrain_has_a_card_of_its_own() -> None:
    """Both were called ``after home``, and one was left out of the print."""
    head = f"{HEAD}refrains:\n  home:\n{line('Row home')}"
    again = "      - refrain: home\n      - offer: bell\n"
    story = lines_of(2 * again, head)
    cards = role_cards(story, perform(story), "dot")
    assert [card.label for card in cards] == ["after home, 1st time", "after home, 2nd time"]
    assert "after home, 2nd time" in foot(cards[0])
    assert len(card_pages(story, perform(story), "dot")) == 2
    once = lines_of(again, head)
    assert [card.label for card in role_cards(once, perform(once), "dot")] == ["after home"]


def test_a_refrain_called_as_another_card_loses_neither() -> None:
    head = f"{HEAD}refrains:\n  1 of 1:\n{line('Row home')}by: ann\n"
    story = lines_of(line("Out we go") + "      - refrain: 1 of 1\n", head)
    assert len(card_pages(story, perform(story), "ann")) == 2


def test_before_a_card_only_the_waits_since_the_last_words_are_told_all_together() -> None:
    wait = "      - {{wait: {}, look for: a look}}\n"
    story = lines_of(
        line("Out we go", "by: ann")
        + line("Off we go", "by: bea")
        + wait.format(30)
        + line("On we go", "by: bea")
        + wait.format(5)
        + wait.format(8)
        + line("Home we go", "by: ann")
    )
    first, second = role_cards(story, perform(story), "ann")
    assert [part.segment.length_sec for part in second.lead] == pytest.approx([5, 8])
    assert foot(first) == "[Stop] Come in after “On we go”: wait 13, then 4 of 4"


def test_each_return_of_a_refrain_tells_whose_offering_is_waited_for() -> None:
    home = "      - refrain: home\n"
    story = lines_of(
        f"{home}{line('Out we go', 'by: ann')}      - offer: bell\n"
        f"{home}{line('Off we go', 'by: ann')}      - offer: silk\n{home}",
        f"{HEAD}refrains:\n  home:\n{line('Row home', 'by: bea')}",
    )
    (card,) = role_cards(story, perform(story), "bea")
    assert foot(card).split(" / ") == [
        "[Stop] Come in after “Out we go”: rest for bell, then refrain, home, 2nd time",
        "Come in after “Off we go”: rest for silk, then refrain, home, 3rd time",
        "[Finish] hands still, cards down",
    ]


def test_a_warning_inside_a_refrain_is_on_its_card_though_nothing_else_changes() -> None:
    warned = line("Off we go", "by: ann, warn first: lean in close, warned by: ann")
    head = f"{HEAD}refrains:\n  home:\n{line('Out we go', 'by: ann')}{warned}"
    story = lines_of("      - refrain: home\n", head)
    (page,) = card_pages(story, perform(story), "ann")
    texts = [e.text for block in page.blocks for e in block.elements if isinstance(e, TextRun)]
    assert "lean in close" in " ".join(texts)


def test_the_card_of_a_leader_who_taps_nothing_sends_to_the_cue_sheet_wherever_she_is_listed() -> (
    None
):
    roles = HEAD[HEAD.index("roles:") : HEAD.index("props:")]
    head = HEAD[: HEAD.index("props:")].replace(roles, "roles: {bea: , leader: , cyd: }\n")
    story = lines_of(line("Out we go", "by: cyd"), head)
    for role, hint in (("leader", "Lead from the cue sheet."), ("bea", "Be still, watch")):
        (page,) = card_pages(story, perform(story), role)
        texts = [e.text for block in page.blocks for e in block.elements if isinstance(e, TextRun)]
        assert hint in " ".join(texts)


def test_who_makes_one_tap_of_a_swell_is_told_how_loud_that_one_is() -> None:
    lane = "'| x . x . x(cyd) . . . |'"
    story = lines_of(
        f"      - {{words: Out we go, lane: {lane}, by: ann, loudness: quiet to loud}}\n"
    )
    said = {}
    for role in ("ann", "cyd"):
        (page,) = card_pages(story, perform(story), role)
        said[role] = " ".join(
            e.text for block in page.blocks for e in block.elements if isinstance(e, TextRun)
        )
    assert "quiet to loud" in said["ann"]
    assert "loud" in said["cyd"]
    assert "quiet to loud" not in said["cyd"]


def test_after_a_line_without_words_one_comes_in_all_the_same() -> None:
    bare = "      - {words: '', lane: '| t . t . t . t . |', by: bea}\n"
    story = lines_of(line("Out we go", "by: ann") + bare + line("On we go", "by: ann"))
    pages = card_pages(story, perform(story), "ann")
    said = [e.text for b in pages[-1].blocks for e in b.elements if isinstance(e, TextRun)]
    assert "Come in after a line without words" in " ".join(" ".join(said).split())
