"""The rhythm lane: where each tap and each syllable of a line falls.

A lane is bars of steps; a step is one or more cells that share it evenly.  A cell is
one mark, with what is special about that tap.
"""

from enum import Enum
from fractions import Fraction

from attrs import frozen

from tapscore.model.loudness import Loudness
from tapscore.model.metre import Metre
from tapscore.model.strokes import Stroke


class Mark(Enum):
    """What happens in a cell; the value is the letter that stands for it."""

    SYLLABLE_TAPPED = "x"
    TAP_ALONE = "t"
    SYLLABLE_ALONE = "o"
    REST = "."
    HOLD = "-"

    @property
    def tapped(self) -> bool:
        """Whether the board is touched."""
        return self in (Mark.SYLLABLE_TAPPED, Mark.TAP_ALONE)

    @property
    def said(self) -> bool:
        """Whether a syllable is spoken."""
        return self in (Mark.SYLLABLE_TAPPED, Mark.SYLLABLE_ALONE)


@frozen
class TapDetail:
    """What one tap has of its own; None or empty means as the line says."""

    loudness: Loudness | None = None
    stroke: Stroke | None = None
    spot: str | None = None
    by: tuple[str, ...] = ()


@frozen
class Cell:
    """One mark of a lane."""

    mark: Mark
    accent: bool = False
    detail: TapDetail | None = None


Step = tuple[Cell, ...]
Bar = tuple[Step, ...]


@frozen
class Lane:
    """Bars of steps; ``pickup`` is what comes before the first bar line."""

    pickup: Bar
    bars: tuple[Bar, ...]

    @property
    def all_bars(self) -> tuple[Bar, ...]:
        """The pickup, if there is one, and the bars."""
        return (self.pickup, *self.bars) if self.pickup else self.bars

    @property
    def steps(self) -> int:
        """Steps from first to last, pickup included."""
        return len(self.pickup) + sum(len(bar) for bar in self.bars)

    @property
    def syllables(self) -> int:
        """How many syllables the lane has places for."""
        return sum(cell.mark.said for bar in self.all_bars for step in bar for cell in step)


@frozen
class LaneEvent:
    """A tap, a syllable or both, in felt beats from the lane's beginning."""

    onset_beats: Fraction
    length_beats: Fraction
    cell: Cell
    bar: int
    """Bar it stands in: 0 is the pickup, 1 the first full bar."""
    position_beats: Fraction
    """Felt beats after that bar's downbeat (a pickup counts back from the next one)."""
    syllable: int | None
    """Which syllable of the line, from 0; None for a tap alone."""


def lane_beats(lane: Lane, metre: Metre) -> Fraction:
    """Length of a lane in felt beats."""
    return Fraction(lane.steps, metre.steps_per_beat)


def pickup_beats(lane: Lane, metre: Metre) -> Fraction:
    """Length of a lane's pickup in felt beats."""
    return Fraction(len(lane.pickup), metre.steps_per_beat)


def lane_events(lane: Lane, metre: Metre) -> tuple[LaneEvent, ...]:
    """Taps and syllables of a lane in order of time; rests end what is held."""
    events: list[LaneEvent] = []
    holding = False
    syllable = 0
    first = 0 if lane.pickup else 1
    per_beat = metre.steps_per_beat
    begun = 0
    for number, bar in enumerate(lane.all_bars, first):
        back = (metre.steps - len(bar)) if number == 0 else 0
        for index, step in enumerate(bar):
            parts = len(step)
            for part, cell in enumerate(step):
                mark = cell.mark
                if mark is Mark.REST:
                    holding = False
                    continue
                length = Fraction(1, per_beat * parts)
                if mark is Mark.HOLD:
                    if holding:
                        events[-1] = _longer(events[-1], length)
                    continue
                holding = True
                events.append(
                    LaneEvent(
                        Fraction((begun + index) * parts + part, per_beat * parts),
                        length,
                        cell,
                        number,
                        Fraction((back + index) * parts + part, per_beat * parts),
                        syllable if mark.said else None,
                    )
                )
                syllable += mark.said
        begun += len(bar)
    return tuple(events)


def _longer(event: LaneEvent, length: Fraction) -> LaneEvent:
    return LaneEvent(
        event.onset_beats,
        event.length_beats + length,
        event.cell,
        event.bar,
        event.position_beats,
        event.syllable,
    )
