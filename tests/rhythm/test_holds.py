"""Silence in beats: waits that keep the bars in step, worked out by hand.

A wait has as many beats as bring the next line's bar lines in step, next to its seconds at the
tempo before it; the last bar, where there is room for it, has the next line's tempo.
"""

from fractions import Fraction
from itertools import pairwise

import pytest
from attrs import evolve

from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import PerformedTap, SegmentKind
from tapscore.storyfile.read import read_text

BAR = "| X . . . . . . . |"


def story(*lines: str, metre: str = "4/4", tempo: str = "60", more: str = "") -> Story:
    body = "".join(f"      - {line}\n" for line in lines)
    found = read_text(
        f"tapscore: 2\ntitle: T\nmetre: {metre}\ntempo: {tempo}\n{more}story:\n"
        f"  - section: One\n    lines:\n{body}"
    ).story
    assert found is not None
    return found


def line(lane: str = BAR, more: str = "") -> str:
    return f"{{words: la, lane: '{lane}'{', ' if more else ''}{more}}}"


# what stands before, the wait, what stands after: and how long each of the wait's beats lasts
CASES: dict[str, tuple[tuple[str, ...], list[tuple[float, float]]]] = {
    # 10 s are 10 beats, next to two bars: 4 beats lead in at 60, the other 6 s are 4 beats
    "longer than its bars": ((line(), "wait: 10", line()), [(4, 1.5), (4, 1)]),
    "just two bars": ((line(), "wait: 8", line()), [(8, 1)]),
    # one bar: nothing is left that could take up another tempo
    "shorter than its bar": ((line(), "wait: 3", line()), [(4, 0.75)]),
    # a quarter of a bar: never less than a bar
    "much shorter": ((line(), "wait: 1", line()), [(4, 0.25)]),
    "with nothing after it": ((line(), "wait: 10"), [(8, 1.25)]),
    # the bar that leads in has 80 a minute: 3 s; the other 4 beats have 7 s
    "before a quicker line": ((line(), "wait: 10", line(more="tempo: 80")), [(8, 1.25)]),
    "before a slightly quicker line": (
        (line(), "wait: 9", line(more="tempo: 80")),
        [(4, 1.5), (4, 0.75)],
    ),
    "before a quicker line that slows": (
        (line(), "wait: 9", line(more="tempo: 80 to 40")),
        [(4, 1.5), (4, 0.75)],
    ),
    # at 120 the rest would have 2 s a beat, more than twice the half second: no lead
    "before a line twice as quick": ((line(), "wait: 10", line(more="tempo: 120")), [(8, 1.25)]),
    # at 40 the lead has 6 s, the rest 4 beats of 1 s: more than half of 1.5 s
    "before a slower line": ((line(), "wait: 10", line(more="tempo: 40")), [(4, 1), (4, 1.5)]),
    # at 30 the lead has 8 s, the rest 4 beats of half a second, less than half of 2 s
    "before a line half as quick": ((line(), "wait: 10", line(more="tempo: 30")), [(8, 1.25)]),
    # 3.5 + 2 bars: the pickup's half beat is the last of the bar
    "before a pickup": ((line(), "wait: 10", line("x | X . . . . . . |")), [(7.5, 0.8), (4, 1)]),
    # the bar before has two beats more to come
    "after half a bar": ((line("| X . . . |"), "wait: 10", line()), [(10, 1)]),
    # after slowing to 30 a beat lasts 2 s, and 10 s are 5 beats, next to one bar
    "after slowing": ((line(more="tempo: 60 to 30"), "wait: 10", line()), [(4, 2.5)]),
    # begins the story: at its first line's tempo
    "before all lines": (("wait: 8", line(more="tempo: 30")), [(4, 2)]),
}


@pytest.mark.parametrize("case", CASES.values(), ids=CASES.keys())
def test_the_beats_of_a_wait(case: tuple[tuple[str, ...], list[tuple[float, float]]]) -> None:
    lines, wanted = case
    told = perform(story(*lines))
    at = next(i for i, s in enumerate(told.segments) if s.kind is SegmentKind.WAIT)
    segment = told.segments[at]
    assert segment.length_sec == pytest.approx(sum(beats * sec for beats, sec in wanted))
    assert segment.beats == sum(beats for beats, _ in wanted)
    # every half beat from the wait's first to its end
    clock = [
        told.seconds(segment.start_beats + Fraction(half, 2))
        for half in range(int(segment.beats * 2) + 1)
    ]
    halves = [sec / 2 for beats, sec in wanted for _ in range(int(beats * 2))]
    assert [b - a for a, b in pairwise(clock)] == pytest.approx(halves)


def test_a_wait_in_six_eight_has_two_beats_to_the_bar() -> None:
    told = perform(story(line("| X . . X . . |"), "wait: 5", line("| X . . . . . |"), metre="6/8"))
    onsets = [(beat.onset_sec, beat.downbeat) for beat in told.beats if beat.segment == 1]
    # 5 beats, next to 4 (halves go to the even one): a bar of 1.5 s beats, then one at 60
    assert onsets == [(2, True), (3.5, False), (5, True), (6, False)]


def test_an_offering_waits_for_all_its_turns() -> None:
    """Five pupils and two sets in two adults' hands: three turns of 12 s."""
    told = perform(
        story(
            *(line(), "{offer: cup, turn: 12}", line()),
            more="pupils: 5\nroles: {leader: , helper: }\n"
            "props: {cup: {what: cup, sets: 2, handed by: [leader, helper]}}\n",
        )
    )
    offer = told.segments[1]
    assert (offer.turns, offer.turn_sec, offer.length_sec, offer.prop) == (3, 12, 36, "cup")
    assert offer.beats == 36
    before = told.segments[0]
    assert (before.turns, before.turn_sec, before.prop) == (0, 0, None)


@pytest.mark.parametrize(
    ("lane", "metre", "bars", "beats", "downbeats"),
    [
        ("| X . . . . . . . |", "4/4", 1, 4, [0, 4]),
        ("| X . . . . . . . |", "4/4", 2, 8, [0, 4, 8]),
        # a pickup of a beat and a half: a bar more, less the pickup
        ("x x x | X . . . . . . . |", "4/4", 1, 6.5, [0, 4, 8]),
        ("x x x | X . . . . . . . |", "4/4", 2, 10.5, [0, 4, 8, 12]),
        ("x | X . . . . . |", "6/8", 1, 2 + Fraction(5, 3), [0, 2, 4]),
    ],
)
def test_clicks_before_the_first_line(
    lane: str, metre: str, bars: int, beats: float, downbeats: list[int]
) -> None:
    told = perform(story(line(lane, "tempo: 90 to 60"), metre=metre), count_in_bars=bars)
    count_in, first = told.segments
    assert count_in.beats == first.start_beats == beats
    # they go at the tempo that the line begins with
    assert first.start_sec == pytest.approx(float(beats) * 60 / 90)
    assert [beat.onset_beats for beat in told.beats if beat.downbeat] == downbeats
    assert (count_in.taps, count_in.syllables, count_in.look_for) == ((), (), None)


@pytest.mark.parametrize(
    ("level", "step"), [(0, 0), (0.4, 0), (0.5, 1), (1.4, 1), (2.5, 3), (3.5, 4), (4, 4)]
)
def test_the_nearest_step_of_loudness(level: float, step: int) -> None:
    told = perform(story(line()))
    (tap,) = told.taps
    assert isinstance(tap, PerformedTap)
    assert evolve(tap, level=Fraction(level)).loudness == step
