"""Pictures as arrays: a loop over their points would take a second each."""

import numpy as np
from numpy.typing import NDArray
from PySide6.QtGui import QImage


def argb(image: QImage) -> NDArray[np.uint32]:
    """The colour of each point as ``QColor.rgba`` gives it, of shape (height, width)."""
    plain = image.convertToFormat(QImage.Format.Format_ARGB32)
    data = np.frombuffer(bytes(plain.constBits()), np.uint32)
    return data.reshape(plain.height(), plain.bytesPerLine() // 4)[:, : plain.width()]


def dark(image: QImage, below: int) -> NDArray[np.bool_]:
    """Points that are there and darker than this (the mean of their strongest and weakest ink)."""
    colours = argb(image)
    inks = np.stack([(colours >> shift) & 0xFF for shift in (16, 8, 0)])
    light = (inks.max(axis=0).astype(int) + inks.min(axis=0)) // 2
    found: NDArray[np.bool_] = (colours >> 24 > 0) & (light < below)
    return found
