"""How much of the sheet's strength the pupils' weight takes: rough, to be asked about.

Bending under the pupil who bends it most: a load on a small circle of a plate held at its
sides (Roark's Formulas for Stress and Strain, rectangular plates; from memory), less so near
the strips, as the sag is, and shared between the grain's way and across as the stiffness is;
the others as if spread evenly (Timoshenko, 0.05 q b^2).  All of it less by as much as the
sheet's stretching keeps the sag below a stiff plate's, and the stretching itself (see
``sag``).  Strengths: Handbook of Finnish Plywood (2002), birch, from memory.
"""

from math import log, pi, sin, sqrt

from tapscore.board.pupils import Patch
from tapscore.board.sag import sag
from tapscore.board.stiffness import Plate

_GRAVITY_M_S2 = 9.81
_POISSON = 0.3
_STRENGTHS_MPA = ((4.5, 65.9, 10.6), (7.5, 50.9, 29.0), (10.5, 45.6, 32.1))
_THICK_MPA = (42.9, 33.2)
_BETA = ((1.0, 0.435), (1.2, 0.650), (1.4, 0.789), (1.6, 0.875), (2.0, 0.958), (1e9, 1.0))


def load_share(
    plate: Plate,
    stretch_n_per_m: tuple[float, float],
    patches: tuple[Patch, ...],
    thickness_mm: float,
    *,
    grain_along_x: bool,
) -> float:
    """The largest bending stress as a share of the strength; 0 without pupils.

    Other woods than birch are weaker: what this gives is then too little.
    """
    along, across = _strength_mpa(thickness_mm)
    strength_x, strength_y = (along, across) if grain_along_x else (across, along)
    tilt = (plate.d11_nm / plate.d22_nm) ** 0.25
    short_m = min(plate.width_m, plate.depth_m)
    area = plate.width_m * plate.depth_m
    sinks_mm = sag(plate, stretch_n_per_m, patches, None).deepest_mm
    relief = sinks_mm / sag(plate, (0.0, 0.0), patches, None).deepest_mm if sinks_mm else 1.0
    thick_m = thickness_mm / 1000
    pull_x, pull_y = (
        stretch / thick_m / 1e6 * (pi * sinks_mm / 1000 / side_m) ** 2 / 8
        for stretch, side_m in zip(stretch_n_per_m, (plate.width_m, plate.depth_m), strict=True)
    )
    worst = 0.0
    for patch in patches:
        others = sum(p.mass_kg for p in patches) - patch.mass_kg
        moment = _local(patch, plate) + 0.05 * others * _GRAVITY_M_S2 / area * short_m**2
        bend_mpa = moment * relief * 6 / thick_m**2 / 1e6
        x, y = bend_mpa * tilt + pull_x, bend_mpa / tilt + pull_y
        worst = max(worst, x / strength_x, y / strength_y)
    return worst


def _local(patch: Patch, plate: Plate) -> float:
    """Bending moment (N m a metre) in the middle of a load on a circle as large as a patch."""
    sides = plate.width_m, plate.depth_m
    size = (patch.high_m[0] - patch.low_m[0]) * (patch.high_m[1] - patch.low_m[1])
    radius = max(sqrt(size / pi), 0.01)
    beta = next(b for ratio, b in _BETA if max(sides) / min(sides) <= ratio)
    inside = (1 + _POISSON) * log(max(2 * min(sides) / (pi * radius), 1.0)) + beta
    x, y = patch.share @ patch.x_m, patch.share @ patch.y_m
    from_edges = float(sin(pi * x / plate.width_m) * sin(pi * y / plate.depth_m))
    return patch.mass_kg * _GRAVITY_M_S2 / (4 * pi) * inside * from_edges


def _strength_mpa(thickness_mm: float) -> tuple[float, float]:
    """Bending strength along and across the outer layers' grain."""
    for most_mm, along, across in _STRENGTHS_MPA:
        if thickness_mm <= most_mm:
            return along, across
    return _THICK_MPA
