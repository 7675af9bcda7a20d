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
    assert not tapped(steps, []).tapped
    assert practised(steps, [1], "beater", [1.0]).lines == ()
    assert len(practised(steps, range(3), None, wanted(steps)).lines) == 3
