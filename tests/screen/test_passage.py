"""Where passages begin and end, and which place belongs to which second."""

from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.exports.audio.clicks import clicks
from tapscore.rhythm.perform import perform
from tapscore.screen.passage import (
    Going,
    Passage,
    beats_at,
    event_beats,
    next_hold,
    passage_from,
)
from tests.gui.listening.fakes import story_of
from tests.rhythm.passages import tempo_map

PERFORMED = perform(story_of())
ALL = Going(tuple(range(len(PERFORMED.segments))))
period_sec = st.fractions(Fraction(1, 5), Fraction(3), max_denominator=100)


def lines(passage: Passage | None) -> list[int]:
    assert passage is not None
    return [part.segment for part in passage.parts]


def test_a_stretch_ends_at_a_wait_and_an_offering() -> None:
    first = passage_from(PERFORMED, ALL, 0, count_in=True)
    assert first is not None
    assert lines(first) == [0, 1]
    assert first.after == 2
    assert passage_from(PERFORMED, ALL, 2, count_in=True) is None
    assert next_hold(PERFORMED, ALL, 2) == 2
    second = passage_from(PERFORMED, ALL, 3, count_in=True)
    assert second is not None
    assert lines(second) == [3, 4, 5, 6]
    assert second.after == 7
    last = passage_from(PERFORMED, ALL, 8, count_in=True)
    assert last is not None
    assert (lines(last), last.after, last.loops) == ([8], None, False)


def test_a_loop_without_a_wait_is_one_passage_from_any_line() -> None:
    going = Going((3, 4, 5), loops=True)
    passage = passage_from(PERFORMED, going, 1, count_in=False)
    assert passage is not None
    assert (lines(passage), passage.loops, passage.after) == ([4, 5, 3], True, None)


def test_a_loop_with_a_wait_runs_on_from_its_end_to_its_beginning() -> None:
    going = Going((0, 1, 2, 3, 4), loops=True)
    passage = passage_from(PERFORMED, going, 3, count_in=False)
    assert passage is not None
    assert (lines(passage), passage.loops, passage.after) == ([3, 4, 0, 1], False, 2)


def test_a_loop_is_filled_up_so_that_bars_fall_in_step() -> None:
    """'and five six' is five beats of 4/4 with its pickup: three more complete two bars."""
    passage = passage_from(PERFORMED, Going((1,), loops=True), 0, count_in=True)
    assert passage is not None
    assert passage.rest_beats == 3
    assert passage.body_sec == 4
    downbeats = [pulse.sec for pulse in passage.pulses() if pulse.downbeat]
    assert downbeats == [0, 2, 4, 6]


def test_counting_in_is_a_bar_and_heeds_the_pickup() -> None:
    plain = passage_from(PERFORMED, ALL, 0, count_in=True)
    pickup = passage_from(PERFORMED, ALL, 1, count_in=True)
    assert plain is not None
    assert pickup is not None
    assert plain.lead_in_beats == 4
    assert pickup.lead_in_beats == 7
    assert plain.lead_in_beats == perform(story_of(), count_in_bars=1).segments[0].beats


def test_clicks_are_those_of_the_audio_guide() -> None:
    """Up to the first wait the guide with a bar to count in has the same clicks."""
    guide = perform(story_of(), count_in_bars=1)
    passage = passage_from(PERFORMED, ALL, 0, count_in=True)
    assert passage is not None
    mine = [(float(pulse.sec), pulse.downbeat) for pulse in passage.pulses()]
    theirs = [
        (click.onset_sec, click.downbeat)
        for click in clicks(guide)
        if click.onset_sec < passage.length_sec
    ]
    assert mine == theirs


def test_the_place_at_a_taps_second_is_the_tap() -> None:
    for start in (0, 3, 8):
        passage = passage_from(PERFORMED, ALL, start, count_in=True)
        assert passage is not None
        for part in passage.parts:
            segment = passage.segment_of(part)
            for tap in segment.taps:
                sec = float(passage.lead_in_sec + part.start_sec) + tap.onset_sec
                moment = passage.moment(sec - segment.start_sec + 1e-9)
                assert moment.segment == part.segment
                assert not moment.counting_in
                into = float(tap.onset_beats - segment.start_beats)
                assert moment.beats == pytest.approx(into, abs=1e-6)
                assert event_beats(segment, moment.beats) == into


def test_while_counting_in_the_cursor_stands_at_the_first_line() -> None:
    passage = passage_from(PERFORMED, ALL, 3, count_in=True)
    assert passage is not None
    for sec in (0.0, 1.0, 1.99):
        moment = passage.moment(sec)
        assert (moment.segment, moment.share, moment.counting_in) == (3, 0.0, True)


@given(period_sec, period_sec, st.fractions(0, 1, max_denominator=64), st.integers(1, 32))
def test_seconds_and_beats_are_each_others_opposite(
    first: Fraction, last: Fraction, way: Fraction, beats: int
) -> None:
    times = tempo_map([(Fraction(beats), first, last)])
    beat = way * beats
    assert beats_at(times.pieces[0], float(times.seconds(beat))) == pytest.approx(
        float(beat), abs=1e-9
    )


