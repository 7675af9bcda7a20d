"""What is whose: one small story told out by hand, role by role, and when hands are free."""

from math import inf

import pytest
from attrs import evolve

from tapscore.model.story import Story
from tapscore.rhythm.free_hands import free_hands
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance
from tapscore.rhythm.role_view import (
    LinePart,
    PausePart,
    RoleView,
    names_words,
    own_words,
    through_words,
    warning_by,
)
from tapscore.storyfile.read import read_text
from tests.hill import lines_of

# 4/4 at 60: a bar lasts 4 s.  Seconds: line 1 0 to 8, wait 8 to 18, line 2 18 to 22, offer 22 to
# 62 (four pupils, two sets: two turns of 20 s), line 3 62 to 70, line 4 70 to 74.
TEXT = """\
tapscore: 2
title: Whose
metre: 4/4
tempo: 60
by: beat-keeper
says: leader
pupils: 4
board:
  size_cm: [120, 90]
  seats: {north: [60, 90], east: [120, 45]}
  places:
    A: {at: [58, 72], with: leader}
    B: {at: [28, 30], with: beat-keeper}
    C: {at: [90, 30]}
roles: {leader: {seat: north}, beat-keeper: {seat: east}, prop handler: , helper: }
props:
  lamp: {what: lamp}
  beads: {what: beads, sets: 2, handed by: [helper, prop handler]}
  silk: {what: silk, by: beat-keeper}
story:
  - section: One
    lines:
      - words: Light the lamp
        lane: "| X . x . x . . . | . . . . . . . . |"
        prop in: [lamp]
        do: hold it low
        done by: prop handler
      - wait: 10
      - words: All to-ge-ther
        lane: "| . . . . X . x . |"
        by: everyone
        says: everyone
        warn first: touch an arm
        warned by: helper
        warned through: [voice, touch]
      - offer: beads
        turn: 20
      - words: Silk goes by
        lane: "| X . x . x . . . | . . . . . . . . |"
        prop in: [silk]
        prop out: lamp
        do: lift
      - words: Good night
        lane: "| s . s . . . . . |"
        warn first: hands up
"""
ROLES = ("leader", "beat-keeper", "prop handler", "helper")


@pytest.fixture(scope="module")
def story() -> Story:
    source = read_text(TEXT)
    assert source.story is not None
    return source.story


@pytest.fixture(scope="module")
def told(story: Story) -> Performance:
    found = perform(story)
    assert [each.start_sec for each in found.segments] == [0, 8, 18, 22, 62, 70]
    return found


# whether the role has something to do in each of the six segments
INVOLVED = {
    "leader": "y.y.yy",  # speaks all four lines
    "beat-keeper": "y.y.y.",  # taps three lines; the last is only said
    "prop handler": "y.yyy.",  # the lamp, everybody's line, the beads, the lamp away
    "helper": "..yy..",
}
SAYS = {
    "leader": "y.y.yy",
    "beat-keeper": "..y...",
    "prop handler": "..y...",
    "helper": "..y...",
}
WARNS = {
    "leader": ".....y",  # who speaks warns, where nobody else is named
    "beat-keeper": "......",
    "prop handler": "......",
    "helper": "..y...",
}
DOES = {
    "leader": "......",
    "beat-keeper": "....y.",  # whoever taps the line does it, where nobody is named
    "prop handler": "y.....",
    "helper": "......",
}
OFFERS = {
    "leader": "......",
    "beat-keeper": "......",
    "prop handler": "...y..",
    "helper": "...y..",
}


def marked(flags: list[bool]) -> str:
    return "".join("y" if flag else "." for flag in flags)


@pytest.mark.parametrize("role", ROLES)
def test_whose_each_line_is(story: Story, told: Performance, role: str) -> None:
    view = RoleView(story, role)
    assert marked([view.involved_in(s) for s in told.segments]) == INVOLVED[role]
    assert marked([view.says(s) for s in told.segments]) == SAYS[role]
    assert marked([view.warns(s) for s in told.segments]) == WARNS[role]
    assert marked([view.does(s) for s in told.segments]) == DOES[role]
    assert marked([view.offers(s) for s in told.segments]) == OFFERS[role]
    assert view.involved(told.segments)
    assert view.involved(told.segments[2:3])
    assert not view.involved(told.segments[1:2])
    assert not view.involved([])


def test_speaking_alone_is_no_work_for_whoever_has_the_words_apart(
    story: Story, told: Performance
) -> None:
    """Her own paper has them; what she taps, with everybody, stays hers."""
    apart = RoleView(story, "leader", words_apart=True)
    assert marked([apart.involved_in(s) for s in told.segments]) == "..y..."
    helper = RoleView(story, "helper", words_apart=True)
    assert marked([helper.involved_in(s) for s in told.segments]) == INVOLVED["helper"]


