"""The one function that turns felt beats into seconds.

A tempo change is linear in the beat's period: the seconds from its start to beat x of B
are ``x*p0 + (p1 - p0)*x*x/(2*B)``, so exact beats give exact fractions of a second.
"""

from bisect import bisect_right
from collections.abc import Iterable
from fractions import Fraction
from math import lcm

from attrs import define, field, frozen


@frozen(eq=False, repr=False)
class GridClock:
    """A tempo piece's formula in whole numbers, for places on an even grid of its beats.

    Tick k is ``(start + linear*k + bend*k*k) / whole`` seconds from the performance's
    start.  Whole numbers divided in Python give the nearest float there is, so these
    seconds are just what ``float(TempoMap.seconds(...))`` says, many times faster.
    """

    start: int
    linear: int
    bend: int
    whole: int

    def exact(self, tick: int) -> Fraction:
        """Seconds from the performance's start to a tick."""
        return Fraction(self.start + (self.linear + self.bend * tick) * tick, self.whole)

    def seconds(self, tick: int) -> float:
        """The same, as the nearest float."""
        return (self.start + (self.linear + self.bend * tick) * tick) / self.whole

    def between(self, first: int, last: int) -> float:
        """Seconds from one tick to another, as the nearest float."""
        return (last - first) * (self.linear + self.bend * (last + first)) / self.whole

    def spans(self, ticks: Iterable[tuple[int, int]]) -> list[tuple[float, float]]:
        """``seconds`` of the first and ``between`` both, for many pairs of ticks."""
        start, linear, bend, whole = self.start, self.linear, self.bend, self.whole
        return [
            (
                (start + (linear + bend * first) * first) / whole,
                (last - first) * (linear + bend * (last + first)) / whole,
            )
            for first, last in ticks
        ]


@frozen
class TempoPiece:
    """A passage of beats with one tempo, steady or changing."""

    start_beats: Fraction
    beats: Fraction
    first_period_sec: Fraction
    last_period_sec: Fraction
    start_sec: Fraction
    length_sec: Fraction = field(init=False, eq=False)
    """Seconds from the piece's first beat to its end."""

    def __attrs_post_init__(self) -> None:
        first, last = self.first_period_sec, self.last_period_sec
        mean = first if first == last else (first + last) / 2
        object.__setattr__(self, "length_sec", self.beats * mean)

    @property
    def steady(self) -> bool:
        """Whether every beat lasts as long as the first."""
        return self.first_period_sec == self.last_period_sec

    def clock(self, ticks_per_beat: int) -> GridClock:
        """The piece's formula for ticks counted from its first beat."""
        return GridClock(*self._formula(ticks_per_beat))

    def _formula(self, per_beat: int) -> tuple[int, int, int, int]:
        start, first, last = self.start_sec, self.first_period_sec, self.last_period_sec
        linear_below = first.denominator * per_beat
        if first == last:
            whole = lcm(start.denominator, linear_below)
            bend = 0
        else:
            # (last - first) / (2 * beats), for ticks instead of beats, as one fraction
            rise = last.numerator * first.denominator - first.numerator * last.denominator
            bend_below = 2 * self.beats.numerator * first.denominator * last.denominator
            bend_below *= per_beat * per_beat
            whole = lcm(start.denominator, linear_below, bend_below)
            bend = rise * self.beats.denominator * (whole // bend_below)
        return (
            start.numerator * (whole // start.denominator),
            first.numerator * (whole // linear_below),
            bend,
            whole,
        )


@frozen
class TempoMap:
    """Pieces that follow one another without a gap."""

    pieces: tuple[TempoPiece, ...]
    _starts: tuple[Fraction, ...] = field(init=False, eq=False, repr=False)

    def __attrs_post_init__(self) -> None:
        object.__setattr__(self, "_starts", tuple(piece.start_beats for piece in self.pieces))

    def seconds(self, beat: Fraction) -> Fraction:
        """Seconds from the start to ``beat``; beyond the end the last period goes on."""
        if not self.pieces:
            return Fraction(0)
        piece = self.pieces[max(bisect_right(self._starts, beat) - 1, 0)]
        into = beat - piece.start_beats
        inside = min(into, piece.beats)
        at = piece.clock(inside.denominator).exact(inside.numerator)
        return at + (into - inside) * piece.last_period_sec


@define
class TempoMapMaker:
    """Joins passages of beats to a tempo map, one after the other."""

    pieces: list[TempoPiece] = field(factory=list)
    beat: Fraction = Fraction(0)
    """Where the next passage begins."""
    second: Fraction = Fraction(0)

    def add(self, beats: Fraction, first_sec: Fraction, last_sec: Fraction) -> TempoPiece:
        """Join ``beats`` whose first lasts ``first_sec`` and whose last ``last_sec``.

        A passage of no beats takes no room in the map.  Raises ValueError for a period that
        is not above 0.
        """
        if first_sec.numerator <= 0 or last_sec.numerator <= 0:
            raise ValueError(f"a beat must last some time, not {min(first_sec, last_sec)} s")
        if beats.numerator <= 0:
            return TempoPiece(self.beat, Fraction(0), first_sec, first_sec, self.second)
        piece = TempoPiece(self.beat, beats, first_sec, last_sec, self.second)
        self.pieces.append(piece)
        self.beat += beats
        self.second += piece.length_sec
        return piece

    def made(self) -> TempoMap:
        """The map of all that was joined."""
        return TempoMap(tuple(self.pieces))
