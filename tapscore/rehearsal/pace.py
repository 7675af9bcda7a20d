"""How fast a line was told, against the others, and where it stopped: never one for the other."""

import numpy as np
from numpy.typing import NDArray

from tapscore.rehearsal.loudness import theil_sen
from tapscore.rehearsal.told import ToldLine
from tapscore.rehearsal.written import WrittenLine

FASTER, SLOWER = 1.22, 0.79
"""Pace against the other lines' from which a line is said to be a fifth faster or slower:
a little beyond a fifth, so that one that is just not so is never called it."""
FEWEST_TAPS, _SHORTEST_SEC = 4, 1.0
TIMES_SURE = 1.65
_MOSTLY, _SLOPES_AGREE = 0.7, 0.06
_A_FIFTH_FASTER, _A_FIFTH_SLOWER = 1.15, 0.85
"""What the limits must lie beyond: those of a robust slope are wide for few taps."""
_WITH_PAUSE_FASTER, _WITH_PAUSE_SLOWER = 1.2, 1 / 1.2
_PAUSE_SEC, _PAUSE_SHARE, _TIMES_UNEVEN = 0.36, 0.36, 4.0
"""A gap inside a line that is so much longer than it is at the line's tempo is a pause, where the
line's other gaps are off by no more than a quarter of that."""
_LAST_SHARE = 0.7
"""The same of the last gap, which people draw out by as much as a quarter."""


def clearly_otherwise(written: WrittenLine, line: ToldLine, usual_pace: float) -> float | None:
    """A line's pace against the usual one where it is clearly a fifth off; else None.

    The slope through its taps and both limits of a robust slope (Sen 1968, at 90 %) must agree:
    a pause, or one tap elsewhere, draws them apart.  With pauses counted in it must be a fifth off
    as well: a pause is said as one, never as tempo.
    """
    heard = line.heard
    if heard.sum() < FEWEST_TAPS or heard.mean() < _MOSTLY or written.length_sec < _SHORTEST_SEC:
        return None
    pace = 1 / line.ratio / usual_pace
    unsure = float(np.exp(TIMES_SURE * _ratio_error(written, line)))
    slope, low, high = theil_sen(written.taps_sec[heard], line.taps_sec[heard])
    if low <= 0 or abs(float(np.log(slope / line.ratio))) > _SLOPES_AGREE:
        return None
    slowest = min(pace / unsure, 1 / high / usual_pace)
    fastest = max(pace * unsure, 1 / low / usual_pace)
    paused = 1 / _plain_slope(written.taps_sec[heard], line.taps_sec[heard]) / usual_pace
    said = (pace >= FASTER and slowest > _A_FIFTH_FASTER and paused >= _WITH_PAUSE_FASTER) or (
        pace <= SLOWER and fastest < _A_FIFTH_SLOWER and paused <= _WITH_PAUSE_SLOWER
    )
    return pace if said else None


def paused_before(written: WrittenLine, line: ToldLine) -> int | None:
    """Before which of a line's touches a pause was made, where the rest keeps its tempo; else None.

    Of two pauses the longer one; none beside a tap that was not heard.
    """
    heard = line.heard
    if heard.sum() < FEWEST_TAPS or heard.mean() < _MOSTLY:
        return None
    known = heard[1:] & heard[:-1]
    gaps = np.diff(written.taps_sec)
    wanted = gaps * float(np.median((np.diff(line.taps_sec) / gaps)[known]))
    more = np.diff(line.taps_sec) - wanted
    share = np.full(len(gaps), _PAUSE_SHARE)
    share[-1] = _LAST_SHARE
    long = known & (more >= _PAUSE_SEC) & (more >= share * wanted)
    if not long.any() or long.sum() > 2:
        return None
    others = np.abs(more[known & ~long])
    if (others >= np.maximum(0.12, 0.25 * wanted[known & ~long])).any():
        return None
    longest = int(np.where(long, more, 0).argmax())
    if more[longest] < _TIMES_UNEVEN * others.max(initial=0):
        return None
    return longest + 1


def _plain_slope(x: NDArray[np.float64], y: NDArray[np.float64]) -> float:
    """By least squares, in which a pause counts in full."""
    return float(np.polyfit(x, y, 1)[0])


def _ratio_error(written: WrittenLine, line: ToldLine) -> float:
    """Standard error of the logarithm of a line's ratio."""
    x, y = written.taps_sec[line.heard], line.taps_sec[line.heard]
    x = x - x.mean()
    off = (y - y.mean()) - line.ratio * x
    scatter = max(float(np.sqrt(np.square(off).sum() / max(len(x) - 2, 1))), 0.02)
    return scatter / float(np.sqrt(np.square(x).sum())) / line.ratio
