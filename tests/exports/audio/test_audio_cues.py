"""Cues come before they are needed."""

from fractions import Fraction

import pytest
from attrs import evolve

from tapscore.exports.audio.clicks import clicks
from tapscore.exports.audio.cues import CueKind, SpokenCue, _onsets, cues
from tapscore.model.manner import PartialManner
from tapscore.model.metre import Metre
from tapscore.model.story import Entrance, Item, Line, Offer, Role, Section, Story, Wait
from tapscore.rhythm.perform import perform
from tests.exports.audio.audio_stories import guide_performance, lane, story, varied


def _shown(found: tuple[SpokenCue, ...]) -> list[tuple[CueKind, Fraction, str]]:
    return [(cue.kind, cue.onset_beats, cue.text) for cue in found]


def test_each_cue_has_its_place() -> None:
    performance = guide_performance(varied())
    assert _shown(cues(performance)) == [
        (CueKind.SECTION, Fraction(0), "section: Evening"),
        (CueKind.PROPS_IN, Fraction(2), "beads in"),
        (CueKind.WAIT, Fraction(8), "wait at least 5 seconds"),
        (CueKind.WARN_FIRST, Fraction(8), "leader warns first: lean in"),
        (CueKind.OFFER, Fraction(16), "offer beads: 1 turn of 30 seconds"),
        (CueKind.PROPS_OUT, Fraction(20), "beads out"),
    ]
    assert [cue.said for cue in cues(performance)] == [
        "Evening",
        "beads in",
        "wait, at least 5 seconds",
        "louder next: leader warns",
        "offer beads, 1 turn of 30 seconds",
        "beads out",
    ]
    assert all(cue.onset_sec == performance.seconds(cue.onset_beats) for cue in cues(performance))


def test_cues_for_one_line_stand_apart_and_before_it() -> None:
    line = Line(
        "Crash",
        lane("X......."),
        warn_first="lean in",
        props_in=(Entrance("scarf"),),
        props_out=("beads",),
    )
    told = Story(
        "t",
        sections=(
            Section(
                "One",
                (
                    Line(
                        "a",
                        lane("x.......", "x......."),
                    ),
                ),
            ),
            Section("Two", (line,)),
        ),
    )
    performance = guide_performance(told)
    two = [cue for cue in cues(performance) if cue.segment == 2]
    start = performance.segments[2].start_beats
    assert [cue.kind for cue in two] == [
        CueKind.SECTION,
        CueKind.PROPS_OUT,
        CueKind.PROPS_IN,
        CueKind.WARN_FIRST,
    ]
    assert [start - cue.onset_beats for cue in two] == [7, 6, 5, 4]


@pytest.mark.parametrize("count_in_bars", [0, 1])
def test_cues_at_the_very_start_share_the_time_there_is(count_in_bars: int) -> None:
    line = Line("a", lane("xxx"), warn_first="lean in", props_in=(Entrance("scarf"),))
    told = story(line, metre=Metre(3, 8))
    performance = perform(told, count_in_bars=count_in_bars)
    found = cues(performance)
    start = performance.segments[-1].start_beats
    assert [c.kind for c in found] == [CueKind.SECTION, CueKind.PROPS_IN, CueKind.WARN_FIRST]
    assert [c.onset_beats for c in found] == [start * i / 3 for i in range(3)]


@pytest.mark.parametrize(
    ("start", "at"),
    [
        # four beats and three cues a beat apart need six beats; with fewer the time is shared
        (7, [1, 2, 3]),
        (6, [0, 1, 2]),
        (5, [0, Fraction(5, 3), Fraction(10, 3)]),
        (0, [0, 0, 0]),
    ],
)
def test_cues_a_bar_before_a_line_or_sharing_what_there_is(start: int, at: list[Fraction]) -> None:
    told = guide_performance(story(Line("a", lane("x.......")), Wait(Fraction(5))))
    segment, wait = (evolve(each, start_beats=Fraction(start)) for each in told.segments[1:])
    assert segment.metre.beats == 4
    assert _onsets(segment, 3) == at
    # up to where a wait begins
    assert _onsets(wait, 3) == ([0, 0, 0] if start == 0 else [start - 2, start - 1, start])
    assert _onsets(evolve(wait, start_beats=Fraction(1)), 3) == [0, Fraction(1, 2), 1]
    assert _onsets(segment, 0) == []


