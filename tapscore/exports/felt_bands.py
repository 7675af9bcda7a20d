"""The bands of a felt map as pixels: told apart by grey as well as by lines."""

import numpy as np
from numpy.typing import NDArray

from tapscore.board.contours import lines_cover, word_index
from tapscore.board.words import WORD_EDGES_DB, WORDS
from tapscore.exports.paper.inks import INK, Ink, ink

GROUNDS = (ink("#FFFFFF"), ink("#FFFFFF"), ink("#FFFFFF"), ink("#C6E0DD"), ink("#74ABA9"))
"""Ground of each band, weakest first; the weaker ones are told by their lines."""
_HATCHES: tuple[tuple[float, float, bool] | None, ...] = (
    (11.0, 1.5, True),
    (17.0, 1.3, False),
    None,
    None,
    None,
)
"""Slanting lines of each band: distance, width (pixels), crossed or not."""
_HATCH_INK = ink("#A7A4AC")
_EDGE_PX = 2.2
_ROWS = 200


def band_pixels(levels: NDArray[np.float64], fine: int) -> NDArray[np.uint8]:
    """Colours (height, width, 3) of a raster ``fine`` times as fine as the picture.

    Made some rows at a time: all at once would take half a gigabyte.
    """
    made = np.empty((*levels.shape, 3), np.uint8)
    for top in range(0, len(levels), _ROWS):
        rows = levels[top : top + _ROWS]
        before = min(top, 1)  # a row beyond each edge, for the slope there
        near = levels[top - before : top + _ROWS + 1]
        lines = lines_cover(near, WORD_EDGES_DB, _EDGE_PX * fine)[before : before + len(rows)]
        made[top : top + _ROWS] = _rows(rows, lines, top, fine)
    return made


def _rows(
    levels: NDArray[np.float64], lines: NDArray[np.float64], top: int, fine: int
) -> NDArray[np.uint8]:
    words = word_index(levels)
    grounds = np.array([parts(ground) for ground in GROUNDS], np.float32)
    colours = grounds[words]
    for word in range(len(WORDS)):
        mask = words == word
        if _HATCHES[word] is not None and mask.any():
            _ink_over(colours, _HATCH_INK, hatch(word, levels.shape, fine, top) * mask)
    _ink_over(colours, INK, lines)
    return np.asarray(colours.round(), np.uint8)


def swatch(word: int, width: int, height: int, fine: int) -> NDArray[np.uint8]:
    """A piece of one band for the key, in pixels of the picture."""
    colours = np.empty((height * fine, width * fine, 3), np.float32)
    colours[:] = parts(GROUNDS[word])
    if _HATCHES[word] is not None:
        _ink_over(colours, _HATCH_INK, hatch(word, colours.shape[:2], fine))
    return np.asarray(colours.round(), np.uint8)


def hatch(word: int, shape: tuple[int, ...], fine: int, top: int = 0) -> NDArray[np.float64]:
    """How much of each pixel the lines of a band cover, from the row ``top`` on."""
    found = _HATCHES[word]
    if found is None:
        return np.zeros(shape[:2])
    distance, width, crossed = found
    y, x = np.ogrid[top : top + shape[0], : shape[1]]
    cover = _slanting(x + y, distance * fine, width * fine)
    if crossed:
        cover = np.maximum(cover, _slanting(x - y, distance * fine, width * fine))
    return cover


def _slanting(along: NDArray[np.intp], distance: float, width: float) -> NDArray[np.float64]:
    across = along / 2**0.5
    away = np.abs((across + distance / 2) % distance - distance / 2)
    return np.clip(width / 2 + 0.5 - away, 0.0, 1.0)


def _ink_over(colours: NDArray[np.float32], colour: Ink, cover: NDArray[np.float64]) -> None:
    inked = cover > 0
    under = colours[inked]
    share = cover[inked].astype(np.float32)[:, None]
    colours[inked] = under + share * (parts(colour) - under)


def parts(colour: Ink) -> NDArray[np.float32]:
    """Red, green and blue from 0 to 255."""
    return np.array([colour.red, colour.green, colour.blue], np.float32)
