"""Modes of a board and forces of strokes, found once and kept."""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from tapscore.board.cache import Arrays, kept
from tapscore.board.edges import Edges
from tapscore.board.plate import Family, Modes, highest_hz, solve
from tapscore.board.stiffness import Plate
from tapscore.board.strokes import band_energy
from tapscore.model.strokes import Stroke

MODES_HZ = 1000.0
"""Modes below this are found: the contact of a blow needs them."""
GRID = 32
"""Cells of a map in each direction."""


@lru_cache(maxsize=8)
def kept_modes(plate: Plate, edges: Edges, limit_hz: float = MODES_HZ) -> Modes:
    """Modes of a plate below a frequency (lower for a large thin board, see ``highest_hz``)."""
    limit_hz = highest_hz(plate, edges, limit_hz)

    def make() -> Arrays:
        arrays: Arrays = {}
        for i, family in enumerate(solve(plate, edges, limit_hz).families):
            arrays |= {
                f"hz{i}": family.hz,
                f"shapes{i}": family.shapes,
                f"across{i}": family.across,
                f"along{i}": family.along,
            }
        return arrays

    count = (2 if edges.alike_west_east else 1) * (2 if edges.alike_south_north else 1)
    dimensions = {"hz": 1, "shapes": 3, "across": 2, "along": 2}
    shapes = {f"{name}{i}": n for i in range(count) for name, n in dimensions.items()}
    found = kept("modes", (plate, edges, limit_hz), make, shapes)
    families = tuple(
        Family(*(found[f"{name}{i}"] for name in ("hz", "shapes", "across", "along")))
        for i in range(count)
    )
    return Modes(plate, edges, families)


def cell_middles(length_m: float) -> NDArray[np.float64]:
    """Middles of a map's cells along one direction (m)."""
    return (np.arange(GRID) + 0.5) * length_m / GRID


@lru_cache(maxsize=64)
def kept_forces(plate: Plate, edges: Edges, stroke: Stroke, loudness: int) -> NDArray[np.float32]:
    """Squared force (N s)^2 of a struck stroke, shape (bands, y cells, x cells)."""

    def make() -> Arrays:
        modes = kept_modes(plate, edges)
        x, y = cell_middles(plate.width_m), cell_middles(plate.depth_m)
        if modes.mirrored:
            x, y = x[: GRID // 2], y[: GRID // 2]
        grid_x, grid_y = np.meshgrid(x, y)
        part = band_energy(modes, stroke, loudness, grid_x.ravel(), grid_y.ravel())
        part = part.T.reshape(-1, len(y), len(x))
        if modes.mirrored:
            part = np.concatenate([part, part[:, ::-1]], axis=1)
            part = np.concatenate([part, part[:, :, ::-1]], axis=2)
        return {"energy": np.ascontiguousarray(part)}

    made_from = (plate, edges, stroke.value, loudness)
    energy: NDArray[np.float32] = kept("force", made_from, make, {"energy": 3})["energy"]
    energy.setflags(write=False)
    return energy
