"""Frequencies at which the felt level is summed: twelve bands an octave."""

from functools import cache

import numpy as np
from numpy.typing import NDArray

LOWEST_HZ, HIGHEST_HZ = 8.0, 500.0
PER_OCTAVE = 12
MODES_BELOW_HZ = 650.0
"""Modes above the highest band still make the board softer there."""


@cache
def band_hz() -> NDArray[np.float64]:
    """Middle frequencies of the bands (bands,)."""
    count = int(PER_OCTAVE * np.log2(HIGHEST_HZ / LOWEST_HZ)) + 1
    hz: NDArray[np.float64] = LOWEST_HZ * 2.0 ** (np.arange(count) / PER_OCTAVE)
    hz.setflags(write=False)
    return hz


@cache
def band_width_hz() -> NDArray[np.float64]:
    """Widths of the bands (bands,)."""
    half = 2.0 ** (0.5 / PER_OCTAVE)
    return np.asarray(band_hz() * (half - 1 / half))
