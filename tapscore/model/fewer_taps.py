"""Fewer taps for the same words: every syllable, felt beats or strong beats alone are tapped.

The words keep their places: a syllable that loses its tap is still spoken where it was.
"""

from enum import Enum
from fractions import Fraction

from attrs import evolve

from tapscore.model.lane import Cell, Lane, LaneEvent, Mark, lane_events
from tapscore.model.lane_edits import change_cells
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
    return _with_taps(lane, frozenset(chosen))


def tapped_like(lane: Lane, metre: Metre) -> Tapped | None:
    """Which of the three a lane is, the fullest first; None if its taps were chosen by hand."""
    return next((which for which in Tapped if _same(lane, tapped_on(lane, metre, which))), None)


def _same(one: Lane, two: Lane) -> bool:
    return _marks(one) == _marks(two)


def _marks(lane: Lane) -> list[Mark]:
    return [cell.mark for bar in lane.all_bars for step in bar for cell in step]


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


def _with_taps(lane: Lane, chosen: frozenset[int]) -> Lane:
    """Taps on the events of these numbers; what held a tap that went is silence."""
    number = -1
    gone = False

    def change(cell: Cell) -> Cell:
        nonlocal number, gone
        if cell.mark is Mark.HOLD:
            return Cell(Mark.REST) if gone else cell
        gone = False
        if cell.mark is Mark.REST:
            return cell
        number += 1
        if number in chosen:
            mark = Mark.SYLLABLE_TAPPED if cell.mark.said else cell.mark
            return cell if mark is cell.mark else evolve(cell, mark=mark)
        gone = not cell.mark.said
        return Cell(Mark.REST if gone else Mark.SYLLABLE_ALONE)

    return change_cells(lane, change)
