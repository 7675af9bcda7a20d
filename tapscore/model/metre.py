"""Metres: how many felt beats a bar has and how each beat divides.

Musical time is counted in *felt beats* (the dotted crotchet in 6/8, the crotchet in
4/4) as exact fractions.  A *step* is the lane's unit: half a beat in simple metres, a
third of a beat in compound ones.
"""

import re
from fractions import Fraction

from attrs import frozen

_PATTERN = re.compile(r"\s*(\d{1,2})\s*/\s*(\d{1,2})\s*\Z")
SUPPORTED = ("2/4", "3/4", "4/4", "6/8", "9/8", "12/8", "2/2", "5/4", "3/8")


@frozen
class Metre:
    """A time signature, ``count`` notes of 1/``unit`` to the bar."""

    count: int
    unit: int

    @property
    def compound(self) -> bool:
        """Whether a felt beat divides into three."""
        return self.unit == 8

    @property
    def beats(self) -> int:
        """Felt beats in a bar."""
        return self.count // 3 if self.compound else self.count

    @property
    def steps_per_beat(self) -> int:
        """Lane steps in one felt beat."""
        return 3 if self.compound else 2

    @property
    def steps(self) -> int:
        """Lane steps in a full bar."""
        return self.beats * self.steps_per_beat

    @property
    def beat_quarters(self) -> Fraction:
        """Length of one felt beat in crotchets (quarter notes)."""
        return Fraction(3, 2) if self.compound else Fraction(4, self.unit)

    def __str__(self) -> str:
        return f"{self.count}/{self.unit}"


def parse_metre(text: str) -> Metre | None:
    """Read ``"6/8"``; None where the text is not one of the supported metres."""
    match = _PATTERN.match(text)
    if match is None:
        return None
    metre = Metre(int(match[1]), int(match[2]))
    return metre if str(metre) in SUPPORTED else None


def beat_strength(metre: Metre, position_beats: Fraction) -> Fraction:
    """Metrical strength of a place in the bar, from 1 (downbeat) down to 1/32.

    The values are those of music21's ``getAccentWeight`` on the positions that it
    knows (tests hold the two together): the bar's first beat 1; the middle of a bar of
    four 1/2; other beats 1/4 (1/2 in bars not of four beats); steps between beats half the
    weakest beat; anything finer halves again.
    """
    position = position_beats % metre.beats
    if position == 0:
        return Fraction(1)
    weak_beat = _weak_beat(metre)
    if position.denominator == 1:
        if metre.beats == 4 and position == 2:
            return Fraction(1, 2)
        return weak_beat
    if metre.steps_per_beat % position.denominator == 0:
        return weak_beat / 2
    return weak_beat / 4


def _weak_beat(metre: Metre) -> Fraction:
    return {1: Fraction(1), 4: Fraction(1, 4)}.get(metre.beats, Fraction(1, 2))
