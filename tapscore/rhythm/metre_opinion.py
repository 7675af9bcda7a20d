"""A second opinion on the metre of a whole story: the live arithmetic held against music21.

The two count apart.  Ours places each tap by the bar lines of its own lane; music21 is given
nothing but lengths and time signatures, one after the other through all sections, and puts the
bar lines itself.
"""

from collections.abc import Iterator
from enum import Enum
from fractions import Fraction

from attrs import frozen

from tapscore.model.lane import Lane, LaneEvent
from tapscore.model.metre import Metre, beat_strength
from tapscore.model.story import Story
from tapscore.rhythm import theory_apart
from tapscore.rhythm.layout import line_layout
from tapscore.rhythm.line_bars import bar_faults, missing_at_end
from tapscore.rhythm.notation import lengths
from tapscore.rhythm.theory import Asked, Bars, TheoryNote
from tapscore.rhythm.theory_apart import counted
from tapscore.rhythm.unroll import Placed, unroll


class Differs(Enum):
    """In what the two differ; the value names the text that says so."""

    BAR = "bar"
    STRENGTH = "strength"
    TIE = "tie"
    JOIN = "join"
    MISSING = "missing"


@frozen
class MetreDifference:
    """One place where the two differ."""

    placed: Placed
    what: Differs
    event: int | None = None
    """Which event of the line's lane, from 0."""
    bar: int | None = None
    """Which bar of the lane; 0 is the pickup."""
    own: Fraction = Fraction(0)
    theirs: Fraction = Fraction(0)


def differences(story: Story) -> Iterator[MetreDifference]:
    """Where the live arithmetic and music21 differ, in the order of the telling."""
    placed = unroll(story)
    asked = _asked(placed)
    found = counted(asked)
    full = dict(zip(asked.lanes, found.lanes, strict=True))
    notes: dict[int, dict[int, TheoryNote]] = {}
    for note in found.notes:
        notes.setdefault(note.placed, {})[note.event] = note
    for number, here in enumerate(placed):
        line = here.line
        if line is None:
            continue
        metre = here.manner.metre
        if line.lane is not None:
            yield from _bars(here, line.lane, metre, full[_bars_of(line.lane, metre)])
        events = line_layout(line, metre).events
        for at, event in enumerate(events):
            theirs = notes.get(number, {}).get(at)
            yield from _event(here, at, event, metre, theirs)
        before = placed[number - 1] if number else None
        if before is not None and before.line is not None:
            yield from _join(before, here, notes.get(number - 1, {}), notes.get(number, {}))


def ask_ahead(story: Story) -> None:
    """Have music21 count in another process, so that ``differences`` need not wait as long."""
    theory_apart.ask_ahead(_asked(unroll(story)))


def _asked(placed: tuple[Placed, ...]) -> Asked:
    lanes = (
        _bars_of(here.line.lane, here.manner.metre)
        for here in placed
        if here.line is not None and here.line.lane is not None
    )
    return Asked(tuple(lengths(placed)), tuple(dict.fromkeys(lanes)))


def _bars_of(lane: Lane, metre: Metre) -> Bars:
    return Bars(metre, tuple(tuple(len(step) for step in bar) for bar in lane.all_bars))


def _bars(
    here: Placed, lane: Lane, metre: Metre, full: tuple[Fraction, ...]
) -> Iterator[MetreDifference]:
    first = 0 if lane.pickup else 1
    for number, (bar, theirs) in enumerate(zip(lane.all_bars, full, strict=True), first):
        own = Fraction(len(bar), metre.steps)
        if own != theirs:
            yield MetreDifference(here, Differs.BAR, None, number, own, theirs)


def _event(
    here: Placed, at: int, event: LaneEvent, metre: Metre, theirs: TheoryNote | None
) -> Iterator[MetreDifference]:
    if theirs is None or theirs.metre != str(metre):
        yield MetreDifference(here, Differs.MISSING, at, event.bar)
        return
    position = event.position_beats % metre.beats
    # music21 knows weights down to the steps of the lane; finer places have none of their own
    if metre.steps_per_beat % position.denominator == 0:
        own = beat_strength(metre, position)
        if own != theirs.strength:
            yield MetreDifference(here, Differs.STRENGTH, at, event.bar, own, theirs.strength)
    tied = position + event.length_beats > metre.beats
    if tied != theirs.tied:
        yield MetreDifference(
            here, Differs.TIE, at, event.bar, Fraction(tied), Fraction(theirs.tied)
        )


def _join(
    before: Placed, here: Placed, their_last: dict[int, TheoryNote], first: dict[int, TheoryNote]
) -> Iterator[MetreDifference]:
    """Whether a pickup stands in the same bar as the end of the line before."""
    if not (before.line and here.line and before.line.lane and here.line.lane):
        return
    metre = before.manner.metre
    lane, after = before.line.lane, here.line.lane
    if here.manner.metre != metre or not their_last or not first or not after.pickup:
        return
    if any(True for each in (lane, after) for _ in bar_faults(each, metre)):
        return
    events = line_layout(before.line, metre).events
    last, opening = events[-1], line_layout(here.line, metre).events[0]
    if last.bar != len(lane.bars) or opening.bar != 0:
        return
    pickup = Fraction(len(after.pickup), metre.steps_per_beat)
    own = missing_at_end(lane, metre) == pickup
    theirs = their_last[max(their_last)].bar == first[min(first)].bar
    if own != theirs:
        yield MetreDifference(here, Differs.JOIN, 0, 0, Fraction(own), Fraction(theirs))
