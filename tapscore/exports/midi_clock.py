"""Felt beats to MIDI ticks, and the tempo events that keep ticks on the second.

A MIDI tempo is a whole number of microseconds a crotchet, so every tempo is rounded; the
error is carried on to the next, and no point of the music is off by more than 1 us.
"""

from bisect import bisect_right
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from math import ceil

from attrs import frozen

from tapscore.rhythm.performance import Performance, Segment

TICKS_PER_QUARTER = 480
TOLERANCE_US = Fraction(9, 10)
_LONGEST_TEMPO_US = 0xFFFFFF


class TickClock:
    """Ticks for felt beats; a felt beat's length in crotchets depends on the metre."""

    def __init__(self, performance: Performance) -> None:
        self._segments = performance.segments
        self._starts: list[Fraction] = []
        self._quarters: list[Fraction] = []
        quarters = Fraction(0)
        for segment in performance.segments:
            self._starts.append(segment.start_beats)
            self._quarters.append(quarters)
            quarters += segment.beats * segment.metre.beat_quarters
        self.end_ticks = round(quarters * TICKS_PER_QUARTER)

    def exact_ticks(self, beat: Fraction) -> Fraction:
        """Ticks from the start to a felt beat, before rounding."""
        if not self._segments:
            return Fraction(0)
        index = max(bisect_right(self._starts, beat) - 1, 0)
        into = beat - self._starts[index]
        quarters = self._quarters[index] + into * self._segments[index].metre.beat_quarters
        return quarters * TICKS_PER_QUARTER

    def ticks(self, beat: Fraction) -> int:
        """Ticks from the start to a felt beat, rounded."""
        return round(self.exact_ticks(beat))


@frozen
class TempoEvent:
    """From ``tick`` on, a crotchet lasts ``tempo_us``."""

    tick: int
    tempo_us: int


def tempo_events(performance: Performance, clock: TickClock) -> tuple[TempoEvent, ...]:
    """Tempo events that put every beat, tap and syllable on its second.

    A tempo stays as long as it serves: an event stands only where it changes.
    """
    events: list[TempoEvent] = []
    nodes = list(_nodes(performance, clock))
    reached_us = Fraction(0)
    tempo_us = 0
    for (tick, _), (next_tick, next_sec) in pairwise(nodes):
        span = Fraction(next_tick - tick, TICKS_PER_QUARTER)
        needed_us = next_sec * 1_000_000 - reached_us
        if abs(tempo_us * span - needed_us) > TOLERANCE_US:
            tempo_us = min(max(round(needed_us / span), 1), _LONGEST_TEMPO_US)
            events.append(TempoEvent(tick, tempo_us))
        reached_us += tempo_us * span
    return tuple(events)


def _nodes(performance: Performance, clock: TickClock) -> Iterator[tuple[int, Fraction]]:
    """Ticks, each once, with the second (exact) at which each must fall."""
    beats: set[Fraction] = set()
    for segment in performance.segments:
        beats.update(_segment_nodes(performance, segment, clock))
    if performance.segments:
        last = performance.segments[-1]
        beats.add(last.start_beats + last.beats)
    seen = -1
    for beat in sorted(beats):
        tick = clock.ticks(beat)
        if tick > seen:
            yield tick, performance.tempo_map.seconds(beat)
            seen = tick


def _segment_nodes(
    performance: Performance, segment: Segment, clock: TickClock
) -> Iterator[Fraction]:
    start, end = segment.start_beats, segment.start_beats + segment.beats
    yield start
    step = Fraction(1, ceil(segment.metre.beat_quarters))
    at = start + -segment.bar_phase_beats % step
    while at < end:
        yield at
        at += step
    middle = performance.tempo_map.seconds((start + end) / 2) * 2
    bent = middle != performance.tempo_map.seconds(start) + performance.tempo_map.seconds(end)
    onsets = [tap.onset_beats for tap in segment.taps]
    onsets += [said.onset_beats for said in segment.syllables]
    if bent or any(clock.exact_ticks(onset).denominator != 1 for onset in onsets):
        yield from onsets
