"""How far the board sinks under the pupils: an estimate, to warn that it may touch the floor.

One mode, sin(pi x / a) sin(pi y / b), with von Karman's stretching of the sheet, edges free to
slide inwards (the energy of the Airy stress of that shape, by hand).  Sides are taken as
resting on strips.  The estimate is rough: where it is near the gap, measure.
"""

from math import pi

import numpy as np
from attrs import frozen

from tapscore.board.pupils import Patch
from tapscore.board.stiffness import Plate

_GRAVITY_M_S2 = 9.81
NEAR_SHARE = 0.6
"""From this share of the gap on, the board may touch: the estimate is no better."""


@frozen
class Sag:
    """Sinking in mm under each place, and deepest anywhere."""

    at_mm: tuple[tuple[str, float], ...]
    deepest_mm: float
    gap_mm: float | None

    @property
    def may_touch(self) -> bool | None:
        """Whether the board may touch the floor (then its map is void); None if no gap is known."""
        return None if self.gap_mm is None else self.deepest_mm >= NEAR_SHARE * self.gap_mm


def sag(
    plate: Plate,
    stretch_n_per_m: tuple[float, float],
    patches: tuple[Patch, ...],
    gap_mm: float | None,
) -> Sag:
    """Estimate the sag; ``stretch_n_per_m`` is the modulus times thickness along x and y."""
    a, b = pi / plate.width_m, pi / plate.depth_m

    def shape(patch: Patch) -> float:
        at = np.sin(a * patch.x_m) * np.sin(b * patch.y_m)
        return float(patch.share @ at)

    area = plate.width_m * plate.depth_m
    bending = (area / 4) * (
        plate.d11_nm * a**4
        + 2 * (plate.d12_nm + 2 * plate.d66_nm) * a**2 * b**2
        + plate.d22_nm * b**4
    )
    stretching = (area / 64) * (stretch_n_per_m[0] * a**4 + stretch_n_per_m[1] * b**4)
    load = sum(_GRAVITY_M_S2 * patch.mass_kg * shape(patch) for patch in patches)
    deepest = _cubic_root(bending, stretching, load)
    at_mm = tuple((patch.name, 1000 * deepest * shape(patch)) for patch in patches)
    return Sag(at_mm, 1000 * deepest, gap_mm)


def _cubic_root(linear: float, cubic: float, load: float) -> float:
    """The w of linear w + cubic w^3 = load, by Newton's method from above."""
    w = load / linear
    for _ in range(60):
        w -= (linear * w + cubic * w**3 - load) / (linear + 3 * cubic * w**2)
    return w