def test_the_parts_of_a_line(story: Story, told: Performance) -> None:
    first, _, third, _, silk, last = told.segments
    bringer = RoleView(story, "prop handler").part(first)
    assert isinstance(bringer, LinePart)
    assert not bringer.taps
    assert bringer.do == "hold it low"
    assert [entrance.prop for entrance in bringer.brings] == ["lamp"]
    assert bringer.others_bring == ()
    tapper = RoleView(story, "beat-keeper").part(first)
    assert isinstance(tapper, LinePart)
    assert [tap.onset_sec for tap in tapper.taps] == [0, 1, 2]
    assert tapper.do is None  # somebody else is named for it
    assert tapper.brings == ()
    assert [entrance.prop for entrance in tapper.others_bring] == ["lamp"]
    silken = RoleView(story, "beat-keeper").part(silk)
    assert isinstance(silken, LinePart)
    assert [entrance.prop for entrance in silken.brings] == ["silk"]
    assert (silken.takes, silken.others_take) == ((), ("lamp",))
    assert silken.do == "lift"
    taker = RoleView(story, "prop handler").part(silk)
    assert isinstance(taker, LinePart)
    assert (taker.takes, taker.others_take) == (("lamp",), ())
    assert [entrance.prop for entrance in taker.others_bring] == ["silk"]
    assert taker.do is None
    everyone = [RoleView(story, role).part(third) for role in ROLES]
    assert all(isinstance(part, LinePart) and part.warn_first for part in everyone)
    assert {len(part.taps) for part in everyone if isinstance(part, LinePart)} == {2}
    closing = RoleView(story, "leader").part(last)
    assert isinstance(closing, LinePart)
    assert (closing.says, closing.warns, closing.taps) == (True, True, ())


def test_the_parts_of_a_pause(story: Story, told: Performance) -> None:
    for role in ROLES:
        wait, offer = (RoleView(story, role).part(told.segments[at]) for at in (1, 3))
        assert wait == PausePart(told.segments[1], mine=False)
        assert offer == PausePart(told.segments[3], mine=OFFERS[role][3] == "y")


OWN_WORDS = {
    "leader": (
        *(("you say the words",), (), ("you say the words",), (), ("you say the words",)),
        ("you warn: hands up", "you say the words"),
    ),
    "beat-keeper": ((), (), ("you say the words",), (), ("you bring silk", "you do: lift"), ()),
    "prop handler": (
        *(("you bring lamp", "you do: hold it low"), (), ("you say the words",)),
        *(("you offer beads",), ("you take lamp away",), ()),
    ),
    "helper": (
        *((), (), ("you warn: touch an arm", "you say the words"), ("you offer beads",), (), ()),
    ),
}


@pytest.mark.parametrize("role", ROLES)
def test_what_a_role_is_told_besides_tapping(story: Story, told: Performance, role: str) -> None:
    view = RoleView(story, role)
    assert tuple(own_words(view, s) for s in told.segments) == OWN_WORDS[role]


def test_props_to_have_ready_and_pupils_beside(story: Story, told: Performance) -> None:
    ready = {role: RoleView(story, role).ready(told.segments) for role in ROLES}
    assert ready == {
        "leader": (),
        "beat-keeper": ("silk",),
        "prop handler": ("lamp", "beads"),
        "helper": (),  # she hands beads to pupils, which another brings
    }
    assert RoleView(story, "helper").handled(told.segments) == ("beads",)
    places = {role: RoleView(story, role).places() for role in ROLES}
    assert places == {"leader": ("A",), "beat-keeper": ("B",), "prop handler": (), "helper": ()}
    assert RoleView(evolve(story, board=None), "leader").places() == ()


def test_roles_in_a_sentence() -> None:
    assert names_words(("leader", "helper")) == "leader and helper"
    assert names_words(("leader", "everyone")) == "everyone"
    assert warning_by(("leader",)) == "leader warns"
    assert warning_by(("leader", "helper")) == "leader and helper warn"
    assert warning_by(("everyone", "helper")) == "everyone warns"
    assert through_words(("voice", "touch")) == " (voice and touch)"
    assert through_words(()) == ""


