"""The alignment against every way there is, on stories so short that all can be tried."""

from collections.abc import Iterator
from itertools import combinations, pairwise, product

import numpy as np
import pytest
from numpy.typing import NDArray

from tapscore.rehearsal.alignment import aligned
from tapscore.rehearsal.evidence import Evidence
from tapscore.rehearsal.written import WrittenLine

Numbers = NDArray[np.float64]
TEMPOS = np.geomspace(0.58, 1.72, 19)
"""All costs and times stand here as figures: one that changes in the model changes the best way."""
Way = tuple[int | None, ...]
"""Candidate of each tap of a line; None where there is none."""


def _line(taps: list[float], gap: float, *, waits: bool = False, step: float = 1.0) -> WrittenLine:
    return WrittenLine(0, np.array(taps), 0.0, np.full(len(taps), step), gap, waits)


class _EveryWay:
    """The same model, written down plainly, with nothing shared between ways."""

    def __init__(self, lines: list[WrittenLine], evidence: Evidence) -> None:
        self.lines, self.evidence = lines, evidence
        self.sec = evidence.sec - evidence.sec[0] + 1.0
        self.miss = float(np.log(evidence.missed))
        self.noise = float(np.log(evidence.noise_per_sec))

    def scored(self) -> list[tuple[float, list[Way]]]:
        return [(self._score(begun, way), way) for begun, way in self._ways()]

    def _ways(self) -> Iterator[tuple[list[Way], list[Way]]]:
        """What was told of each line, and the next one, before it was begun again; its taps."""
        taps = [len(line.taps_sec) for line in self.lines]
        both = [one + two for one, two in pairwise([*taps, 0])]
        lengths = [[0, *range(2, count + 1)] for count in both]
        for begun in product(*lengths):
            yield from self._ways_begun(begun)

    def _ways_begun(self, begun: tuple[int, ...]) -> Iterator[tuple[list[Way], list[Way]]]:
        parts, needed, taps = [], set(), 0
        for count, line in zip(begun, self.lines, strict=True):
            if count:
                needed |= set(range(taps, taps + count + 1))
            parts += [(taps, taps + count), (taps + count, taps + count + len(line.taps_sec))]
            taps = parts[-1][1]
        for count in range(max(len(needed), 1), min(taps, len(self.sec)) + 1):
            for where in combinations(range(taps), count):
                if not needed <= set(where):
                    continue
                for chosen in combinations(range(len(self.sec)), count):
                    flat: list[int | None] = [None] * taps
                    for tap, candidate in zip(where, chosen, strict=True):
                        flat[tap] = candidate
                    every = [tuple(flat[first:last]) for first, last in parts]
                    yield every[::2], every[1::2]

    def _score(self, begun: list[Way], way: list[Way]) -> float:
        told = [at for at, line in enumerate(way) if any(tap is not None for tap in line)]
        edges = [told[0], len(way) - 1 - told[-1]]
        score = sum(-(6.0 + 2.5 * (n - 1)) for n in edges if n)
        state = self._whole(np.zeros(len(TEMPOS)), told[0], begun, way)
        lead = self._first(way[told[0]])
        score += lead * self.miss if lead < 3 else -np.inf
        for before, after in pairwise(told):
            crossed = self._crossing(before, after, begun, way)
            state = self._whole((state[:, None] + crossed).max(axis=0), after, begun, way)
        end = self._first(way[told[-1]][::-1])
        score += end * self.miss if end < 3 else -np.inf
        return float(score + state.max())

    def _whole(self, state: Numbers, at: int, begun: list[Way], way: list[Way]) -> Numbers:
        """By the tempo that a line is begun at, and then by the one that it is told at."""
        own = self._inside(at, way[at], drawn_out=True)
        if not begun[at]:
            return state + own
        count = len(self.lines[at].taps_sec)
        line, following = begun[at][:count], begun[at][count:]
        state = state + self._inside(at, line)
        if following:
            crossed = self._next(line[-1], following[0], self.lines[at])
            state = (state[:, None] + crossed).max(axis=0) - 1.5
            state = state + self._inside(at + 1, following)
        last, first = begun[at][-1], way[at][0]
        assert last is not None
        assert first is not None
        least = np.full(len(TEMPOS), 0.3)
        return state + self._later(last, first, least, 5.0, 1 / 2.0) + own

    def _next(self, last: int | None, first: int | None, line: WrittenLine) -> Numbers:
        """From a line's last tap to the next one's first, none of them missing."""
        assert last is not None
        assert first is not None
        steps = np.abs(np.arange(len(TEMPOS))[:, None] - np.arange(len(TEMPOS)))
        expected = line.gap_sec * TEMPOS
        found = self._followed(last, first, expected, waits=line.waits_after)
        crossed: Numbers = found[None, :] - np.minimum(0.55 * steps, 4.5)
        return crossed

    @staticmethod
    def _first(line: Way) -> int:
        return next(at for at, tap in enumerate(line) if tap is not None)

    def _inside(self, at: int, way: Way, *, drawn_out: bool = False) -> Numbers:
        taps = [(n, tap) for n, tap in enumerate(way) if tap is not None]
        score = np.zeros(len(TEMPOS)) + self._own(at, *taps[0])
        written = self.lines[at].taps_sec
        for (one, first), (two, second) in pairwise(taps):
            back = two - one
            if back > 3:
                return np.full(len(TEMPOS), -np.inf)
            expected = (written[two] - written[one]) * TEMPOS
            sigma = np.hypot(0.045, 0.035 * expected)
            step = self._within(first, second, expected, sigma)
            if back == 1 and drawn_out and two == len(written) - 1 > 1:
                wide = np.hypot(0.045, 0.08 * 1.15 * expected)
                drawn = self._within(first, second, 1.15 * expected, wide) - 1.0
                step = np.maximum(step, drawn)
            if back == 1:
                late = self._later(first, second, expected + 2 * sigma, 5.5, 1 / 0.6)
                step = np.maximum(step, late)
            score = score + step + (back - 1) * self.miss + self._own(at, two, second)
        return score

    def _own(self, at: int, tap: int, candidate: int) -> float:
        return float(self.evidence.of(float(self.lines[at].steps[tap]))[candidate])

    def _crossing(self, before: int, after: int, begun: list[Way], way: list[Way]) -> Numbers:
        """By tempo of the line before and tempo of the line after."""
        gone, missing = self._first(way[before][::-1]), self._first(way[after])
        first = way[before][len(way[before]) - 1 - gone]
        second = (begun[after] or way[after])[missing]
        assert first is not None
        assert second is not None
        steps = np.abs(np.arange(len(TEMPOS))[:, None] - np.arange(len(TEMPOS)))
        change = -np.minimum(0.55 * steps, 4.5)
        lost = (gone + missing) * self.miss
        if after > before + 1:
            if gone >= 3 or missing >= 3:
                return np.full(change.shape, -np.inf)
            least = np.full(len(TEMPOS), 0.2)
            free = self._later(first, second, least, 3.0, 0.03)
            left = 5.0 + 2.5 * (after - before - 2)
            jumped: Numbers = np.zeros(change.shape) + free - left + lost
            if after > before + 2 or gone or missing:
                return jumped
            gap = self.lines[before].gap_sec
            waits = self.lines[before].waits_after or self.lines[before + 1].waits_after
            over = self._followed(first, second, gap * TEMPOS, waits=waits)
            told_over: Numbers = np.maximum(jumped, change + over[None, :] - 5.0)
            return told_over
        if gone + missing >= 3:
            return np.full(change.shape, -np.inf)
        line, following = self.lines[before], self.lines[after]
        gap = line.gap_sec + line.taps_sec[-1] - line.taps_sec[len(line.taps_sec) - 1 - gone]
        expected = (gap + following.taps_sec[missing]) * TEMPOS
        found = self._followed(first, second, expected, waits=line.waits_after)
        both: Numbers = change + found[None, :] + lost
        return both

    def _followed(self, first: int, second: int, expected: Numbers, *, waits: bool) -> Numbers:
        if waits:
            least = np.full(len(TEMPOS), 0.2)
            return self._later(first, second, least, 3.0, 0.03)
        sigma = np.hypot(0.07, 0.08 * expected)
        found = self._within(first, second, expected, sigma)
        slope = 1 / 2.5
        found = np.maximum(found, self._later(first, second, expected, 3.0, slope))
        early = np.minimum(0.2, expected)
        both: Numbers = np.maximum(found, self._later(first, second, early, 6.0, slope))
        return both

    def _within(self, first: int, second: int, expected: Numbers, sigma: Numbers) -> Numbers:
        gap = self.sec[second] - self.sec[first]
        off = (gap - expected) / sigma
        gain = -0.5 * off**2 - np.log(sigma * np.sqrt(2 * np.pi)) - self.noise
        near = (np.abs(off) < 3.2) & (gap >= 0.45 * expected)
        return np.where(near, gain, -np.inf)

    def _later(
        self, first: int, second: int, least: Numbers, cost: float, per_sec: float
    ) -> Numbers:
        grid = 0.01
        latest = np.floor((self.sec[second] - least) / grid) * grid
        more = self.sec[second] - self.sec[first] - least
        return np.where(self.sec[first] < latest, -cost - per_sec * more, -np.inf)


