"""How to tap: what is written about it, and what holds where it is tapped."""

from fractions import Fraction
from typing import Any

from attrs import frozen

from tapscore.model.loudness import Loudness, Swell
from tapscore.model.metre import Metre
from tapscore.model.strokes import Stroke
from tapscore.model.tempo import Tempo

EVERYONE = "everyone"
"""Stands among roles for all of them."""


@frozen
class Manner:
    """All that holds for a line: nothing is left open but the spot."""

    metre: Metre
    tempo: Tempo
    loudness: Swell
    """One step, or the steps of a swell from the first tap to the last; never empty."""
    stroke: Stroke
    spot: str | None = None
    """None where any point of the board will do."""
    by: tuple[str, ...] = ()
    """The roles that tap; ``everyone`` among them means all."""
    says: tuple[str, ...] = ()
    """The roles that speak the words, likewise."""


@frozen
class PartialManner:
    """What is written on a story, a section or a line; None or empty where nothing is."""

    metre: Metre | None = None
    tempo: Tempo | None = None
    loudness: Swell | None = None
    stroke: Stroke | None = None
    spot: str | None = None
    by: tuple[str, ...] = ()
    says: tuple[str, ...] = ()

    def over(self, outer: Manner) -> Manner:
        """What holds: this, and where it says nothing what holds outside it."""
        return Manner(*self._nearest(outer))

    def within(self, outer: "PartialManner") -> "PartialManner":
        """What is written, here or outside; what stands here wins."""
        return PartialManner(*self._nearest(outer))

    def _nearest(self, outer: Any) -> tuple[Any, ...]:
        return (
            self.metre or outer.metre,
            self.tempo or outer.tempo,
            self.loudness or outer.loudness,
            self.stroke or outer.stroke,
            self.spot if self.spot is not None else outer.spot,
            self.by or outer.by,
            self.says or outer.says,
        )


USUAL = Manner(Metre(4, 4), Tempo(Fraction(60)), (Loudness.QUIET,), Stroke.FINGERTIPS)
"""What holds where the whole story says nothing."""
