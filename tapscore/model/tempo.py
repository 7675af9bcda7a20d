"""Tempo in felt beats a minute, steady or changing."""

import re
from fractions import Fraction

from attrs import frozen

from tapscore.wording.catalogue import say

SLOWEST = 20
FASTEST = 300
_NUMBER = r"\d{1,5}(?:\.\d{1,6})?"
_PATTERN = re.compile(rf"\s*({_NUMBER})(?:\s+to\s+({_NUMBER}))?\s*\Z")


@frozen(cache_hash=True)
class Tempo:
    """Felt beats a minute at the start, and at the end if it changes on the way.

    A change is linear in the beat's *period*, so that times stay exact fractions.
    """

    start: Fraction
    end: Fraction | None = None

    @property
    def last(self) -> Fraction:
        """Felt beats a minute when the passage ends."""
        return self.start if self.end is None else self.end

    @property
    def change_word(self) -> str:
        """``"slowing"``, ``"quickening"`` or nothing."""
        if self.last == self.start:
            return ""
        return "slowing" if self.last < self.start else "quickening"


def parse_tempo(text: str) -> Tempo | None:
    """Read ``"54"`` or ``"54 to 40"``; None for other text or out of 20 to 300."""
    match = _PATTERN.match(text)
    if match is None:
        return None
    tempo = Tempo(Fraction(match[1]), Fraction(match[2]) if match[2] else None)
    in_range = all(SLOWEST <= value <= FASTEST for value in (tempo.start, tempo.last))
    return tempo if in_range else None


def tempo_text(tempo: Tempo) -> str:
    """The words for a tempo, as ``parse_tempo`` reads them."""
    if tempo.end is None:
        return number_text(tempo.start)
    return f"{number_text(tempo.start)} to {number_text(tempo.end)}"


def tempo_words(tempo: Tempo) -> str:
    """The words for a tempo as it is shown."""
    if tempo.end is None:
        return say("{tempo}", tempo=tempo.start)
    return say("{start} to {end}", start=tempo.start, end=tempo.end)


def number_text(value: Fraction) -> str:
    """A whole number or the shortest decimal of a fraction that came from one."""
    if value.denominator == 1:
        return str(value.numerator)
    return f"{float(value):.6f}".rstrip("0").rstrip(".")


def cut_tempo(tempo: Tempo, way: Fraction) -> tuple[Tempo, Tempo]:
    """A tempo in two, cut after ``way`` (0 to 1) of its beats; they meet at a whole number."""
    if tempo.end is None:
        return tempo, tempo
    along = min(max(way, Fraction(0)), Fraction(1))
    period = 1 / tempo.start + (1 / tempo.end - 1 / tempo.start) * along
    meet = Fraction(round(1 / period))
    return _from_to(tempo.start, meet), _from_to(meet, tempo.end)


def _from_to(start: Fraction, end: Fraction) -> Tempo:
    return Tempo(start, None if end == start else end)