# Until hands are next busy, less when they last were, at each boundary.  Taps last their half
# second; all four roles tap at 20 and 21, and what everyone says keeps nobody busy.
FREE = {
    # taps from 0 to 2.5; the silk from 62 to 70
    "beat-keeper": (inf, 20 - 2.5, 20 - 2.5, 62 - 21.5, 62 - 21.5, inf, inf),
    # the lamp from 0 to 8, beads from 22 to 62, the lamp away from 62 to 70
    "prop handler": (inf, 20 - 8, 20 - 8, 22 - 21.5, 62 - 62, inf, inf),
    # warns from 15 to 18, beads from 22 to 62
    "helper": (inf, inf, inf, 22 - 21.5, inf, inf, inf),
    # speaks from 0 to 8 and from 62 to 74, and warns from 67 on, while she speaks
    "leader": (inf, 20 - 8, 20 - 8, 62 - 21.5, 62 - 21.5, 0, inf),
}


@pytest.mark.parametrize("role", ROLES)
def test_when_hands_are_free(story: Story, told: Performance, role: str) -> None:
    hands = free_hands(story, told, role)
    assert tuple(hands.free_sec(at) for at in range(7)) == FREE[role]
    assert [hands.is_free(at) for at in range(7)] == [sec >= 4 for sec in FREE[role]]


@pytest.mark.parametrize(("wait_sec", "free"), [(3, False), (4, True), (5, True)])
def test_four_seconds_are_enough_to_change_a_sheet(wait_sec: int, free: bool) -> None:
    """2 s to turn and 2 s to find the place (common practice, no source)."""
    line = '      - words: la\n        lane: "| s . . . . . . . |"\n'
    story = read_text(
        "tapscore: 2\ntitle: T\nmetre: 4/4\ntempo: 60\nstory:\n  - section: One\n    lines:\n"
        f"{line}      - wait: {wait_sec}\n{line}"
    ).story
    assert story is not None
    hands = free_hands(story, perform(story), "leader")
    assert hands.free_sec(1) == hands.free_sec(2) == wait_sec
    assert hands.is_free(1) == hands.is_free(2) == free


def test_who_taps_one_tap_of_a_line_does_what_it_says() -> None:
    story = read_text(
        "tapscore: 2\ntitle: T\nmetre: 2/4\nroles: {leader: , helper: , other: }\nstory:\n"
        "  - section: One\n    lines:\n      - words: la la\n        do: lift\n        by: leader\n"
        '        lane: "| x . x(helper) . |"\n'
    ).story
    assert story is not None
    (segment,) = perform(story).segments
    parts = {role: RoleView(story, role).part(segment) for role in story.role_names}
    assert {
        role: (len(part.taps), part.do)
        for role, part in parts.items()
        if isinstance(part, LinePart)
    } == {"leader": (1, "lift"), "helper": (1, "lift"), "other": (0, None)}


@pytest.mark.parametrize(
    "busy",
    ["do: lift", "do: lift, done by: other", "prop in: [cup]", "prop out: cup", "says: other"],
)
def test_any_one_thing_to_do_keeps_hands_busy_for_the_line(busy: str) -> None:
    """A line of 4 s at 4 s; whoever has nothing of it to do is free from beginning to end."""
    plain = '      - {words: la, lane: "| s . . . . . . . |", by: leader}\n'
    line = f'      - {{words: la, lane: "| s . . . . . . . |", by: other, {busy}}}\n'
    story = read_text(
        "tapscore: 2\ntitle: T\nmetre: 4/4\ntempo: 60\nroles: {leader: , other: , third: }\n"
        "props: {cup: {what: cup, by: other}}\nstory:\n  - section: One\n    lines:\n"
        f"{plain}{line}{line}{plain}"
    ).story
    assert story is not None
    told = perform(story)
    hands = free_hands(story, told, "other")
    assert [hands.free_sec(at) for at in range(5)] == [inf, inf, 0, inf, inf]
    assert [free_hands(story, told, "third").free_sec(at) for at in range(5)] == [inf] * 5


def test_a_warning_takes_the_hands_for_three_seconds_before_its_line() -> None:
    """A tap that lasts a second, a line of four seconds' rest, and a warning of the third line."""
    lane = "'| X . . . . . . . |'"
    story = lines_of(
        f"      - {{words: Row, lane: {lane}, by: bea}}\n"
        f"      - {{words: Rest, lane: {lane}, by: cyd}}\n"
        f"      - {{words: Loud, lane: {lane}, by: cyd, warn first: a hand, warned by: bea}}\n"
    )
    told = perform(story)
    (tap,) = told.segments[0].taps
    hands = free_hands(story, told, "bea")
    assert hands.free_sec(1) == pytest.approx(8 - 3 - (tap.onset_sec + tap.length_sec))
    assert hands.free_sec(3) == inf
