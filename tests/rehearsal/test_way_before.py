"""One step of a way, for all states at once, against each state by itself."""

import numpy as np
import pytest

from tapscore.rehearsal.bands import Floats
from tapscore.rehearsal.way_before import NEVER, TEMPOS, Before, retimed


def states(seed: int, count: int) -> tuple[Before, Floats]:
    rng = np.random.default_rng(seed)
    sec = 40 + np.cumsum(rng.choice([0.03, 0.11, 0.3, 1.2], count) + rng.uniform(0, 0.02, count))
    return Before(sec, 2.0), rng.normal(0, 4, (count, len(TEMPOS))).astype(np.float32)


@pytest.mark.parametrize(("seed", "count"), [(1, 2), (2, 3), (3, 17), (4, 64), (5, 65)])
def test_the_best_up_to_a_moment_less_so_much_a_second(seed: int, count: int) -> None:
    way, state = states(seed, count)
    weighed = state + np.float32(0.4) * way.sec.astype(np.float32)[:, None]
    assert np.array_equal(way.so_far(state, 0.4), np.maximum.accumulate(weighed, axis=0))


def test_a_tempo_changes_at_so_much_a_step_and_no_more_than_the_most() -> None:
    _, state = states(6, 40)
    kept = state.copy()
    steps = np.abs(np.arange(19)[:, None] - np.arange(19))
    by_hand = (state[:, :, None] - np.minimum(0.55 * steps, 4.5)).max(axis=1)
    assert retimed(state) == pytest.approx(by_hand, abs=1e-5)
    assert np.array_equal(state, kept)
    alone = np.full((1, 19), NEVER)
    alone[0, 3] = 0
    lost = [*(0.55 * abs(at - 3) for at in range(12)), *[4.5] * 7]
    assert retimed(alone)[0] == pytest.approx(-np.array(lost), abs=1e-5)


@pytest.mark.parametrize("gap", [0.2, 0.7, 2.5])
def test_the_best_before_at_about_the_time(gap: float) -> None:
    """Within 3.2 deviations and from 0.45 of the gap on; asked again, the same is found."""
    way, state = states(7, 50)
    expected = gap * TEMPOS
    sigma = np.hypot(0.045, 0.035 * expected)
    behind = (way.sec[:, None] - way.sec)[:, :, None]
    off = (behind - expected) / sigma
    gain = -(off**2) / 2 - np.log(sigma * np.sqrt(2 * np.pi)) - np.log(2.0)

    def best(wide: float, least: float) -> Floats:
        near = (np.abs(off) < wide) & (behind > least * expected) & (behind > 0)
        each: Floats = np.where(near, state[None] + gain, NEVER).max(axis=1)
        return each

    found = way.within(state, expected, sigma)
    # looked up to a hundredth of a second, so that at the very edge either may be
    assert (found <= best(3.2 + 0.011 / 0.045, 0.45) + 1e-3).all()
    assert (found >= best(3.2 - 0.011 / 0.045, 0.45 + 0.011 / float(expected.min())) - 1e-3).all()
    assert (found > NEVER).mean() > 0.1
    assert np.array_equal(way.within(state, expected, sigma), found)
    way.forget()
    assert np.array_equal(way.within(state, expected, sigma), found)


def test_the_best_before_at_least_so_long_ago() -> None:
    way, state = states(8, 50)
    least = 0.3 * TEMPOS
    behind = (way.sec[:, None] - way.sec)[:, :, None]
    lost = 3 + 0.5 * (behind - least)
    found = way.later(state, least, 3.0, 0.5)
    for slack, bound in ((0.0, np.less_equal), (0.011, np.greater_equal)):
        may = np.where(behind > least + slack, state[None] - lost, NEVER).max(axis=1)
        assert bound(found, may + (1e-3 if not slack else -1e-3)).all()
    assert (found[0] < NEVER / 2).all()
    other = way.later(state, least, 3.0, 0.9)
    assert (other[found > NEVER / 2] <= found[found > NEVER / 2] + 1e-3).all()
    assert not np.array_equal(other, found)


def test_of_very_many_near_ones_the_earliest_sixteen_are_compared() -> None:
    sec = np.concatenate([10 + 0.002 * np.arange(20), [11.0]])
    state = np.full((21, len(TEMPOS)), NEVER)
    state[:20, 9] = np.arange(20)
    way = Before(sec, 1.0)
    expected = 0.98 / TEMPOS[9] * TEMPOS
    wide = np.full(len(TEMPOS), 0.5, np.float32)
    flat = -np.log(0.5 * np.sqrt(2 * np.pi))
    assert way.within(state, expected, wide)[20, 9] == pytest.approx(15 + flat, abs=0.01)
