"""From which moment, at which tempo, a tap is best come to: one step of a way, worked out for all.

A state is a candidate at a tempo: scores have the shape ``(moments, TEMPOS)``.
"""

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.rehearsal.bands import Floats

TEMPOS = np.exp(np.linspace(np.log(0.58), np.log(1.72), 19)).astype(np.float32)
"""Told against written length; neighbours differ by 6 %."""
NEVER = np.float32(-1e9)
_WIDE = 3.2
_LEAST_OF_GAP = 0.45
"""A gap is no shorter than so much of the expected one: no touch is two taps of a fast line."""
_MOST_IN_WINDOW = 16
_TEMPO_STEP_COST = 0.55
_TEMPO_MOST_COST = 4.5
_GRID_SEC = 0.01
_MOST_KEPT = 40


@frozen(eq=False)
class _Near:
    """Pairs of a state (candidate and tempo) and a predecessor at about the expected time."""

    cells: NDArray[np.intp]
    """States that have a predecessor, those with most of them first."""
    counts: list[int]
    """[step]: so many of them have one more than ``step`` predecessors."""
    before: NDArray[np.intp]
    """Of each pair the predecessor: all first ones, then all second ones, and so on."""
    score: Floats


class Before:
    """The moments of a recording, and the best way to each from those before it."""

    def __init__(self, sec: NDArray[np.float64], noise_per_sec: float) -> None:
        self.sec = sec - sec[0] + 1.0
        grid = np.arange(0, self.sec[-1] + 2, _GRID_SEC)
        self._first = np.searchsorted(self.sec, grid).astype(np.int32)
        self._noise = float(np.log(max(noise_per_sec, 0.2)))
        self._kept: dict[tuple[float, float], _Near] = {}
        self._kept_later: dict[tuple[float, float, float], tuple[NDArray[np.intp], Floats]] = {}

    def first(self, at: NDArray[np.float64] | Floats) -> NDArray[np.int32]:
        """Which moment is the first at or after a time, to a hundredth of a second."""
        rows = np.clip(at / _GRID_SEC, 0, len(self._first) - 1).astype(np.int32)
        found: NDArray[np.int32] = self._first[rows]
        return found

    def forget(self) -> None:
        """Let go of what was kept for gaps that come again."""
        self._kept.clear()
        self._kept_later.clear()

    def within(self, state: Floats, expected: Floats, sigma: Floats) -> Floats:
        """Best predecessor near the expected time; sharpness of time against chance counts."""
        near = self._near(expected, sigma)
        found = state.ravel().take(near.before)
        found += near.score
        first = found[: len(near.cells)]
        begin = len(first)
        for count in near.counts[1:]:
            some = first[:count]
            np.maximum(some, found[begin : begin + count], out=some)
            begin += count
        best = np.full(state.shape, NEVER)
        best.ravel()[near.cells] = first
        return best

    def _near(self, expected: Floats, sigma: Floats) -> _Near:
        """Every predecessor near the expected time; kept, as gaps come again and again."""
        key = (round(float(expected[-1]), 3), round(float(sigma[-1]), 4))
        if key in self._kept:
            self._kept[key] = self._kept.pop(key)
            return self._kept[key]
        sec = self.sec.astype(np.float32)
        target = sec[:, None] - expected
        first = self.first(target - _WIDE * sigma)
        latest = np.minimum(
            target + _WIDE * sigma, sec[:, None] - np.float32(_LEAST_OF_GAP) * expected
        )
        many = np.clip(self.first(latest) - first, 0, _MOST_IN_WINDOW).ravel()
        # cells with most predecessors first, so that what has a second one is a part at the front
        cells = np.argsort(-many, kind="stable")[: np.count_nonzero(many)]
        many = many[cells]
        counts = [int(np.searchsorted(-many, -step)) for step in range(int(many.max(initial=1)))]
        tempo = cells % len(TEMPOS)
        earliest = first.ravel()[cells]
        at = np.concatenate([earliest[:count] + step for step, count in enumerate(counts)])
        tempos = np.concatenate([tempo[:count] for count in counts])
        off = np.concatenate([target.ravel()[cells[:count]] for count in counts])
        off -= sec[at]
        off *= off
        off *= (np.float32(-0.5) / sigma**2)[tempos]
        off += (-np.log(sigma * np.float32(np.sqrt(2 * np.pi))) - np.float32(self._noise))[tempos]
        if len(self._kept) >= _MOST_KEPT:
            # the one that was not asked for the longest
            del self._kept[next(iter(self._kept))]
        near = _Near(cells, counts, at.astype(np.intp) * len(TEMPOS) + tempos, off)
        self._kept[key] = near
        return near

    def later(self, state: Floats, least: Floats, cost: float, per_sec: float) -> Floats:
        """Best predecessor at least so long ago, at a cost for each second more."""
        return self.ago(self.so_far(state, per_sec), least, cost, per_sec)

    def so_far(self, state: Floats, per_sec: float) -> Floats:
        """The best up to each moment, where it loses so much a second."""
        sec = self.sec.astype(np.float32)[:, None]
        return _best_so_far(state + np.float32(per_sec) * sec)

    def ago(self, so_far: Floats, least: Floats, cost: float, per_sec: float) -> Floats:
        """What ``later`` gives, from ``so_far``."""
        at, lost = self._long_ago(least, cost, per_sec)
        later = so_far.ravel().take(at)
        later += lost
        return later

    def _long_ago(
        self, least: Floats, cost: float, per_sec: float
    ) -> tuple[NDArray[np.intp], Floats]:
        """The last predecessor so long ago, and what it costs; kept, as gaps come again."""
        key = (float(least[-1]), cost, per_sec)
        if key not in self._kept_later:
            since = self.sec.astype(np.float32)[:, None] - least
            at = self.first(since) - 1
            lost = (-np.float32(per_sec) * since - np.float32(cost)).astype(np.float32)
            lost[at < 0] = NEVER
            if len(self._kept_later) >= _MOST_KEPT:
                self._kept_later.clear()
            self._kept_later[key] = (
                np.maximum(at, 0).astype(np.intp) * len(TEMPOS) + np.arange(len(TEMPOS)),
                lost,
            )
        return self._kept_later[key]


def retimed(state: Floats) -> Floats:
    """After a change of tempo: so much a step, and no more than the most."""
    best = state.copy()
    # each time from twice as far off, until steps would cost the most
    for steps in (1, 2, 4, 1):
        before, cost = best.copy(), np.float32(steps * _TEMPO_STEP_COST)
        np.maximum(best[:, steps:], before[:, :-steps] - cost, out=best[:, steps:])
        np.maximum(best[:, :-steps], before[:, steps:] - cost, out=best[:, :-steps])
    any_other = state.max(axis=1, keepdims=True) - np.float32(_TEMPO_MOST_COST)
    changed: Floats = np.maximum(best, any_other)
    return changed


def _best_so_far(score: Floats) -> Floats:
    """The highest up to each row, as ``maximum.accumulate``, which takes three times as long on
    so few columns; ``score`` is used up.
    """
    best, other = score, np.empty_like(score)
    back = 1
    while back < len(best):
        other[:back] = best[:back]
        np.maximum(best[back:], best[:-back], out=other[back:])
        best, other = other, best
        back *= 2
    return best
