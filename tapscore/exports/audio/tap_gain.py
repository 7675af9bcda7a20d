"""How much louder one step of loudness is, for sound and for MIDI alike.

Five decibels a step (common practice, no source) keep the five steps apart on a phone; an
accent adds less than half a step, so that a quiet accent stays quiet.
"""

from fractions import Fraction

from tapscore.model.loudness import Loudness

STEP_DB = 5.0
ACCENT_DB = 2.0


def tap_gain_db(level: Fraction, *, accent: bool = False) -> float:
    """Gain in dB against an unaccented very loud tap, for a level from 0 to 4."""
    bounded = min(max(level, Fraction(0)), Fraction(int(Loudness.VERY_LOUD)))
    return float(bounded - int(Loudness.VERY_LOUD)) * STEP_DB + (ACCENT_DB if accent else 0.0)
