"""The one function that turns felt beats into seconds.

A tempo change is linear in the beat's period: the seconds from its start to beat x of B
are ``x*p0 + (p1 - p0)*x*x/(2*B)``, so exact beats give exact fractions of a second.
"""

from bisect import bisect_right
from collections.abc import Iterable
from fractions import Fraction

from attrs import field, frozen


@frozen
class TempoPiece:
    """A stretch of beats with one tempo, steady or changing."""

    start_beats: Fraction
    beats: Fraction
    first_period_sec: Fraction
    last_period_sec: Fraction
    start_sec: Fraction

    @property
    def length_sec(self) -> Fraction:
        """Seconds from the piece's first beat to its end."""
        return self.beats * (self.first_period_sec + self.last_period_sec) / 2

    @property
    def steady(self) -> bool:
        """Whether every beat lasts as long as the first."""
        return self.first_period_sec == self.last_period_sec


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
        if piece.steady:
            return piece.start_sec + into * piece.first_period_sec
        if into > piece.beats:
            return piece.start_sec + piece.length_sec + (into - piece.beats) * piece.last_period_sec
        bend = (piece.last_period_sec - piece.first_period_sec) / (2 * piece.beats)
        return piece.start_sec + into * (piece.first_period_sec + bend * into)


def tempo_map(stretches: Iterable[tuple[Fraction, Fraction, Fraction]]) -> TempoMap:
    """Join stretches of (beats, first period, last period), each in beats and seconds.

    Stretches of no beats are left out.  Raises ValueError for a period that is not above 0.
    """
    pieces: list[TempoPiece] = []
    beat = second = Fraction(0)
    for beats, first, last in stretches:
        if first <= 0 or last <= 0:
            raise ValueError(f"a beat must last some time, not {min(first, last)} s")
        if beats <= 0:
            continue
        piece = TempoPiece(beat, beats, first, last, second)
        pieces.append(piece)
        beat += beats
        second += piece.length_sec
    return TempoMap(tuple(pieces))
