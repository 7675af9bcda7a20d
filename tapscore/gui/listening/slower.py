"""The speeds one can listen at."""

from fractions import Fraction

from attrs import frozen

from tapscore.exports.audio.versions.slower import slowed

__all__ = ["SPEEDS", "Speed", "slowed"]


@frozen
class Speed:
    """A share of the written tempo, and its name."""

    share: Fraction
    name: str


SPEEDS = (
    Speed(Fraction(1), "as written"),
    Speed(Fraction(3, 4), "slower, 75 %"),
    Speed(Fraction(1, 2), "half, 50 %"),
)
