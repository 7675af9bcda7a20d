"""Candidates as the alignment sees them: when, and how much each speaks for a tap."""

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.rehearsal.bands import Floats

MOST_EVIDENCE = 5.0


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


def evidence_for(log_odds: Floats, share: float) -> Floats:
    """Log likelihood ratios from log odds, where a ``share`` of all moments are taps."""
    share = min(max(share, 0.02), 0.95)
    ratio = log_odds - np.float32(np.log(share / (1 - share)))
    bounded: Floats = np.clip(ratio, -MOST_EVIDENCE, MOST_EVIDENCE).astype(np.float32)
    return bounded
