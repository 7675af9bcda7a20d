"""A line's taps and syllables laid on an even grid of its beats, worked out once."""

from fractions import Fraction
from functools import lru_cache

from attrs import frozen

from tapscore.model.lane import Cell, Lane, LaneEvent, Mark, laid_out, lane_beats, pickup_beats
from tapscore.model.loudness import Loudness, Swell, level_of
from tapscore.model.metre import Metre
from tapscore.model.story import Line

_SAID = Cell(Mark.SYLLABLE_ALONE)
_LEVELS = tuple(Fraction(int(level)) for level in Loudness)


@frozen(eq=False, repr=False)
class Layout:
    """Events of a line, with their onsets and ends as whole ticks of a grid."""

    events: tuple[LaneEvent, ...]
    beats: Fraction
    """Length of the line in felt beats."""
    pickup_beats: Fraction
    ticks_per_beat: int
    ticks: tuple[tuple[int, int], ...]
    """Onset and end of each event."""
    tapped: tuple[int, ...]
    """Which of the events are taps."""


def line_layout(line: Line, metre: Metre) -> Layout:
    """Where a line's taps and syllables fall.

    A line without a lane is spoken a syllable a step, untapped, and fills whole bars.
    """
    if line.lane is not None:
        return _lane_layout(line.lane, metre)
    return _spoken_layout(len(line.syllables), metre)


@lru_cache(maxsize=4096)
def tap_levels(layout: Layout, swell: Swell) -> tuple[Fraction, ...]:
    """Loudness (0 to 4) of each tap: the swell runs from the first tap to the last."""
    if not layout.tapped:
        return ()
    first = layout.ticks[layout.tapped[0]][0]
    spread = layout.ticks[layout.tapped[-1]][0] - first
    begin = _LEVELS[swell[0]]
    levels = []
    for index in layout.tapped:
        detail = layout.events[index].cell.detail
        if detail is not None and detail.loudness is not None:
            levels.append(_LEVELS[detail.loudness])
        elif len(swell) == 1 or not spread:
            levels.append(begin)
        else:
            levels.append(level_of(swell, layout.ticks[index][0] - first, spread))
    return tuple(levels)


@lru_cache(maxsize=4096)
def _lane_layout(lane: Lane, metre: Metre) -> Layout:
    grid = laid_out(lane, metre)
    return Layout(
        grid.events,
        lane_beats(lane, metre),
        pickup_beats(lane, metre),
        grid.ticks_per_beat,
        grid.ticks,
        tuple([i for i, event in enumerate(grid.events) if event.cell.mark.tapped]),
    )


@lru_cache(maxsize=256)
def _spoken_layout(count: int, metre: Metre) -> Layout:
    step = Fraction(1, metre.steps_per_beat)
    events = tuple(
        LaneEvent(i * step, step, _SAID, 1 + i // metre.steps, i % metre.steps * step, i)
        for i in range(count)
    )
    bars = max(-(-count // metre.steps), 1)
    return Layout(
        events,
        Fraction(bars * metre.beats),
        Fraction(0),
        metre.steps_per_beat,
        tuple((i, i + 1) for i in range(count)),
        (),
    )
