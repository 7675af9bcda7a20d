"""Five steps of loudness and swells between them."""

from collections.abc import Iterable
from enum import IntEnum
from fractions import Fraction
from math import ceil

from tapscore.wording.catalogue import say
from tapscore.wording.terms import term


class Loudness(IntEnum):
    """The five steps, softest first; the value counts steps up from very quiet."""

    VERY_QUIET = 0
    QUIET = 1
    MEDIUM = 2
    LOUD = 3
    VERY_LOUD = 4

    @property
    def word(self) -> str:
        """The word used in the file."""
        return WORDS[self]

    @property
    def shown(self) -> str:
        """The word used on screen and on paper."""
        return term(self.word)

    @property
    def letters(self) -> str:
        """The Italian abbreviation musicians use: pp, p, mf, f, ff."""
        return LETTERS[self]


WORDS = ("very quiet", "quiet", "medium", "loud", "very loud")
LETTERS = ("pp", "p", "mf", "f", "ff")
_BY_WORD = {word: Loudness(i) for i, word in enumerate(WORDS)} | {
    letters: Loudness(i) for i, letters in enumerate(LETTERS)
}

Swell = tuple[Loudness, ...]
"""One level is steady; more are passed through at equal spaces of time."""


def parse_loudness(text: str) -> Loudness | None:
    """Read one level, as a word or as letters; None where it is neither."""
    return _BY_WORD.get(" ".join(text.split()).casefold())


def parse_swell(text: str) -> Swell | None:
    """Read ``"quiet"`` or ``"quiet to loud to quiet"``; None where a level is unknown."""
    levels = tuple(parse_loudness(part) for part in f" {text} ".split(" to "))
    known = tuple(level for level in levels if level is not None)
    return known if len(known) == len(levels) else None


def swell_text(swell: Iterable[Loudness]) -> str:
    """The words for a swell, as ``parse_swell`` reads them."""
    return " to ".join(level.word for level in swell)


def swell_words(swell: Iterable[Loudness]) -> str:
    """The words for a swell as it is shown."""
    first, *more = (level.shown for level in swell)
    said = first
    for level in more:
        said = say("{earlier} to {later}", earlier=said, later=level)
    return said


def level_of(swell: Swell, part: int, whole: int) -> Fraction:
    """Loudness (0 to 4) after ``part`` of ``whole`` equal bits of the way through ``swell``."""
    if len(swell) == 1:
        return Fraction(int(swell[0]))
    place = min(max(part, 0), whole) * (len(swell) - 1)
    below = min(place // whole, len(swell) - 2)
    low, high = int(swell[below]), int(swell[below + 1])
    return Fraction(low * whole + (place - below * whole) * (high - low), whole)


def nearest_step(level: Fraction) -> Loudness:
    """The step that is nearest to a loudness (0 to 4), the louder one where two are as near."""
    return Loudness(min(max(int(level + Fraction(1, 2)), 0), 4))


def cut_swell(swell: Swell, way: Fraction) -> tuple[Swell, Swell]:
    """A swell in two, cut after ``way`` (0 to 1) of it: the second goes on where the first ends.

    They meet at a whole step, the softer one where two are as near.
    """
    part, whole = way.numerator, way.denominator
    meet = Loudness(ceil(level_of(swell, part, whole) - Fraction(1, 2)))
    passed = min(max(part, 0), whole) * (len(swell) - 1)
    one = swell[: passed // whole + 1]
    two = swell[-(-passed // whole) :]
    return one if one[-1] == meet else (*one, meet), two if two[0] == meet else (meet, *two)
