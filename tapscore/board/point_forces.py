"""Forces of strokes at single points, each found once for a board, whoever sits on it."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from tapscore.board.edges import Edges
from tapscore.board.kept_modes import kept_modes
from tapscore.board.stiffness import Plate
from tapscore.board.strokes import band_energy
from tapscore.model.strokes import Stroke

_Key = tuple[Plate, Edges, Stroke, int, float, float]
_MOST = 20_000
_found: dict[_Key, NDArray[np.float32]] = {}


def point_forces(
    plate: Plate,
    edges: Edges,
    stroke: Stroke,
    loudness: int,
    x_m: Sequence[float],
    y_m: Sequence[float],
) -> NDArray[np.float32]:
    """Squared force (N s)^2 of a struck stroke, shape (points, bands)."""
    keys = [(plate, edges, stroke, loudness, x, y) for x, y in zip(x_m, y_m, strict=True)]
    known = {key: _found[key] for key in keys if key in _found}
    missing = list(dict.fromkeys(key for key in keys if key not in known))
    if missing:
        x, y = (np.array([key[i] for key in missing]) for i in (4, 5))
        energy = band_energy(kept_modes(plate, edges), stroke, loudness, x, y)
        known.update(zip(missing, energy, strict=True))
        if len(_found) + len(missing) > _MOST:
            _found.clear()
        _found.update({key: known[key] for key in missing})
    return np.array([known[key] for key in keys])
