"""The grid that a line's syllables are placed on: slots, how strong each is, distances."""

from fractions import Fraction
from functools import lru_cache

from attrs import frozen

from tapscore.model.metre import Metre, beat_strength

DOWNBEAT, STRONG, BEAT, HALF, MIDDLE, UPBEAT, FINE = "DSBHMUF"
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


def gap_name(metre: Metre, per_beat: int, slots: int) -> str:
    """Size class of a distance: under a step, a step, under a beat, a beat, and so on."""
    beats = Fraction(slots, per_beat)
    if beats * metre.steps_per_beat < 1:
        return "fine"
    if beats * metre.steps_per_beat == 1:
        return "step"
    if beats < 1:
        return "part"
    if beats == 1:
        return "beat"
    if beats < 2:
        return "over"
    return "two" if beats == 2 else "more"
