"""What a teacher can measure: stiffness with a weight and a ruler, mass, phone readings."""

from collections.abc import Mapping
from math import log10
from statistics import median

from attrs import frozen

from tapscore.wording.catalogue import say

_GRAVITY_M_S2 = 9.81
MOST_DIFFERENCE_DB = 4.0
FEWEST_READINGS = 4


def stiffness_nm(
    weight_kg: float, between_battens_mm: float, sheet_width_mm: float, sinks_mm: float
) -> float:
    """Bending stiffness D (N m) of a sheet laid over two battens, weight along mid-span.

    D = P L^3 / (48 b delta): a simply supported beam (textbook), ``sheet_width_mm`` is the
    side along the battens.  Raises ValueError unless all are above 0.
    """
    if not all(v > 0 for v in (weight_kg, between_battens_mm, sheet_width_mm, sinks_mm)):
        raise ValueError("weight, distances and sinking are above 0")
    span_m = between_battens_mm / 1000
    return float(
        weight_kg * _GRAVITY_M_S2 * span_m**3 / (48 * (sheet_width_mm / 1000) * (sinks_mm / 1000))
    )


@frozen
class Comparison:
    """Readings against the model: differences in dB after the best common shift."""

    differences_db: tuple[tuple[str, float], ...]
    median_db: float | None
    calibrated: bool

    @property
    def words(self) -> str:
        """``"calibrated"`` or ``"not calibrated"``."""
        return say("calibrated") if self.calibrated else say("not calibrated")

    @property
    def sentence(self) -> str:
        """What the comparison says, and what to do."""
        if self.median_db is None:
            return say(
                "Not calibrated: {spots:1 spot|# spots} can be compared. Tap alike at "
                "{fewest} to 6 spots and read the phone each time.",
                spots=len(self.differences_db),
                fewest=FEWEST_READINGS,
            )
        found = say(
            "readings and model differ by {decibels:.0f} dB in the middle of the range",
            decibels=self.median_db,
        )
        if self.calibrated:
            return say("Calibrated: {found}.", found=found)
        return say(
            "Not calibrated: {found}, more than {most:.0f}. Look at the grain, the "
            "strips and where pupils sit, then read again.",
            found=found,
            most=MOST_DIFFERENCE_DB,
        )


def compare(readings_db: Mapping[str, float], model_db: Mapping[str, float]) -> Comparison:
    """Compare a phone's readings by spot with the model's levels there, both in dB.

    A phone's own scale does not matter: the common shift (the median difference) is taken
    off first.  Calibrated: at least four spots, and half of them within 4 dB.
    """
    spots = [spot for spot in readings_db if spot in model_db]
    raw = [readings_db[spot] - model_db[spot] for spot in spots]
    shift = median(raw) if raw else 0.0
    differences = tuple((spot, d - shift) for spot, d in zip(spots, raw, strict=True))
    if len(spots) < FEWEST_READINGS:
        return Comparison(differences, None, False)
    middle = median(abs(d) for _, d in differences)
    return Comparison(differences, middle, middle <= MOST_DIFFERENCE_DB)


def reading_db(acceleration_m_s2: float) -> float:
    """A phone's acceleration as a level in dB; raises ValueError unless above 0."""
    if not acceleration_m_s2 > 0:
        raise ValueError("a reading is above 0")
    return 20 * log10(acceleration_m_s2)


def grain_from(along_long_nm: float, along_short_nm: float) -> str:
    """Which way the grain runs, from two battens: the stiffer way.

    ``"long"``, ``"short"``, or ``"not known"`` where the two differ by less than a fifth.
    """
    if along_long_nm > 1.2 * along_short_nm:
        return "long"
    return "short" if along_short_nm > 1.2 * along_long_nm else "not known"