def _evidence(seed: int, count: int) -> Evidence:
    rng = np.random.default_rng(seed)
    sec = np.sort(rng.uniform(0, 5, count)) + 0.12 * np.arange(count)
    loud = {2.0: rng.normal(0, 0.5, count).astype(np.float32)}
    return Evidence(sec, rng.normal(1, 2, count).astype(np.float32), 1.5, 0.1, loud)


@pytest.mark.parametrize("seed", range(9))
def test_no_way_is_better_than_the_one_found(seed: int) -> None:
    lines = [
        _line([0.0, 0.5], 1.0, waits=seed % 3 == 0),
        _line([0.0, 0.4, 0.8], 0.9, step=2.0),
        _line([0.0], 0.0),
    ]
    evidence = _evidence(seed, 6)
    found = aligned(lines, evidence)
    assert found is not None
    ways = _EveryWay(lines, evidence).scored()
    best = max(score for score, _ in ways)
    # the grid of 10 ms and 32-bit floats; what lies at a window's edge may differ by more
    assert found.score == pytest.approx(best, abs=0.05)
    for at, margin in enumerate(found.margin):
        assert margin == pytest.approx(_margin(ways, at, found.taps[at], evidence.sec), abs=0.05)


def _margin(
    ways: list[tuple[float, list[Way]]], at: int, taps: NDArray[np.intp], sec: Numbers
) -> float:
    """By how much the best way beats those without a line, and with all its taps elsewhere."""
    best = max(score for score, _ in ways)
    out = max(score for score, way in ways if not any(tap is not None for tap in way[at]))
    if not len(taps):
        assert best == out
        return best - max(score for score, way in ways if any(tap is not None for tap in way[at]))
    elsewhere = np.inf
    for tap, candidate in enumerate(taps):
        if candidate >= 0:
            others = np.flatnonzero(np.abs(sec - sec[candidate]) > 0.15)
            scores = [score for score, way in ways if way[at][tap] in others]
            elsewhere = min(elsewhere, max(scores))
    return float(best - max(elsewhere, out))


