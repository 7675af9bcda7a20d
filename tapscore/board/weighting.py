"""How much of a vibration is felt, by frequency.

The standards' own weightings (ISO 2631-1, ISO 5349-1) are not used: they weigh discomfort and
harm, not what can just be felt.

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
    below = np.minimum(at - x[0], 0) * (y[1] - y[0]) / (x[1] - x[0])
    above = np.maximum(at - x[-1], 0) * (y[-1] - y[-2]) / (x[-1] - x[-2])
    threshold = np.exp(np.interp(at, x, y) + below + above)
    weight: NDArray[np.float64] = _REFERENCE_M_S2 / threshold
    return weight


def phone_weight(hz: NDArray[np.float64]) -> NDArray[np.float64]:
    """What a phone's accelerometer reads: all alike to about 80 Hz (assumed; phones differ)."""
    weight: NDArray[np.float64] = 1 / np.sqrt(1 + (np.asarray(hz, float) / _PHONE_HZ) ** 4)
    return weight
