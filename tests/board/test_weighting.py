"""The weighting of what is felt, and the bands it is taken in."""

import numpy as np
import pytest

from tapscore.board.bands import band_hz, band_width_hz
from tapscore.board.weighting import (
    THRESHOLD_HZ,
    THRESHOLD_M_S2,
    felt_weight,
)


def test_felt_weight_is_one_over_the_threshold() -> None:
    assert felt_weight(np.array(THRESHOLD_HZ)) * THRESHOLD_M_S2 == pytest.approx([0.025] * 7)
    assert (np.diff(felt_weight(np.linspace(4, 1000, 300))) < 0).all()


def test_bands_join_without_gaps() -> None:
    hz, width = band_hz(), band_width_hz()
    edges = hz * 2 ** (1 / 24)
    assert edges[:-1] == pytest.approx(hz[1:] * 2 ** (-1 / 24))
    assert width.sum() == pytest.approx(edges[-1] - hz[0] * 2 ** (-1 / 24))
    assert (hz[0], hz[12]) == (8.0, pytest.approx(16.0))
