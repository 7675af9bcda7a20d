"""The force of a tap as it is heard: a hard first contact and a softer push after it.

Contact times and shares are by ear and assumption, not measured.  A louder tap touches for a
shorter time and is harder at first, so that it is brighter and not only louder.
"""

from attrs import frozen

from tapscore.model.strokes import Stroke

LOUDEST = 4.4
"""A very loud tap with an accent, in steps of loudness."""
CLICK_MS = 0.4
CLICK_SHARES = (0.03, 0.15)
"""Skin meeting wood: so much of the contact's momentum at once, softest and loudest."""


@frozen
class Pulse:
    """Softest and loudest of each: contact (ms), push (ms), share of the push's momentum."""

    contact_ms: tuple[float, float]
    push_ms: tuple[float, float]
    contact_share: tuple[float, float]
    parts: tuple[tuple[float, float], ...] = ((0.0, 1.0),)
    """First contacts one after another, as fingers land: delay (ms) and size."""

    def at(self, loudness: float) -> tuple[float, float, float, float]:
        """Contact (s), push (s), share, the click's share for a loudness from 0 to ``LOUDEST``."""
        way = loudness / LOUDEST

        def between(ends: tuple[float, float]) -> float:
            return float(ends[0] * (ends[1] / ends[0]) ** way)

        return (
            between(self.contact_ms) / 1000,
            between(self.push_ms) / 1000,
            between(self.contact_share),
            between(CLICK_SHARES),
        )


PULSES = {
    Stroke.FINGERTIPS: Pulse(
        (1.6, 0.6), (8.0, 5.0), (0.35, 0.55), ((0, 1), (1.3, 0.6), (2.9, 0.4))
    ),
    Stroke.FLAT_HAND: Pulse((3.0, 0.7), (22, 14), (0.12, 0.3), ((0, 1), (2.5, 0.6), (4.2, 0.5))),
    Stroke.KNUCKLES: Pulse((0.9, 0.3), (5.0, 3.5), (0.22, 0.45)),
    Stroke.HEEL_OF_HAND: Pulse((3.0, 1.3), (22, 15), (0.08, 0.2)),
}


@frozen
class RubSound:
    """The band of noise that moves while a hand does, from and to (Hz), and its width."""

    from_hz: float
    to_hz: float
    octaves: float
    grain_hz: float
    """How often nails catch a second; 0 for a smooth hand."""


RUB_SOUNDS = {
    Stroke.SCRATCH: RubSound(900, 2200, 1.6, 42),
    Stroke.SWEEP: RubSound(260, 800, 1.6, 0),
}
