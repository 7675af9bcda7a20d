"""Weightings against the standards' tables."""

import numpy as np
import pytest

from tapscore.board.bands import band_hz, band_width_hz
from tapscore.board.weighting import (
    THRESHOLD_HZ,
    THRESHOLD_M_S2,
    felt_weight,
    hand_arm_weight,
    whole_body_weight,
)

# True mid-frequencies of third octaves, 10^(n/10).
WK = {  # ISO 2631-1:1997, table 3, from memory
    0: 0.482, 3: 0.531, 6: 0.967, 7: 1.039, 8: 1.054, 9: 1.036, 10: 0.988, 11: 0.902, 12: 0.768,
    13: 0.636, 14: 0.513, 15: 0.405, 16: 0.314, 17: 0.246, 18: 0.186, 19: 0.132, 20: 0.0887,
    21: 0.0540, 22: 0.0285, 23: 0.0152, 24: 0.0079, 25: 0.00398,
}  # fmt: skip
WH = {  # ISO 5349-1:2001, table A.2, from memory
    8: 0.727, 9: 0.873, 10: 0.951, 11: 0.958, 12: 0.896, 13: 0.782, 14: 0.647, 15: 0.519,
    16: 0.411, 17: 0.324, 18: 0.256, 19: 0.202, 20: 0.160, 21: 0.127, 22: 0.101, 23: 0.0799,
    24: 0.0634, 25: 0.0503,
}  # fmt: skip


def hertz(numbers: dict[int, float]) -> np.ndarray:
    return 10 ** (np.array(list(numbers)) / 10)


def test_whole_body_weight_of_iso_2631_1() -> None:
    assert whole_body_weight(hertz(WK)) == pytest.approx(list(WK.values()), rel=0.03)


def test_hand_arm_weight_of_iso_5349_1() -> None:
    assert hand_arm_weight(hertz(WH)) == pytest.approx(list(WH.values()), rel=0.01)


def test_notes_values() -> None:
    # The board's notes, from the standards' filter formulas at nominal frequencies.
    hz = np.array(THRESHOLD_HZ)
    wk = [1.036, 0.769, 0.405, 0.186, 0.054, 0.008, 0.004]
    wh = [0.88, 0.89, 0.52, 0.26, 0.128, 0.064, 0.050]
    assert whole_body_weight(hz) == pytest.approx(wk, abs=0.002)
    assert hand_arm_weight(hz) == pytest.approx(wh, abs=0.01)


def test_felt_weight_is_one_over_the_threshold() -> None:
    assert felt_weight(np.array(THRESHOLD_HZ)) * THRESHOLD_M_S2 == pytest.approx([0.025] * 7)
    assert (np.diff(felt_weight(np.linspace(4, 1000, 300))) < 0).all()
    # Between the standards' two: falling more slowly than the body's, as hands feel more.
    ratio = felt_weight(np.array([250.0])) / felt_weight(np.array([8.0]))
    hands = hand_arm_weight(np.array([250.0])) / hand_arm_weight(np.array([8.0]))
    body = whole_body_weight(np.array([250.0])) / whole_body_weight(np.array([8.0]))
    assert body[0] < ratio[0]
    assert ratio[0] == pytest.approx(hands[0], rel=0.5)


def test_bands_join_without_gaps() -> None:
    hz, width = band_hz(), band_width_hz()
    edges = hz * 2 ** (1 / 24)
    assert edges[:-1] == pytest.approx(hz[1:] * 2 ** (-1 / 24))
    assert width.sum() == pytest.approx(edges[-1] - hz[0] * 2 ** (-1 / 24))
    assert (hz[0], hz[12]) == (8.0, pytest.approx(16.0))
