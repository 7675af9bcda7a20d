"""How much of a vibration is felt, by frequency.

The standards' own weightings stand beside ours for comparison; they weigh discomfort and
harm, not what can just be felt, and are not used for the map.

``felt_weight`` is 0.025 over the threshold of feeling (m/s^2 rms).  Thresholds are from
memory of Morioka and Griffin (2008) and Verrillo, for adults, and may be 6 dB out.
"""

import numpy as np
from numpy.typing import NDArray

THRESHOLD_HZ = (8.0, 16.0, 31.5, 63.0, 125.0, 250.0, 315.0)
THRESHOLD_M_S2 = (0.012, 0.015, 0.025, 0.035, 0.05, 0.12, 0.20)
_REFERENCE_M_S2 = 0.025
_PHONE_HZ = 80.0


def felt_weight(hz: NDArray[np.float64]) -> NDArray[np.float64]:
    """Weight of acceleration at each frequency; beyond the table its ends' slopes go on."""
    x, y = np.log(THRESHOLD_HZ), np.log(THRESHOLD_M_S2)
    at = np.log(np.asarray(hz, float))
    inner = np.interp(at, x, y)
    low = y[0] + (at - x[0]) * (y[1] - y[0]) / (x[1] - x[0])
    high = y[-1] + (at - x[-1]) * (y[-1] - y[-2]) / (x[-1] - x[-2])
    threshold = np.exp(np.where(at < x[0], low, np.where(at > x[-1], high, inner)))
    weight: NDArray[np.float64] = _REFERENCE_M_S2 / threshold
    return weight


def phone_weight(hz: NDArray[np.float64]) -> NDArray[np.float64]:
    """What a phone's accelerometer reads: all alike to about 80 Hz (assumed; phones differ)."""
    weight: NDArray[np.float64] = 1 / np.sqrt(1 + (np.asarray(hz, float) / _PHONE_HZ) ** 4)
    return weight


def whole_body_weight(hz: NDArray[np.float64]) -> NDArray[np.float64]:
    """Wk of ISO 2631-1 (vertical, seated): its band limits, transition and upward step."""
    p = 2j * np.pi * np.asarray(hz, float)
    band = _high_pass(p, 0.4, 0.5**0.5) * _low_pass(p, 100.0, 0.5**0.5)
    turned = (1 + p / _omega(12.5)) * _low_pass(p, 12.5, 0.63)
    low, high = _omega(2.37), _omega(3.35)
    step = (1 + p / (0.91 * low) + (p / low) ** 2) / (1 + p / (0.91 * high) + (p / high) ** 2)
    return np.abs(band * turned * step * (low / high) ** 2)


def hand_arm_weight(hz: NDArray[np.float64]) -> NDArray[np.float64]:
    """Wh of ISO 5349-1: its band limits and transition."""
    p = 2j * np.pi * np.asarray(hz, float)
    band = _high_pass(p, 6.310, 0.71) * _low_pass(p, 1258.9, 0.71)
    return np.abs(band * (1 + p / _omega(15.915)) * _low_pass(p, 15.915, 0.64))


def _omega(hz: float) -> float:
    return 2 * np.pi * hz


def _low_pass(p: NDArray[np.complex128], hz: float, q: float) -> NDArray[np.complex128]:
    ratio = p / _omega(hz)
    return np.asarray(1 / (1 + ratio / q + ratio**2))


def _high_pass(p: NDArray[np.complex128], hz: float, q: float) -> NDArray[np.complex128]:
    ratio = p / _omega(hz)
    return np.asarray(ratio**2 / (1 + ratio / q + ratio**2))
