"""The alignment against every way there is, on stories so short that all can be tried."""

from collections.abc import Iterator
from itertools import combinations, pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from tapscore.rehearsal import one_pass as model
from tapscore.rehearsal.alignment import aligned
from tapscore.rehearsal.evidence import Evidence
from tapscore.rehearsal.one_pass import TEMPOS
from tapscore.rehearsal.written import WrittenLine

Numbers = NDArray[np.float64]
Way = tuple[int | None, ...]
"""Candidate of each tap of a line; None where there is none."""


def _line(taps: list[float], gap: float, *, waits: bool = False) -> WrittenLine:
    return WrittenLine(0, np.array(taps), 0.0, np.ones(len(taps)), gap, waits)


class _EveryWay:
    """The same model, written down plainly, with nothing shared between ways."""

    def __init__(self, lines: list[WrittenLine], evidence: Evidence) -> None:
        self.lines, self.evidence = lines, evidence
        self.sec = evidence.sec - evidence.sec[0] + 1.0
        self.miss = float(np.log(evidence.missed))
        self.noise = float(np.log(evidence.noise_per_sec))

    def scored(self) -> list[tuple[float, list[Way]]]:
        return [(self._score(way), way) for way in self._ways()]

    def _ways(self) -> Iterator[list[Way]]:
        taps = sum(len(line.taps_sec) for line in self.lines)
        for count in range(1, min(taps, len(self.sec)) + 1):
            for where in combinations(range(taps), count):
                for chosen in combinations(range(len(self.sec)), count):
                    flat: list[int | None] = [None] * taps
                    for tap, candidate in zip(where, chosen, strict=True):
                        flat[tap] = candidate
                    way, at = [], 0
                    for line in self.lines:
                        way.append(tuple(flat[at : at + len(line.taps_sec)]))
                        at += len(line.taps_sec)
                    yield way

    def _score(self, way: list[Way]) -> float:
        told = [at for at, line in enumerate(way) if any(tap is not None for tap in line)]
        edges = [told[0], len(way) - 1 - told[-1]]
        score = sum(-(model.OMIT_COST / 2 + model.OMIT_NEXT_COST * (n - 1)) for n in edges if n)
        state = self._inside(told[0], way)
        lead = self._first(way[told[0]])
        score += lead * self.miss if lead < model._SKIPS else -np.inf
        for before, after in pairwise(told):
            own = self._inside(after, way)
            crossed = self._crossing(before, after, way)
            state = (state[:, None] + crossed).max(axis=0) + own
        end = self._first(way[told[-1]][::-1])
        score += end * self.miss if end < model._SKIPS else -np.inf
        return float(score + state.max())

    @staticmethod
    def _first(line: Way) -> int:
        return next(at for at, tap in enumerate(line) if tap is not None)

    def _inside(self, at: int, way: list[Way]) -> Numbers:
        taps = [(n, tap) for n, tap in enumerate(way[at]) if tap is not None]
        score = np.zeros(len(TEMPOS)) + float(self.evidence.for_tap[taps[0][1]])
        written = self.lines[at].taps_sec
        for (one, first), (two, second) in pairwise(taps):
            back = two - one
            if back > model._SKIPS:
                return np.full(len(TEMPOS), -np.inf)
            expected = (written[two] - written[one]) * TEMPOS.astype(float)
            sigma = np.hypot(model._JITTER_SEC, model._JITTER_SHARE * expected)
            step = self._within(first, second, expected, sigma)
            if back == 1:
                late = self._later(
                    first, second, expected + 2 * sigma, model._PAUSE_COST, 1 / model._PAUSE_SEC
                )
                step = np.maximum(step, late)
            score = score + step + (back - 1) * self.miss + float(self.evidence.for_tap[second])
        return score

    def _crossing(self, before: int, after: int, way: list[Way]) -> Numbers:
        """By tempo of the line before and tempo of the line after."""
        gone, missing = self._first(way[before][::-1]), self._first(way[after])
        first = way[before][len(way[before]) - 1 - gone]
        second = way[after][missing]
        assert first is not None
        assert second is not None
        steps = np.abs(np.arange(len(TEMPOS))[:, None] - np.arange(len(TEMPOS)))
        change = -np.minimum(model._TEMPO_STEP_COST * steps, model._TEMPO_MOST_COST)
        lost = (gone + missing) * self.miss
        if after > before + 1:
            if gone >= model._SKIPS or missing >= model._SKIPS:
                return np.full(change.shape, -np.inf)
            least = np.full(len(TEMPOS), model.LEAST_GAP_SEC)
            free = self._later(first, second, least, model.WAIT_COST, model.WAIT_PER_SEC)
            left = model.OMIT_COST + model.OMIT_NEXT_COST * (after - before - 2)
            jumped: Numbers = np.zeros(change.shape) + free - left + lost
            return jumped
        if gone + missing >= model._SKIPS:
            return np.full(change.shape, -np.inf)
        line, following = self.lines[before], self.lines[after]
        gap = line.gap_sec + line.taps_sec[-1] - line.taps_sec[len(line.taps_sec) - 1 - gone]
        expected = (gap + following.taps_sec[missing]) * TEMPOS.astype(float)
        if line.waits_after:
            least = np.full(len(TEMPOS), model.LEAST_GAP_SEC)
            found = self._later(first, second, least, model.WAIT_COST, model.WAIT_PER_SEC)
        else:
            sigma = np.hypot(model._LINE_JITTER_SEC, model._LINE_JITTER_SHARE * expected)
            found = self._within(first, second, expected, sigma)
            slope = 1 / model._LATE_SEC
            found = np.maximum(found, self._later(first, second, expected, model._LATE_COST, slope))
            early = np.minimum(model.LEAST_GAP_SEC, expected)
            found = np.maximum(found, self._later(first, second, early, model._EARLY_COST, slope))
        both: Numbers = change + found[None, :] + lost
        return both

    def _within(self, first: int, second: int, expected: Numbers, sigma: Numbers) -> Numbers:
        off = (self.sec[second] - self.sec[first] - expected) / sigma
        gain = -0.5 * off**2 - np.log(sigma * np.sqrt(2 * np.pi)) - self.noise
        return np.where(np.abs(off) < model._WIDE, gain, -np.inf)

    def _later(
        self, first: int, second: int, least: Numbers, cost: float, per_sec: float
    ) -> Numbers:
        grid = model._GRID_SEC
        latest = np.floor((self.sec[second] - least) / grid) * grid
        more = self.sec[second] - self.sec[first] - least
        return np.where(self.sec[first] < latest, -cost - per_sec * more, -np.inf)


def _evidence(seed: int, count: int) -> Evidence:
    rng = np.random.default_rng(seed)
    sec = np.sort(rng.uniform(0, 5, count)) + 0.12 * np.arange(count)
    return Evidence(sec, rng.normal(1, 2, count).astype(np.float32), 1.5, 0.1)


@pytest.mark.parametrize("seed", range(12))
def test_no_way_is_better_than_the_one_found(seed: int) -> None:
    lines = [
        _line([0.0, 0.5], 1.0, waits=seed % 3 == 0),
        _line([0.0, 0.4, 0.8], 0.9),
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


def test_nothing_to_go_by_is_no_alignment() -> None:
    assert aligned([], _evidence(0, 6)) is None
    one = Evidence(np.array([1.0]), np.ones(1, np.float32), 1.0, 0.1)
    assert aligned([_line([0.0, 1.0], 0.0)], one) is None
