"""How loud taps are against one another, line by line, and whether a line swells."""

from collections.abc import Iterable

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.rehearsal.bands import Floats
from tapscore.rehearsal.candidates import Candidates
from tapscore.rehearsal.told import ToldLine

Numbers = NDArray[np.float64]
_TELLING_BANDS = 3
_FEWEST_TAPS = 3
_ENOUGH_KNOWN, _LEAST_SPREAD = 20, 0.1
_LEAST_A_STEP_DB, _MOST_A_STEP_DB = 1.0, 6.0
_LEAST_SCATTER_DB = 2.5
_COUNTS, _MOST_FOR_STEP = 0.3, 1.0


def tap_levels_db(candidates: Candidates, matched: NDArray[np.bool_]) -> Numbers:
    """Level of each candidate in the bands in which taps stand out most from the rest.

    ``matched`` says which candidates are taps.  Levels are mean powers of 15 ms in dB: twice
    the amplitude is 6.02 dB more.  Against speech the level itself tells neighbouring lines
    apart better than its rise does (simulated: right .93 to .96 at L1 to L3, the rise .81 to
    .89).
    """
    rise = candidates.rise_db.astype(np.float64)
    bands = np.arange(_TELLING_BANDS)
    if matched.any() and not matched.all():
        apart = rise[matched].mean(axis=0) - rise[~matched].mean(axis=0)
        spread = rise[matched].std(axis=0) + rise[~matched].std(axis=0) + 1.0
        bands = np.argsort(apart / spread)[-_TELLING_BANDS:]
    levels: Numbers = candidates.peak_db[:, bands].astype(np.float64).mean(axis=1)
    return levels


def loudness_for_steps(
    levels_db: Numbers, taps: NDArray[np.intp], steps: Numbers, wanted: Iterable[float]
) -> dict[float, Floats]:
    """By written step, what each moment's level speaks for a tap of that step.

    ``taps`` are those of which the ``steps`` are known; nothing comes of few, or where what is
    written louder is not louder.  Log likelihood ratios against a tap of any step; a line's taps
    are loud or soft together, so that each counts for a part only.
    """
    spread = float(np.var(steps))
    if len(taps) < _ENOUGH_KNOWN or spread < _LEAST_SPREAD:
        return {}
    level = levels_db[taps]
    slope = float(np.clip(np.cov(steps, level)[0, 1] / np.var(steps, ddof=1), 0.0, _MOST_A_STEP_DB))
    if slope < _LEAST_A_STEP_DB:
        return {}
    middle = float(np.median(level - slope * steps))
    off = 1.4826 * float(np.median(np.abs(level - slope * steps - middle)))
    sigma = max(off, _LEAST_SCATTER_DB)
    every = float(np.hypot(sigma, slope * np.sqrt(spread)))
    usual = ((levels_db - middle - slope * float(steps.mean())) / every) ** 2
    found = {}
    for step in wanted:
        own = ((levels_db - middle - slope * step) / sigma) ** 2
        ratio = _COUNTS * (0.5 * (usual - own) + np.log(every / sigma))
        found[step] = np.clip(ratio, -_MOST_FOR_STEP, _MOST_FOR_STEP).astype(np.float32)
    return found


@frozen
class LineLevel:
    """A line's loudness and how sure that is, in dB."""

    middle_db: float
    error_db: float


def line_level(line: ToldLine) -> LineLevel | None:
    """Median of the taps that were heard; None for fewer than three."""
    levels = line.level_db[line.heard] if line.found else np.zeros(0)
    if len(levels) < _FEWEST_TAPS:
        return None
    middle = float(np.median(levels))
    scatter = 1.4826 * float(np.median(np.abs(levels - middle)))
    # standard error of a median of normal values; never below what a phone's own gain adds
    return LineLevel(middle, 1.2533 * max(scatter, 1.5) / float(np.sqrt(len(levels))))


def theil_sen(x: Numbers, y: Numbers) -> tuple[float, float, float]:
    """Slope of a line through points, and its limits at 90 %: the median of all pairs' slopes.

    Sen 1968; the limits by the normal approximation of Kendall's statistic without ties.
    Needs two points apart in ``x``.
    """
    first, second = np.triu_indices(len(x), 1)
    apart = x[second] - x[first]
    slopes = np.sort(((y[second] - y[first])[apart != 0]) / apart[apart != 0])
    count = len(x)
    sigma = np.sqrt(count * (count - 1) * (2 * count + 5) / 18)
    reach = 1.6449 * sigma
    low = max(round((len(slopes) - reach) / 2) - 1, 0)
    high = min(round((len(slopes) + reach) / 2), len(slopes) - 1)
    return float(np.median(slopes)), float(slopes[low]), float(slopes[high])


@frozen
class Swelling:
    """How much louder a line's last tap is than its first, by the slope through all."""

    db: float
    least_db: float
    most_db: float


def swelling(line: ToldLine) -> Swelling | None:
    """A line's swell as it sounded; None where too few taps were heard."""
    if not line.found or line.heard.sum() < _FEWEST_TAPS + 1:
        return None
    sec, levels = line.taps_sec[line.heard], line.level_db[line.heard]
    span = line.end_sec - line.start_sec
    slope, low, high = theil_sen(sec, levels)
    return Swelling(slope * span, low * span, high * span)
