"""Tapping along: matched against scipy's assignment, and what may be said of it."""

from itertools import pairwise
from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment  # type: ignore[import-untyped]

from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance
from tapscore.rhythm.practised import FARTHEST_SEC, Practised, Timing, matched, practised
from tapscore.storyfile.read import read_text

TEXT = """\
tapscore: 2
title: Steps
metre: 4/4
tempo: 90
by: beater
roles:
  beater: {}
  other: {}
story:
  - section: One
    lines:
      - words: one two three four five six
        lane: "| X . x . x . x . | X . . . x . . . |"
      - words: and the other
        lane: "| X . x . x . . . |"
        by: other
      - words: last of all we go
        lane: "| X . x . x . x . | X . . . . . . . |"
"""

times = st.lists(st.floats(0, 5).map(lambda sec: round(sec, 3)), max_size=7).map(sorted)


@pytest.fixture
def steps() -> Performance:
    story = read_text(TEXT).story
    assert story is not None
    return perform(story)


def wanted(performance: Performance, role: str = "beater") -> list[float]:
    return [tap.onset_sec for tap in performance.taps if tap.role == role]


def tapped(performance: Performance, touches: list[float]) -> Practised:
    return practised(performance, range(3), "beater", touches)


@given(times, times)
def test_the_matching_costs_as_little_as_an_assignment_solver_finds(
    written: list[float], touches: list[float]
) -> None:
    """Reference: scipy.optimize.linear_sum_assignment, with a stand-in for staying alone."""
    alone = FARTHEST_SEC / 2
    size = len(written) + len(touches)
    costs = np.full((size, size), alone)
    for row, sec in enumerate(written):
        for column, touch in enumerate(touches):
            costs[row, column] = abs(sec - touch)
    costs[len(written) :, len(touches) :] = 0.0
    best = float(costs[linear_sum_assignment(costs)].sum())
    pairs = matched(written, touches)
    cost = sum(abs(written[row] - touches[column]) for row, column in pairs)
    cost += alone * (size - 2 * len(pairs))
    assert cost == pytest.approx(best, abs=1e-9)
    assert pairs == sorted(pairs)
    assert all(first[0] < second[0] and first[1] < second[1] for first, second in pairwise(pairs))


@given(st.floats(-0.09, 0.13), st.integers(0, 999))
def test_a_steady_adult_is_together_however_late_the_sound_reaches_her(
    delay_sec: float, seed: int
) -> None:
    """Scatter of 25 ms: within what people tapping along have (Repp 2005, from memory)."""
    story = read_text(TEXT).story
    assert story is not None
    performance = perform(story)
    scatter = Random(seed)
    touches = [
        sec + delay_sec + max(min(scatter.gauss(0, 0.025), 0.05), -0.05)
        for sec in wanted(performance)
    ]
    found = tapped(performance, touches)
    assert found.whole is Timing.TOGETHER
    assert [note.segment for note in found.lines] == [0, 2]
    for note in found.lines:
        assert note.timing is Timing.TOGETHER
        assert not note.missing
        assert not note.more


def test_one_line_ahead_is_named(steps: Performance) -> None:
    begin = steps.segments[2].start_sec
    touches = [sec - 0.13 if sec >= begin else sec for sec in wanted(steps)]
    found = tapped(steps, touches)
    assert [note.timing for note in found.lines] == [Timing.TOGETHER, Timing.AHEAD]


def test_getting_faster_within_a_line_is_hurrying(steps: Performance) -> None:
    end = steps.segments[1].start_sec
    touches = [sec - 0.1 * sec if sec < end else sec for sec in wanted(steps)]
    assert tapped(steps, touches).lines[0].timing is Timing.HURRYING
    touches = [sec + 0.1 * sec if sec < end else sec for sec in wanted(steps)]
    assert tapped(steps, touches).lines[0].timing is Timing.DRAGGING


def test_behind_all_through_is_said_of_the_whole(steps: Performance) -> None:
    found = tapped(steps, [sec + 0.2 for sec in wanted(steps)])
    assert found.whole is Timing.BEHIND
    assert {note.timing for note in found.lines} == {Timing.TOGETHER}


def test_missing_and_extra_taps_are_noticed_in_their_line(steps: Performance) -> None:
    all_taps = wanted(steps)
    begin = steps.segments[2].start_sec
    found = tapped(steps, [sec for sec in all_taps if sec < begin])
    assert [note.missing for note in found.lines] == [False, True]
    step = 60 / 90 / 2
    extra = sorted([*all_taps, begin + step, begin + 3 * step])
    found = tapped(steps, extra)
    assert [note.more for note in found.lines] == [False, True]
    assert not any(note.missing for note in found.lines)


def test_nothing_tapped_and_nothing_to_tap(steps: Performance) -> None:
    nothing = tapped(steps, [])
    assert not nothing.tapped
    assert nothing.whole is Timing.TOGETHER
    assert {(note.timing, note.missing) for note in nothing.lines} == {(Timing.TOGETHER, True)}
    assert practised(steps, [1], "beater", [1.0]).lines == ()
    assert len(practised(steps, range(3), None, wanted(steps)).lines) == 3


