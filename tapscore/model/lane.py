"""The rhythm lane: where each tap and each syllable of a line falls.

A lane is bars of steps; a step is one or more cells that share it evenly.  A cell is
one mark, with what is special about that tap.
"""

from collections.abc import Callable
from enum import Enum
from fractions import Fraction
from functools import cached_property, lru_cache
from math import lcm

from attrs import evolve, frozen

from tapscore.model.loudness import Loudness
from tapscore.model.manner import EVERYONE
from tapscore.model.metre import Metre
from tapscore.model.strokes import Stroke


class Mark(Enum):
    """What happens in a cell; the value is the letter that stands for it."""

    SYLLABLE_TAPPED = "x"
    TAP_ALONE = "t"
    SYLLABLE_ALONE = "s"
    REST = "."
    HOLD = "_"

    _value_: str
    tapped: bool
    """Whether the board is touched."""
    said: bool
    """Whether a syllable is spoken."""

    def __init__(self, letter: str) -> None:
        self.tapped = letter in "xt"
        self.said = letter in "xs"


@frozen
class TapDetail:
    """What one tap has of its own; None or empty means as the line says."""

    loudness: Loudness | None = None
    stroke: Stroke | None = None
    spot: str | None = None
    by: tuple[str, ...] = ()
    single: "tuple[tuple[str, TapDetail], ...]" = ()
    """What one adult does otherwise on this tap, by role; those say nothing of who taps."""

    @property
    def adults(self) -> tuple[str, ...]:
        """Who taps, where the tap says so itself: whom it names in either way."""
        return tuple(dict.fromkeys((*self.by, *(role for role, _ in self.single))))

    def of(self, role: str) -> "TapDetail":
        """What the tap has of its own for one adult."""
        for name, own in self.single:
            if name == role:
                return TapDetail(
                    self.loudness if own.loudness is None else own.loudness,
                    own.stroke or self.stroke,
                    self.spot if own.spot is None else own.spot,
                    self.by,
                )
        return self

    def own(self, role: str) -> "TapDetail":
        """What is said of one adult alone."""
        return dict(self.single).get(role, TapDetail())

    def with_own(self, role: str, own: "TapDetail", taps: tuple[str, ...]) -> "TapDetail":
        """This with something else said of one adult alone; those who tap it now (``taps``) stay.

        Nothing said of somebody in particular needs no names where the line's own adults tap.
        """
        single = {name: each for name, each in self.single if name != role}
        if own != TapDetail():
            single[role] = own
        by = self.by if self.adults else taps
        by = by if role in (*by, *single) or EVERYONE in by else (*by, role)
        alone = not single and set(by) == set(taps)
        return evolve(self, by=() if alone else by, single=tuple(single.items()))

    @property
    def each(self) -> "tuple[TapDetail, ...]":
        """This, and what single adults do otherwise."""
        return self, *(own for _, own in self.single)

    def changed(self, change: "Callable[[TapDetail], TapDetail]") -> "TapDetail":
        """This with itself and all that single adults do otherwise changed."""
        new = change(self)
        return evolve(new, single=tuple((role, change(own)) for role, own in self.single))


@frozen(cache_hash=True)
class Cell:
    """One mark of a lane."""

    mark: Mark
    accent: bool = False
    detail: TapDetail | None = None


Step = tuple[Cell, ...]
Bar = tuple[Step, ...]


@frozen(cache_hash=True)
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

    @cached_property
    def syllables(self) -> int:
        """How many syllables the lane has places for."""
        return sum(cell.mark.said for bar in self.all_bars for step in bar for cell in step)


@frozen(slots=False)
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
    return laid_out(lane, metre).events


@frozen(eq=False, repr=False)
class LaidOut:
    """A lane's events, with their onsets and ends as whole ticks of an even grid."""

    events: tuple[LaneEvent, ...]
    ticks_per_beat: int
    ticks: tuple[tuple[int, int], ...]
    """Onset and end of each event."""


@lru_cache(maxsize=4096)
def laid_out(lane: Lane, metre: Metre) -> LaidOut:
    """A lane on the coarsest even grid of a felt beat on which each of its marks falls."""
    parts = {len(step) for bar in lane.all_bars for step in bar}
    per_beat = metre.steps_per_beat * lcm(*parts)
    step_ticks = per_beat // metre.steps_per_beat
    found: list[tuple[int, int, Cell, int, int, int | None]] = []
    holding = False
    syllable = at = 0
    for number, bar in enumerate(lane.all_bars, 0 if lane.pickup else 1):
        downbeat = at - (metre.steps - len(bar)) * step_ticks if number == 0 else at
        for step in bar:
            part_ticks = step_ticks // len(step)
            for cell in step:
                mark = cell.mark
                end = at + part_ticks
                if mark is Mark.REST:
                    holding = False
                elif mark is not Mark.HOLD:
                    holding = True
                    said = mark.said
                    place = syllable if said else None
                    found.append((at, end, cell, number, at - downbeat, place))
                    syllable += said
                elif holding:
                    begun, _, held, its_bar, position, its_syllable = found[-1]
                    found[-1] = (begun, end, held, its_bar, position, its_syllable)
                at = end
    return LaidOut(
        tuple(
            LaneEvent(
                _beats(begin, per_beat),
                _beats(end - begin, per_beat),
                cell,
                number,
                _beats(position, per_beat),
                place,
            )
            for begin, end, cell, number, position, place in found
        ),
        per_beat,
        tuple([(begin, end) for begin, end, *_ in found]),
    )


_beats = lru_cache(maxsize=8192)(Fraction)
