"""One minute of taps on one's own board: what they sound like there, and how loud each spot is."""

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.rehearsal.bands import BandLevels, Floats
from tapscore.rehearsal.candidates import Candidates, candidates_in
from tapscore.rehearsal.detector import Detector
from tapscore.rehearsal.loudness import tap_levels_db

TIMES = 3
"""Each stroke is tapped so often at each spot."""
_APART_SEC = 0.15
_LEAST_ODDS, _SURELY_ODDS = -1.0, 1.5
_MOST_DOUBTED = 0.2


@frozen(eq=False)
class BoardTaps:
    """What was learned from a recording of taps alone."""

    detector: Detector
    levels_db: tuple[float, ...]
    """For each group of ``TIMES`` taps the middle one's level; only differences mean something."""


def learn_board(levels: BandLevels, groups: int, detector: Detector) -> BoardTaps | int:
    """Learn from ``groups`` times ``TIMES`` taps; how many were heard where that is another number.

    What has many more taps is another recording: learned from, it would spoil what is known.
    """
    every = candidates_in(levels)
    wanted = groups * TIMES
    odds = detector.log_odds(every.features)
    taps = _likeliest(every, odds, wanted)
    likely = int((odds > _SURELY_ODDS).sum())
    if likely > wanted + max(_MOST_DOUBTED * wanted, 3):
        return likely
    heard = int((odds[taps] > _LEAST_ODDS).sum())
    if heard < (1 - _MOST_DOUBTED) * wanted or len(taps) < wanted:
        return heard
    is_tap = np.zeros(len(every), np.float32)
    is_tap[taps] = 1.0
    own = detector.adapted(every.features, is_tap, np.ones(len(every), np.float32))
    loud = tap_levels_db(every, is_tap > 0)[taps].reshape(groups, TIMES)
    return BoardTaps(own, tuple(float(each) for each in np.median(loud, axis=1)))


def _likeliest(every: Candidates, odds: Floats, wanted: int) -> NDArray[np.intp]:
    """The likeliest taps in order of time, none just beside another."""
    taken: list[int] = []
    for at in np.argsort(-odds):
        if len(taken) == wanted:
            break
        if all(abs(every.sec[at] - every.sec[other]) >= _APART_SEC for other in taken):
            taken.append(int(at))
    return np.array(sorted(taken), np.intp)
