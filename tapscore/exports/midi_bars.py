"""Where a MIDI reader must begin a new bar, and in which metre."""

from collections.abc import Iterator
from fractions import Fraction

from attrs import frozen

from tapscore.model.metre import Metre
from tapscore.rhythm.performance import Performance

CLOCKS_PER_QUARTER = 24


@frozen
class BarStart:
    """From this felt beat on, bars are counted in this metre."""

    onset_beats: Fraction
    metre: Metre

    @property
    def clocks_per_click(self) -> int:
        """MIDI clocks (24 a crotchet) in a felt beat: 36 in 6/8."""
        return int(self.metre.beat_quarters * CLOCKS_PER_QUARTER)


def bar_starts(performance: Performance) -> tuple[BarStart, ...]:
    """The first bar, and every downbeat where the metre changes or the bars start anew."""
    starts: list[BarStart] = []
    for start in _all_starts(performance):
        if starts and starts[-1].onset_beats == start.onset_beats:
            starts.pop()
        starts.append(start)
    return tuple(starts)


def _all_starts(performance: Performance) -> Iterator[BarStart]:
    if not performance.segments:
        yield BarStart(Fraction(0), Metre(4, 4))
        return
    metre = performance.segments[0].metre
    grid = Fraction(0)
    yield BarStart(grid, metre)
    for segment in performance.segments:
        start, bar = segment.start_beats, segment.metre.beats
        if segment.metre == metre and (start - grid) % bar == segment.bar_phase_beats % bar:
            continue
        downbeat = start + -segment.bar_phase_beats % bar
        if downbeat < start + segment.beats:
            metre, grid = segment.metre, downbeat
            yield BarStart(downbeat, metre)