def test_a_story_told_evenly_is_found_tap_by_tap() -> None:
    lines = [_line([0.0, 0.5, 1.0, 1.75], 1.25), _line([0.0, 0.25, 1.0, 1.5], 0.0)]
    written = np.concatenate([lines[0].taps_sec, 3.0 + lines[1].taps_sec])
    sec = 4.0 + 1.1 * written
    evidence = Evidence(sec, np.full(len(sec), 3.0, np.float32), 0.5, 0.1)
    found = aligned(lines, evidence)
    assert found is not None
    assert [list(taps) for taps in found.taps] == [[0, 1, 2, 3], [4, 5, 6, 7]]
    assert all(abs(TEMPOS[tempo] - 1.1) < 0.08 for tempo in found.tempo)
    assert min(found.margin) > 5


def test_a_line_left_out_is_no_line_found() -> None:
    lines = [
        _line([0.0, 0.5, 1.0, 1.75], 1.25),
        _line([0.0, 0.3, 0.6, 0.9, 1.2], 0.8),
        _line([0.0, 0.7, 1.0, 1.9], 0.0),
    ]
    sec = np.concatenate([2 + lines[0].taps_sec, 5.2 + lines[2].taps_sec])
    found = aligned(lines, Evidence(sec, np.full(len(sec), 3.0, np.float32), 0.5, 0.1))
    assert found is not None
    assert [len(taps) for taps in found.taps] == [4, 0, 4]


