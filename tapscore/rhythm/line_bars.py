"""Bars of a lane against its metre, by plain counting."""

from collections.abc import Iterator
from fractions import Fraction

from tapscore.model.lane import Lane
from tapscore.model.metre import Metre


def bar_faults(lane: Lane, metre: Metre) -> Iterator[tuple[int, int]]:
    """Bars that are too long or too short, as (bar number, steps in it).

    Bar 0 is the pickup, which is shorter than a bar.  The last bar may be short: what it
    lacks is a matter between it and the next line's pickup.
    """
    full = metre.steps
    if len(lane.pickup) >= full:
        yield 0, len(lane.pickup)
    for number, bar in enumerate(lane.bars, 1):
        if len(bar) > full or (len(bar) < full and number < len(lane.bars)):
            yield number, len(bar)


def missing_at_end(lane: Lane, metre: Metre) -> Fraction:
    """Felt beats that the last bar lacks; 0 where it is full or too long."""
    return Fraction(max(metre.steps - len(lane.bars[-1]), 0), metre.steps_per_beat)
