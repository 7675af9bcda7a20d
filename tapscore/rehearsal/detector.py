"""How likely a moment is a tap: a small logistic detector, learned, then adapted to a recording.

It is learned on several kinds of simulated boards (``tests/training/tap_weights.py``); what one
board in one room sounds like it learns from the recording's own first alignment.
"""

import json
from functools import lru_cache

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.rehearsal.bands import Floats
from tapscore.resources import resource_path

WEIGHTS_FILE = "rehearsal/tap_weights.json"
_HELD = 12.0
"""How strongly a recording's own weights are held to the learned ones."""
_STEPS = 12


@frozen(eq=False)
class Detector:
    """Weights of a logistic regression: ``bias + (features - middle) / spread . weights``."""

    middle: Floats
    spread: Floats
    weights: Floats
    bias: float

    def log_odds(self, features: Floats) -> Floats:
        """Of being a tap, shape ``(count,)``."""
        scaled = (features - self.middle) / self.spread
        odds: Floats = (scaled @ self.weights + np.float32(self.bias)).astype(np.float32)
        return odds

    def adapted(self, features: Floats, is_tap: Floats, counts: Floats) -> "Detector":
        """Learned on: moments of one recording, how sure each is a tap (0 to 1), and its weight.

        Newton's method on a likelihood that is held to these weights.
        """
        scaled = ((features - self.middle) / self.spread).astype(np.float64)
        inputs = np.concatenate([scaled, np.ones((len(scaled), 1))], axis=1)
        start = np.append(self.weights.astype(np.float64), self.bias)
        held = np.full(len(start), _HELD)
        held[-1] = 0.5
        now: NDArray[np.float64] = start.copy()
        for _ in range(_STEPS):
            sure = 1 / (1 + np.exp(-np.clip(inputs @ now, -30, 30)))
            slope = inputs.T @ (counts * (sure - is_tap)) + held * (now - start)
            bend = (inputs * (counts * sure * (1 - sure))[:, None]).T @ inputs + np.diag(held)
            step = np.linalg.solve(bend, slope)
            now = now - step * min(1.0, 2.0 / (float(np.abs(step).max()) + 1e-9))
            if float(np.abs(step).max()) < 1e-4:
                break
        return Detector(self.middle, self.spread, now[:-1].astype(np.float32), float(now[-1]))


@lru_cache(maxsize=1)
def learned_detector() -> Detector:
    """The detector as it was learned."""
    data = json.loads(resource_path(WEIGHTS_FILE).read_text(encoding="utf-8"))
    return Detector(
        np.array(data["middle"], np.float32),
        np.array(data["spread"], np.float32),
        np.array(data["weights"], np.float32),
        float(data["bias"]),
    )
