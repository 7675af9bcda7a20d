"""Own metre arithmetic against music21, an independent account of music theory."""

from fractions import Fraction
from random import Random

import pytest
from hypothesis import given, settings

from tapscore.model.lane import Cell, Lane, Mark, lane_beats, lane_events, pickup_beats
from tapscore.model.metre import SUPPORTED, Metre, beat_strength, parse_metre
from tapscore.rhythm.line_bars import bar_faults, missing_at_end
from tapscore.rhythm.theory import bar_proportions, strengths
from tests.strategies import Cast, Maker, metres, seeds

NOBODY = Cast((), (), (), ())


@given(metres, seeds)
@settings(max_examples=60)
def test_bars_are_as_full_as_music21_finds_them(metre: Metre, seed: int) -> None:
    lane = Maker(seed, ["x"]).lane(seed % 12, NOBODY)
    own = tuple(Fraction(len(bar), metre.steps) for bar in lane.all_bars)
    assert own == bar_proportions(metre, [tuple(map(len, bar)) for bar in lane.all_bars])
    first = 0 if lane.pickup else 1
    wrong = {
        number
        for number, share in enumerate(own, first)
        if share > 1 or (share < 1 and 0 < number < len(lane.bars)) or (number == 0 and share == 1)
    }
    assert {bar for bar, _ in bar_faults(lane, metre)} == wrong
    if own[-1] <= 1:
        assert missing_at_end(lane, metre) == (1 - own[-1]) * metre.beats


@pytest.mark.parametrize("text", SUPPORTED)
def test_strengths_are_those_of_music21(text: str) -> None:
    """``meter.TimeSignature.getAccentWeight`` on every step of the bar."""
    metre = parse_metre(text)
    assert metre is not None
    positions = [Fraction(i, metre.steps_per_beat) for i in range(metre.steps)]
    assert tuple(beat_strength(metre, p) for p in positions) == strengths(metre, positions)


@given(metres, seeds)
@settings(max_examples=40)
def test_strengths_of_the_events_of_a_lane(metre: Metre, seed: int) -> None:
    lane = Maker(seed, ["x"]).full_lane(metre, 2, Random(seed).randint(0, metre.steps - 1))
    steps = [
        e
        for e in lane_events(lane, metre)
        if metre.steps_per_beat % e.position_beats.denominator == 0
    ]
    positions = [event.position_beats for event in steps]
    own = tuple(beat_strength(metre, p) for p in positions)
    assert own == strengths(metre, positions)


@given(metres, seeds)
def test_events_follow_one_another_inside_the_lane(metre: Metre, seed: int) -> None:
    lane = Maker(seed, ["x"]).lane(seed % 12, NOBODY)
    events = lane_events(lane, metre)
    end = Fraction(0)
    for event in events:
        assert event.onset_beats >= end
        assert event.length_beats > 0
        end = event.onset_beats + event.length_beats
    assert end <= lane_beats(lane, metre)
    said = [event.syllable for event in events if event.syllable is not None]
    assert said == list(range(lane.syllables))
    for event in events:
        if event.bar == 0:
            assert event.onset_beats + metre.beats - pickup_beats(lane, metre) == (
                event.position_beats
            )


@pytest.mark.parametrize(
    ("text", "beats", "steps", "quarters"),
    [
        *[("2/4", 2, 4, 1), ("3/4", 3, 6, 1), ("4/4", 4, 8, 1), ("5/4", 5, 10, 1)],
        *[("2/2", 2, 4, 2), ("3/8", 1, 3, Fraction(3, 2)), ("6/8", 2, 6, Fraction(3, 2))],
        *[("9/8", 3, 9, Fraction(3, 2)), ("12/8", 4, 12, Fraction(3, 2))],
    ],
)
def test_bars(text: str, beats: int, steps: int, quarters: Fraction) -> None:
    """Simple and compound time, as in any theory primer."""
    metre = parse_metre(text)
    assert metre is not None
    assert (metre.beats, metre.steps, metre.beat_quarters) == (beats, steps, quarters)


@pytest.mark.parametrize("text", ["3/5", "0/4", "4", "4/0", "7/8", "1000/8", "six eight", ""])
def test_no_metres(text: str) -> None:
    assert parse_metre(text) is None


def test_a_bar_that_is_too_long() -> None:
    bar = ((Cell(Mark.REST),),) * 7
    assert list(bar_faults(Lane((), (bar, bar[:6])), Metre(6, 8))) == [(1, 7)]
    assert list(bar_faults(Lane(bar[:6], (bar[:6],)), Metre(6, 8))) == [(0, 6)]