def test_a_line_begun_again_is_the_later_one_and_none_is_left_out_for_it() -> None:
    """Three lines alike: what was begun and broken off must not be taken for one of them."""
    lines = [_line([0.0, 0.5, 1.0, 1.5], 1.0), _line([0.0, 0.5, 1.0, 1.5], 1.0)]
    lines.append(_line([0.0, 0.5, 1.0, 1.5], 0.0))
    starts = [2.0, 4.5, 7.4, 9.9]
    sec = np.concatenate(
        [
            start + line.taps_sec
            for start, line in zip(starts, [lines[0], lines[1], lines[1], lines[2]], strict=True)
        ]
    )
    sec = np.delete(sec, 7)
    found = aligned(lines, Evidence(sec, np.full(len(sec), 3.0, np.float32), 0.5, 0.1))
    assert found is not None
    assert [list(taps) for taps in found.taps] == [[0, 1, 2, 3], [7, 8, 9, 10], [11, 12, 13, 14]]


def test_two_lines_told_gone_back_to_and_told_again_stand_where_they_were_told_last() -> None:
    """With a pause inside the first telling, and the second line broken off there."""
    lines = [
        _line([0.0, 0.3, 0.6, 1.5], 1.0),
        _line([0.0, 0.25, 1.0, 1.5], 1.0),
        _line([0.0, 0.5, 0.75, 1.5], 1.0),
        _line([0.0, 0.75, 1.0, 1.25], 0.0),
    ]
    starts = [2.0, 4.5, 7.0, 10.5, 13.0, 15.5]
    told = [lines[at].taps_sec for at in (0, 1, 2, 1, 2, 3)]
    told[1] = told[1] + [0, 0, 0.4, 0.4]
    for heard in (4, 2):
        told[2] = lines[2].taps_sec[:heard]
        sec = np.concatenate([at + taps for at, taps in zip(starts, told, strict=True)])
        found = aligned(lines, Evidence(sec, np.full(len(sec), 3.0, np.float32), 0.5, 0.1))
        assert found is not None
        begins = [float(sec[taps[0]]) for taps in found.taps]
        assert begins == [2.0, 10.5, 13.0, 15.5]
        assert all((taps >= 0).all() for taps in found.taps)


def test_of_lines_alike_loudness_says_which_was_left_out() -> None:
    lines = [_line([0.0, 0.5, 1.0, 1.5], 1.0, step=step) for step in (1.0, 3.0, 1.0)]
    sec = np.concatenate([2 + lines[0].taps_sec, 4.5 + lines[1].taps_sec])
    loud = np.repeat([-1.0, 1.0], 4).astype(np.float32)
    for turned, left_out in ((loud, 2), (-loud, 0)):
        evidence = Evidence(sec, np.full(8, 2.0, np.float32), 0.5, 0.1, {1.0: -turned, 3.0: turned})
        found = aligned(lines, evidence)
        assert found is not None
        assert [at for at, taps in enumerate(found.taps) if not len(taps)] == [left_out]


def test_a_touch_is_one_tap_even_of_a_fast_line() -> None:
    line = _line([0.0, 0.15, 0.3, 0.45, 0.6], 0.0)
    found = aligned([line], Evidence(np.array([1.0, 9.0]), np.full(2, 3.0, np.float32), 0.2, 0.1))
    assert found is not None
    assert (found.taps[0] >= 0).sum() == 1


def test_nothing_to_go_by_is_no_alignment() -> None:
    assert aligned([], _evidence(0, 6)) is None
    one = Evidence(np.array([1.0]), np.ones(1, np.float32), 1.0, 0.1)
    assert aligned([_line([0.0, 1.0], 0.0)], one) is None