def test_seconds_of_the_performance_and_times_round() -> None:
    """Two lines of 2 s each at 120 with a bar of 2 s before them."""
    passage = passage_from(PERFORMED, Going((3, 4), loops=True), 0, count_in=True)
    assert passage is not None
    assert [passage.lead_in_sec, passage.body_sec, passage.length_sec] == [2, 4, 6]
    start = PERFORMED.segments[3].start_sec
    at = {0.0: (-2.0, 0), 1.5: (-0.5, 0), 2.0: (0.0, 0), 5.5: (3.5, 0), 6.25: (0.25, 1)}
    at |= {9.0: (3.0, 1), 10.0: (0.0, 2), 14.5: (0.5, 3)}
    for sec, (into, times) in at.items():
        assert passage.performed(sec) == pytest.approx((start + into, times))
    # as it sounds, in whole frames, the loop may be a little longer
    assert passage.performed(6.25, 4.25) == pytest.approx((start, 1))
    assert passage.moment(6.5, 4.25).beats == pytest.approx(0.5)
    once = passage_from(PERFORMED, ALL, 3, count_in=False)
    assert once is not None
    assert once.performed(9.5) == pytest.approx((start + 9.5, 0))
    turned = passage_from(PERFORMED, Going((3, 4), loops=True), 1, count_in=False)
    assert turned is not None
    assert turned.performed(0.5) == pytest.approx((start + 2.5, 0))
    assert turned.performed(2.5) == pytest.approx((start + 0.5, 0))


def test_every_click_of_a_loop_with_its_rest() -> None:
    """A bar to count in less the pickup's beat, five beats of the line, three of rest."""
    passage = passage_from(PERFORMED, Going((1,), loops=True), 0, count_in=True)
    assert passage is not None
    assert [float(pulse.sec) for pulse in passage.pulses()] == [n / 2 for n in range(15)]


@pytest.mark.parametrize(
    ("metre", "lane", "beats"),
    [
        ("2/4", "| X . . . |", 2),
        ("3/8", "| X . . |", 2),
        ("3/4", "| X . . . . . |", 3),
        ("6/8", "x | X . . . . . |", 2 + Fraction(5, 3)),
        ("2/4", "x x | X . . . |", 3),
    ],
)
def test_at_least_a_bar_and_two_beats_lead_in(metre: str, lane: str, beats: Fraction) -> None:
    story = story_of(
        f"tapscore: 2\ntitle: T\nmetre: {metre}\nstory:\n  - section: One\n    lines:\n"
        f"      - {{words: a-way we go, lane: '{lane}'}}\n"
    )
    passage = passage_from(perform(story), Going((0,)), 0, count_in=True)
    assert passage is not None
    assert passage.lead_in_beats == beats


MIXED = """\
tapscore: 2
title: Two metres
metre: 4/4
tempo: 60
story:
  - section: One
    lines:
      - words: a one
        metre: 3/4
        lane: "x . | X . . . . . |"
      - words: a two
        lane: "x . | X . . . . . . . |"
"""


def test_a_loop_of_two_metres_rests_in_that_of_its_last_line() -> None:
    """A pickup and a bar of 3/4, a pickup and a bar of 4/4: three beats of 4/4 are left."""
    performed = perform(story_of(MIXED))
    passage = passage_from(performed, Going((0, 1), loops=True), 0, count_in=True)
    assert passage is not None
    assert passage.lead_in_beats == 5, "a bar of 3/4 and what is left of one before the pickup"
    assert passage.rest_beats == 3
    assert (float(passage.body_sec), float(passage.length_sec)) == (4 + 5 + 3, 5 + 4 + 5 + 3)
    clicks_sec = [(float(each.sec), each.downbeat) for each in passage.pulses()]
    assert [sec for sec, _ in clicks_sec] == list(range(17))
    assert [sec for sec, downbeat in clicks_sec if downbeat] == [0, 3, 6, 10, 14]


def test_in_a_loop_one_is_where_one_was_a_time_round_before() -> None:
    passage = passage_from(perform(story_of(MIXED)), Going((0, 1), loops=True), 0, count_in=True)
    assert passage is not None
    first, later = passage.moment(5 + 4.5), passage.moment(5 + 12 + 4.5)
    assert (first.segment, first.beats) == (1, 0.5)
    assert first == later
    assert passage.performed(5 + 12 + 4.5) == (4.5, 1)
    assert passage.moment(4.9).counting_in
    assert passage.moment(16.5).share == 1.0, "the rest is at the end of the last line"


def test_the_rest_of_a_loop_goes_on_as_fast_as_its_last_line_ended() -> None:
    slowing = MIXED.replace(
        "      - words: a two\n", "      - words: a two\n        tempo: 60 to 30\n"
    )
    passage = passage_from(perform(story_of(slowing)), Going((0, 1), loops=True), 0, count_in=False)
    assert passage is not None
    assert float(passage.rest_beats) == 3
    assert float(passage.rest_period_sec) == 2
    beats = [each.sec for each in passage.pulses()]
    assert [float(later - sooner) for sooner, later in pairwise(beats[-3:])] == [2, 2]
