"""Slower is exact: every time within a line is divided by the share, waits stay as they are."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.exports.audio.versions.slower import SPEEDS, slowed
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance, SegmentKind
from tests.gui.listening.fakes import TWO_WAITS, story_of


def line_times(performance: Performance) -> list[list[Fraction]]:
    """Exact seconds of every tap after its line's beginning, and of its end."""
    seconds = performance.tempo_map.seconds
    return [
        [
            seconds(beat) - seconds(segment.start_beats)
            for beat in (
                *(tap.onset_beats for tap in segment.taps),
                segment.start_beats + segment.beats,
            )
        ]
        for segment in performance.lines
    ]


@pytest.mark.parametrize("share", [speed.share for speed in SPEEDS])
def test_every_tap_is_exactly_later(share: Fraction) -> None:
    story = story_of()
    usual, slow = perform(story), perform(slowed(story, share))
    assert line_times(slow) == [[t / share for t in line] for line in line_times(usual)]


@given(st.fractions(Fraction(1, 10), Fraction(3), max_denominator=50))
def test_any_share_is_exact(share: Fraction) -> None:
    story = story_of(TWO_WAITS.replace("tempo: 120\n", "\n", 1))
    usual, slow = perform(story), perform(slowed(story, share))
    assert line_times(slow) == [[t / share for t in line] for line in line_times(usual)]


def test_waits_keep_their_seconds() -> None:
    slow = perform(slowed(story_of(), Fraction(1, 2)))
    held = [s.length_sec for s in slow.segments if s.kind is not SegmentKind.LINE]
    assert held == [10.0, 20.0]


def test_the_same_lines_in_the_same_order() -> None:
    story = story_of()
    paths = [segment.path for segment in perform(story).segments]
    assert [s.path for s in perform(slowed(story, Fraction(3, 4))).segments] == paths


def test_as_written_is_the_story_itself() -> None:
    story = story_of()
    assert slowed(story, Fraction(1)) is story
