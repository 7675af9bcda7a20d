"""Levels on the board as pixels of a picture; apart, so that no window waits for numpy."""

import numpy as np
from numpy.typing import NDArray

from tapscore.board.contours import lines_cover, word_index
from tapscore.board.words import WORD_EDGES_DB, WORDS
from tapscore.exports.felt_bands import hatch
from tapscore.gui.felt.band_colours import BandColours

_EDGE_PX = 1.6


def band_pixels(
    levels: NDArray[np.float64], fine: float, colours: BandColours
) -> NDArray[np.uint8]:
    """Pixels (height, width, 3) of levels in dB; ``fine`` screen pixels to one of the window."""
    words = word_index(levels)
    grounds = np.array([_parts(ground) for ground in colours.grounds], np.float32)
    out = grounds[words]
    for word in range(len(WORDS)):
        mask = words == word
        if mask.any():
            _ink_over(out, colours.hatching, hatch(word, levels.shape, max(round(fine), 1)) * mask)
    _ink_over(out, colours.contour, lines_cover(levels, WORD_EDGES_DB, _EDGE_PX * fine))
    return np.ascontiguousarray(out.round(), np.uint8)


def _ink_over(out: NDArray[np.float32], colour: str, cover: NDArray[np.float64]) -> None:
    inked = cover > 0
    share = cover[inked].astype(np.float32)[:, None]
    out[inked] += share * (_parts(colour) - out[inked])


def _parts(colour: str) -> NDArray[np.float32]:
    return np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)], np.float32)