EDGES = """\
tapscore: 2
title: Edges
metre: 4/4
tempo: 60
roles: {beater: , other: }
by: beater
story:
  - section: One
    lines:
      - {words: one two three four, lane: "| x . x . x . x . |"}
      - {words: one two three four, lane: "| x . x . x . x . |"}
      - {words: one two three, lane: "| x . x . x . . . |"}
"""
WRITTEN = (0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10)  # seconds


def edge_notes(touches: list[float]) -> Practised:
    story = read_text(EDGES).story
    assert story is not None
    performance = perform(story)
    assert wanted(performance) == list(WRITTEN)
    return practised(performance, range(3), "beater", touches)


def moved(**by: float) -> list[float]:
    """Taps of a line (``first``, ``second``, ``third``) so many seconds later."""
    lines = {"first": WRITTEN[:4], "second": WRITTEN[4:8], "third": WRITTEN[8:]}
    return [sec + by.get(name, 0) for name, found in lines.items() for sec in found]


@pytest.mark.parametrize(
    ("away_sec", "timing"),
    [
        (0.06, Timing.TOGETHER),
        (0.08, Timing.BEHIND),
        (-0.06, Timing.TOGETHER),
        (-0.08, Timing.AHEAD),
    ],
)
def test_seventy_thousandths_of_a_second_are_still_together(
    away_sec: float, timing: Timing
) -> None:
    found = edge_notes(moved(second=away_sec))
    assert [note.timing for note in found.lines] == [Timing.TOGETHER, timing, Timing.TOGETHER]
    assert found.whole is Timing.TOGETHER


@pytest.mark.parametrize(
    ("away_sec", "whole"),
    [
        (0.14, Timing.TOGETHER),
        (0.16, Timing.BEHIND),
        (-0.14, Timing.TOGETHER),
        (-0.16, Timing.AHEAD),
    ],
)
def test_what_a_computers_delay_explains_is_not_said(away_sec: float, whole: Timing) -> None:
    found = edge_notes([sec + away_sec for sec in WRITTEN])
    assert found.whole is whole
    assert {note.timing for note in found.lines} == {Timing.TOGETHER}


@pytest.mark.parametrize(
    ("drawn_sec", "timing"),
    [
        (0.13, Timing.TOGETHER),
        (0.15, Timing.DRAGGING),
        (-0.13, Timing.TOGETHER),
        (-0.15, Timing.HURRYING),
    ],
)
def test_drawing_a_line_out(drawn_sec: float, timing: Timing) -> None:
    """Of four taps the last is held against the first; those between count for neither."""
    touches = moved()
    touches[4:8] = [4, 5 + drawn_sec / 2, 6 + drawn_sec / 2, 7 + drawn_sec]
    assert edge_notes(touches).lines[1].timing is timing


def test_three_taps_are_too_few_to_speak_of_hurrying() -> None:
    touches = moved()
    touches[8:] = [8, 9.0, 10.2]
    assert edge_notes(touches).lines[2].timing is Timing.TOGETHER


@pytest.mark.parametrize(("lost", "missing"), [(0, False), (1, False), (2, True), (4, True)])
def test_more_than_a_quarter_of_a_line_is_missing(lost: int, missing: bool) -> None:
    touches = moved()
    del touches[4 : 4 + lost]
    found = edge_notes(touches)
    assert [note.missing for note in found.lines] == [False, missing, False]
    assert not any(note.more for note in found.lines)


@pytest.mark.parametrize(("extra", "more"), [(1, False), (2, True), (3, True)])
def test_one_tap_more_is_not_several(extra: int, more: bool) -> None:
    found = edge_notes(sorted([*WRITTEN, *(4.45 + at for at in range(extra))]))
    assert [note.more for note in found.lines] == [False, more, False]
    assert not any(note.missing for note in found.lines)


@pytest.mark.parametrize(("away_sec", "pairs"), [(0.34, [(0, 0)]), (0.36, [])])
def test_a_third_of_a_second_away_is_another_tap(
    away_sec: float, pairs: list[tuple[int, int]]
) -> None:
    assert matched([1.0], [1.0 + away_sec]) == pairs
    assert matched([1.0], [1.0 - away_sec]) == pairs


def test_taps_of_one_instant_are_one_touch() -> None:
    story = read_text(EDGES.replace("by: beater", "by: everyone")).story
    assert story is not None
    performance = perform(story)
    assert len(performance.taps) == 22
    for role in (None, "other"):
        found = practised(performance, range(3), role, list(WRITTEN))
        assert [note.missing for note in found.lines] == [False] * 3
    alone = practised(performance, [1], "beater", [4.0, 5.0, 6.0, 7.0])
    assert [note.segment for note in alone.lines] == [1]
    assert alone.tapped
