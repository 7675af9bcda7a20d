"""A map of levels as bands of words on a raster, for paper and screen alike.

Rasters have their first row in the north.
"""

import numpy as np
from numpy.typing import NDArray

from tapscore.board.words import WORD_EDGES_DB, WORDS

Raster = NDArray[np.float64]
_COARSE = 4
"""Labels are placed on every fourth pixel."""


def smooth_levels(level_db: Raster, width: int, height: int) -> Raster:
    """Levels (height, width) between a map's cells, by cubic splines, and on to its edges."""
    from scipy.interpolate import RectBivariateSpline  # type: ignore[import-untyped]

    rows, columns = level_db.shape
    padded = np.pad(level_db, 1, mode="reflect", reflect_type="odd")
    spline = RectBivariateSpline(np.arange(-1, rows + 1), np.arange(-1, columns + 1), padded)
    y = (np.arange(height) + 0.5) * rows / height - 0.5
    x = (np.arange(width) + 0.5) * columns / width - 0.5
    return np.asarray(spline(y, x)[::-1], float)


def word_index(levels: Raster) -> NDArray[np.intp]:
    """Which word each pixel has, counted in ``WORDS``."""
    return np.asarray(np.digitize(levels, WORD_EDGES_DB))


def lines_cover(levels: Raster, edges_db: tuple[float, ...], width_px: float) -> Raster:
    """How much of each pixel (0 to 1) contour lines at the edges cover."""
    slope = np.maximum(np.hypot(*np.gradient(levels)), 1e-3)
    away = np.full(levels.shape, np.inf)
    for edge in edges_db:
        np.minimum(away, np.abs(levels - edge), out=away)
    return np.asarray(np.clip(width_px / 2 + 0.5 - away / slope, 0.0, 1.0), float)


def label_points(
    words: NDArray[np.intp],
    taken: NDArray[np.bool_],
    boxes: list[tuple[int, int]],
    at_most: int = 2,
) -> list[tuple[int, int, int]]:
    """Where a word fits into its band: (word, x, y) of its middle, in pixels.

    ``boxes`` are the widths and heights that the words need; ``taken`` pixels are left free.
    """
    from scipy.ndimage import (  # type: ignore[import-untyped]
        distance_transform_edt,
        minimum_filter,
    )

    coarse, free = words[::_COARSE, ::_COARSE], ~taken[::_COARSE, ::_COARSE].copy()
    placed = []
    for word in range(len(WORDS)):
        wide, high = (side // _COARSE + 1 for side in boxes[word])
        mine = (coarse == word) & free
        for _ in range(at_most):
            inside = np.pad(mine, 1)
            fits = minimum_filter(inside, (high, wide), mode="constant")[1:-1, 1:-1]
            if not fits.any():
                break
            depth = np.where(fits, distance_transform_edt(inside)[1:-1, 1:-1], 0)
            y, x = np.unravel_index(int(depth.argmax()), depth.shape)
            placed.append((word, int(x) * _COARSE, int(y) * _COARSE))
            far = max(wide, high) * 2
            mine[max(y - far, 0) : y + far, max(x - far, 0) : x + far] = False
            free[max(y - high, 0) : y + high, max(x - wide, 0) : x + wide] = False
    return placed
