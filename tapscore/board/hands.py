"""What a hand brings to the board: mass, speed and softness, all assumed.

The masses, speeds and contact times are assumptions, chosen so that a fingertip on something
rigid gives 1.6 N (key-tapping: 1.1 to 2.9 N, AIHAJ 57, 1996, from memory) and a hand tens of
newtons.
"""

from math import sqrt

from attrs import frozen

from tapscore.model.strokes import Stroke

EXPONENT = 1.5
"""Hertz's law: force grows as this power of the pressing in."""
_HERTZ_CONTACT = 2.94
"""Contact time over (deepest pressing in / speed), for that law (a textbook figure)."""
_LOSS = 0.25
"""Share of the force that damping adds at the speed of arrival (Hunt and Crossley)."""

USUAL_LOUDNESS = 2.0
STEP_DB = 5.0
"""A step of loudness: so much more speed of the hand."""
RUB_STEP_DB = 3.5
"""A step of loudness for a scratch or a sweep."""
ACCENT_STEPS = 0.4
"""An accent adds so many steps of loudness."""


@frozen
class Hand:
    """A blow: kilograms, metres a second at medium loudness, seconds on a rigid table."""

    mass_kg: float
    speed_m_s: float
    contact_sec: float
    step_sec: float
    """Time step of the march."""
    steps: int

    @property
    def stiffness(self) -> float:
        """Factor k of Hertz's law (N/m^1.5)."""
        deepest = self.contact_sec * self.speed_m_s / _HERTZ_CONTACT
        return float(1.25 * self.mass_kg * self.speed_m_s**2 / deepest**2.5)

    @property
    def loss_sec_per_m(self) -> float:
        """Damping of the contact, per metre a second."""
        return _LOSS / self.speed_m_s

    def speed_at(self, loudness: float) -> float:
        """Speed (m/s) of a blow of ``loudness`` from 0 to 4."""
        return float(self.speed_m_s * 10 ** (STEP_DB * (loudness - USUAL_LOUDNESS) / 20))


@frozen
class Rub:
    """A moving noise force: its band (Hz), rms at medium loudness (N), reach to each side (m)."""

    low_hz: float
    high_hz: float
    rms_n: float
    reach_m: float

    def rms_at(self, loudness: float) -> float:
        """Rms force (N) at ``loudness`` from 0 to 4."""
        return float(self.rms_n * 10 ** (RUB_STEP_DB * (loudness - USUAL_LOUDNESS) / 20))


HANDS = {
    Stroke.FINGERTIPS: Hand(0.010, 0.35, 7.8e-3, 1.0e-4, 320),
    Stroke.FLAT_HAND: Hand(0.25, 0.5, 18e-3, 2.0e-4, 400),
    Stroke.KNUCKLES: Hand(0.06, 0.5, 2.8e-3, 0.5e-4, 400),
    Stroke.HEEL_OF_HAND: Hand(0.5, 0.5, 18e-3, 2.0e-4, 400),
}

_MEDIUM_RMS_N = sqrt(0.1 * 0.5)
RUBS = {
    Stroke.SCRATCH: Rub(50, 800, _MEDIUM_RMS_N, 0.05),
    Stroke.SWEEP: Rub(20, 200, _MEDIUM_RMS_N, 0.13),
}
"""Assumed: 0.1 N rms very quiet, 0.5 N very loud."""
