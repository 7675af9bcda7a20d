"""How loud each tap of a line is, swells and single taps included."""

from collections.abc import Sequence
from fractions import Fraction

from tapscore.model.lane import LaneEvent
from tapscore.model.loudness import Swell, level_at


def tap_levels(events: Sequence[LaneEvent], swell: Swell) -> dict[int, Fraction]:
    """Loudness from 0 to 4 by event number, for the events that are taps.

    A swell runs from the line's first tap to its last; a tap's own loudness overrides it.
    """
    tapped = [(i, event) for i, event in enumerate(events) if event.cell.mark.tapped]
    if not tapped:
        return {}
    first = tapped[0][1].onset_beats
    spread = tapped[-1][1].onset_beats - first
    levels: dict[int, Fraction] = {}
    for i, event in tapped:
        own = event.cell.detail.loudness if event.cell.detail else None
        if own is not None:
            levels[i] = Fraction(int(own))
        elif len(swell) == 1 or not spread:
            levels[i] = Fraction(int(swell[0]))
        else:
            levels[i] = level_at(swell, (event.onset_beats - first) / spread)
    return levels
