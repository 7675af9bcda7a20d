"""Fewer taps for the same words: every syllable, felt beats or strong beats alone are tapped.

The words keep their places: a syllable that loses its tap is still spoken where it was.
"""

from enum import Enum
from fractions import Fraction

from tapscore.model.lane import Lane, LaneEvent, Mark, lane_events
from tapscore.model.lane_edits import with_marks
from tapscore.model.metre import Metre, beat_strength


class Tapped(Enum):
    """Which syllables are tapped; the value is the word used in commands."""

    EVERY = "every"
    BEATS = "beats"
    STRONG = "strong"


NAMES = {
    Tapped.EVERY: "every syllable",
    Tapped.BEATS: "on the beat",
    Tapped.STRONG: "strong beats alone",
}


def tapped_on(lane: Lane, metre: Metre, which: Tapped) -> Lane:
    """The lane with taps on those syllables, and on no others.

    Taps without a syllable stay where they fall on such beats and go elsewhere.  A line never
    loses its last tap: one without a syllable on a strong beat keeps those on its beats, one
    without any of these its first.
    """
    events = lane_events(lane, metre)
    chosen = [at for at, event in enumerate(events) if wanted(event, metre, which)]
    if not chosen and which is Tapped.STRONG:
        return tapped_on(lane, metre, Tapped.BEATS)
    if not chosen:
        chosen = [at for at, event in enumerate(events) if event.cell.mark.said][:1]
    marks = {at: _mark(event.cell.mark, at in chosen) for at, event in enumerate(events)}
    return with_marks(lane, marks)


def _mark(mark: Mark, tapped: bool) -> Mark:
    """The mark with a tap or without one; what is said stays said."""
    if mark.said:
        return Mark.SYLLABLE_TAPPED if tapped else Mark.SYLLABLE_ALONE
    return mark if tapped else Mark.REST


def wanted(event: LaneEvent, metre: Metre, which: Tapped) -> bool:
    """Whether an event falls where it is tapped."""
    if which is Tapped.EVERY:
        return True
    if event.position_beats.denominator != 1:
        return False
    strength = beat_strength(metre, event.position_beats)
    return (
        which is Tapped.BEATS or strength == 1 or (metre.beats == 4 and strength == Fraction(1, 2))
    )
