"""Loudness by line, and the robust slope against scipy's."""

import numpy as np
import pytest
from scipy.stats import theilslopes  # type: ignore[import-untyped]

from tapscore.rehearsal.loudness import line_level, swelling, theil_sen
from tapscore.rehearsal.told import ToldLine


def _line(levels: list[float], step: float = 0.4) -> ToldLine:
    sec = 3 + step * np.arange(len(levels), dtype=np.float64)
    heard = np.isfinite(levels)
    return ToldLine(0, 0.95, sec, heard, 1.0, np.array(levels, np.float64))


@pytest.mark.parametrize("seed", range(8))
def test_the_slope_is_scipys(seed: int) -> None:
    rng = np.random.default_rng(seed)
    x = np.sort(rng.uniform(0, 5, 4 + seed))
    y = 2 * x + rng.normal(0, 1.5, len(x))
    y[seed % len(y)] += 20
    slope, low, high = theil_sen(x, y)
    theirs = theilslopes(y, x, alpha=0.9)
    assert slope == pytest.approx(theirs.slope)
    assert low == pytest.approx(theirs.low_slope)
    assert high == pytest.approx(theirs.high_slope)


def test_a_swell_is_its_slope_over_the_line_whatever_one_tap_does() -> None:
    rising = swelling(_line([0.0, 2.0, 4.0, 30.0, 8.0, 10.0]))
    assert rising is not None
    assert rising.db == pytest.approx(10.0, abs=1.0)
    assert rising.least_db <= rising.db <= rising.most_db


def test_too_few_taps_say_nothing() -> None:
    assert swelling(_line([0.0, 3.0, float("nan"), 6.0])) is None
    assert line_level(_line([0.0, 3.0])) is None
    three = line_level(_line([0.0, 3.0, 4.0]))
    assert three is not None
    assert three.middle_db == pytest.approx(3.0)


def test_a_line_is_as_loud_as_its_middle_tap() -> None:
    level = line_level(_line([0.0, 1.0, 2.0, float("nan"), 40.0, 1.0]))
    assert level is not None
    assert level.middle_db == pytest.approx(1.0)
    assert level.error_db > 0.5