def test_seconds_are_told_to_a_tenth_and_what_to_look_for_is_written_alone() -> None:
    told = story(Wait(Fraction(49, 20), look_for="a look"), heading="")
    (cue,) = cues(perform(told))
    assert cue.text == "wait at least 2.5 seconds; look for a look"
    assert cue.said == "wait, at least 2.5 seconds"


def test_everything_that_comes_and_goes_is_told_with_where_it_goes() -> None:
    told = story(
        Line("a", lane("x......."), props_in=(Entrance("beads"), Entrance("scarf", at="edge"))),
        Offer("beads", look_for="a hand that opens"),
        Line("b", lane("x......."), props_out=("beads", "scarf")),
        heading="",
    )
    found = [(cue.kind, cue.text, cue.said) for cue in cues(guide_performance(told))]
    offered = "offer beads: 1 turn of 30 seconds; look for a hand that opens"
    assert found == [
        (CueKind.PROPS_IN, "beads in; scarf in, to edge", "beads in, scarf in, to edge"),
        (CueKind.OFFER, offered, "offer beads, 1 turn of 30 seconds"),
        (CueKind.PROPS_OUT, "beads out; scarf out", "beads out, scarf out"),
    ]


def test_a_section_that_begins_with_a_wait() -> None:
    told = Story("t", sections=(Section("One", (Wait(Fraction(4)),)),))
    assert [c.kind for c in cues(guide_performance(told))] == [CueKind.SECTION, CueKind.WAIT]


@pytest.mark.parametrize(
    ("last", "expected"),
    [
        (Line("a", lane("x.......")), [4, 3, 2, 1]),
        (Line("a", lane("x.......", pickup="xx")), [3, 2, 1]),
        (Line("a", lane("x.......", pickup="xxxx")), [2, 1]),
        (Line("a", lane("x.......", pickup="xxxxxx")), [5, 4, 3, 2, 1]),
        (Wait(Fraction(8)), []),
        (None, []),
    ],
)
def test_clicks_that_lead_in_after_a_wait(last: Item | None, expected: list[int]) -> None:
    told = story(Line("a", lane("x.......")), Wait(Fraction(8)), *([last] if last else []))
    performance = perform(told)
    wait = performance.segments[1]
    end = wait.start_beats + wait.beats
    lead_in = [c for c in clicks(performance) if wait.start_beats <= c.onset_beats < end]
    assert [end - click.onset_beats for click in lead_in] == expected
    assert all(click.downbeat for click in lead_in[:1])


def test_roles_do_not_matter_to_cues() -> None:
    told = varied()
    more = Story(told.title, roles=(Role("x"),), props=told.props, sections=told.sections)
    assert len(cues(guide_performance(more))) == len(cues(guide_performance(told)))


def test_who_speaks_and_who_warns_is_told() -> None:
    both = PartialManner(says=("helper", "leader"))
    warned = Line("Splash", lane("Xx"), both, "lean in", ("helper",), ("voice", "touch"))
    told = story(Line("one two", lane("xxxxxxxx")), warned, roles=("leader", "helper"))
    said = [cue.text for cue in cues(guide_performance(told))]
    assert "helper and leader say it" in said
    assert "helper warns first (voice and touch): lean in" in said
    assert not any("say" in text for text in said if text != "helper and leader say it")


def test_a_pause_right_after_the_start_is_announced_at_its_own_start() -> None:
    """After a line of one step: the section's name at the very beginning, the wait where it is."""
    told = evolve(
        story(),
        sections=(
            Section("", (Line("Hush", lane("X")),)),
            Section("Two", (Wait(Fraction(5)), Line("Home", lane("X.......")))),
        ),
    )
    performance = perform(told)
    wait = performance.segments[1]
    assert 0 < wait.start_beats < 1
    found = [(cue.kind, cue.onset_beats) for cue in cues(performance) if cue.segment == 1]
    assert found == [(CueKind.SECTION, 0), (CueKind.WAIT, wait.start_beats)]
