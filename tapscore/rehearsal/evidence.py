"""Candidates as the alignment sees them: when, and how much each speaks for a tap."""

from collections.abc import Mapping

import numpy as np
from attrs import field, frozen
from numpy.typing import NDArray

from tapscore.rehearsal.bands import Floats

MOST_EVIDENCE = 5.0
STRAY = 0.03
"""Taps that no line holds, for each moment that is none."""


@frozen(eq=False)
class Evidence:
    """Candidates in order of time."""

    sec: NDArray[np.float64]
    for_tap: Floats
    """Log likelihood of being a tap against being something else."""
    noise_per_sec: float
    """How many candidates a second are something else."""
    missed: float
    """How often a tap has no candidate."""
    for_step: Mapping[float, Floats] = field(factory=dict)
    """What its loudness adds for a tap of this written loudness, where that tells anything."""

    def of(self, step: float) -> Floats:
        """What each candidate speaks for a tap of this written loudness."""
        more = self.for_step.get(step)
        return self.for_tap if more is None else self.for_tap + more

    def turned(self) -> "Evidence":
        """The same from the end to the beginning."""
        steps = {step: more[::-1] for step, more in self.for_step.items()}
        return Evidence(-self.sec[::-1], self.for_tap[::-1], self.noise_per_sec, self.missed, steps)


def evidence_for(log_odds: Floats, share: float) -> Floats:
    """Log likelihood ratios from log odds, where a ``share`` of all moments are taps.

    What is none of the written taps may be one all the same (a line begun again, a hand that
    tries the board), so that the likest tap speaks for no more than how seldom that is.
    """
    share = min(max(share, 0.02), 0.95)
    ratio = np.clip(log_odds - np.log(share / (1 - share)), -MOST_EVIDENCE, MOST_EVIDENCE)
    bounded: Floats = (ratio - np.log1p(STRAY * np.exp(ratio))).astype(np.float32)
    return bounded
