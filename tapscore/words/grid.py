"""The grid that a line's syllables are placed on: slots, how strong each is, distances."""

from fractions import Fraction
from functools import lru_cache

from attrs import frozen

from tapscore.model.metre import Metre, beat_strength

KINDS = "DSBHMUF"
"""Kinds of slots: downbeat, strong beat, other beat, half, middle and last third, finer."""
DOWNBEAT, STRONG, BEAT, HALF, MIDDLE, UPBEAT, FINE = tuple(KINDS)
LEVELS = {DOWNBEAT: 4, STRONG: 3, BEAT: 2, HALF: 1, MIDDLE: 1, UPBEAT: 1, FINE: 0}


@frozen
class Grid:
    """``bars`` bars of a metre cut into ``per_beat`` slots a beat, with room before.

    ``first`` is the first slot that may be used (0 or negative: the pickup); slot 0 is the
    first downbeat; ``last`` is one past the final slot.
    """

    metre: Metre
    bars: int
    per_beat: int
    first: int

    @property
    def last(self) -> int:
        """One past the final slot."""
        return self.bars * self.metre.beats * self.per_beat

    @property
    def middle(self) -> int | None:
        """The downbeat that halves an even number of bars."""
        return None if self.bars % 2 else self.last // 2

    def beats(self, slot: int) -> Fraction:
        """Place of a slot in felt beats from the first downbeat."""
        return Fraction(slot, self.per_beat)

    def kinds(self) -> str:
        """One letter a slot, from ``first`` on."""
        cycle = _bar_kinds(self.metre, self.per_beat)
        return "".join(cycle[slot % len(cycle)] for slot in range(self.first, self.last))


@lru_cache(maxsize=64)
def _bar_kinds(metre: Metre, per_beat: int) -> str:
    return "".join(_kind(metre, Fraction(slot, per_beat)) for slot in range(metre.beats * per_beat))


def _kind(metre: Metre, place: Fraction) -> str:
    if place.denominator == 1:
        strength = beat_strength(metre, place)
        if strength == 1:
            return DOWNBEAT
        return STRONG if strength == Fraction(1, 2) and metre.beats != 3 else BEAT
    if metre.steps_per_beat % place.denominator:
        return FINE
    if not metre.compound:
        return HALF
    return MIDDLE if place % 1 == Fraction(1, 3) else UPBEAT


GAPS = ("fine", "step", "part", "beat", "over", "two", "three", "more")
"""Size classes of distances: under a step, a step, under a beat, a beat, and so on."""


def gap_number(metre: Metre, per_beat: int, slots: int) -> int:
    """Which of ``GAPS`` a distance is."""
    steps = slots * metre.steps_per_beat
    if steps <= per_beat:
        return 0 if steps < per_beat else 1
    if slots <= per_beat:
        return 2 if slots < per_beat else 3
    if slots <= 2 * per_beat:
        return 4 if slots < 2 * per_beat else 5
    return 6 if slots <= 3 * per_beat else 7


def rise(one: str, two: str) -> int:
    """0 where the second slot is weaker than the first, 1 where level, 2 where stronger."""
    first, second = LEVELS[one], LEVELS[two]
    return 1 + (second > first) - (second < first)
