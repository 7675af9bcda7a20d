"""Where each written tap was told: the likeliest way from tap to tap through the candidates.

A state is (tap, candidate, tempo).  From tap to tap the time may be off a little, a tap may be
missing, somebody may hesitate; from line to line the tempo may change, a line may be left out,
and after a wait any time may have passed.  Run forwards and backwards, the best way through
every state is known, and so by how much the best place of a line beats any other.
"""

from collections.abc import Sequence

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.rehearsal.bands import Floats
from tapscore.rehearsal.written import WrittenLine

TEMPOS = np.exp(np.linspace(np.log(0.58), np.log(1.72), 19)).astype(np.float32)
"""Told against written length; neighbours differ by 6 %."""
NEVER = np.float32(-1e9)
_JITTER_SEC = 0.045
"""Of a gap between two taps, each of which scatters by 20 to 35 ms."""
_JITTER_SHARE = 0.035
"""More of it in longer gaps, and what lies between two tempos."""
_WIDE = 3.2
_MOST_IN_WINDOW = 16
_SKIPS = 3
"""So many taps on end may be missing within a line."""
_TEMPO_STEP_COST = 0.55
_TEMPO_MOST_COST = 4.5
_PAUSE_COST, _PAUSE_SEC = 5.5, 0.6
"""Within a line."""
_LATE_COST, _LATE_SEC = 3.0, 2.5
"""Between lines."""
_EARLY_COST = 6.0
_LINE_JITTER_SEC, _LINE_JITTER_SHARE = 0.07, 0.08
_WAIT_COST, _WAIT_PER_SEC = 3.0, 0.03
_LEAST_GAP_SEC = 0.2
_OMIT_COST, _OMIT_NEXT_COST = 8.0, 2.5
_GRID_SEC = 0.01
_MOST_KEPT = 24
_ALIKE = 0.02
"""Scores nearer than this are one way, but for rounding."""
_ELSEWHERE_SEC = 0.15
"""A tap farther than this from its best place is another tap."""


@frozen(eq=False)
class Evidence:
    """Candidates as the alignment sees them."""

    sec: NDArray[np.float64]
    for_tap: Floats
    """Log likelihood of being a tap against being something else."""
    noise_per_sec: float
    """How many candidates a second are something else."""
    missed: float
    """How often a tap has no candidate."""


@frozen(eq=False)
class Alignment:
    """The best way, and how much better it is than others."""

    taps: tuple[NDArray[np.intp], ...]
    """For each line the candidate of each tap, -1 where there is none; empty if left out."""
    tempo: tuple[int, ...]
    """For each line an index into ``TEMPOS``; -1 if left out."""
    margin: tuple[float, ...]
    """For each line: by how much its place beats the best one elsewhere, or leaving it out."""
    score: float


@frozen(eq=False)
class _Line:
    taps_sec: NDArray[np.float64]
    gap_sec: float
    """To the next line in the direction of the pass."""
    free: bool


class _Times:
    """The candidates' times, and which is the first at or after a time."""

    def __init__(self, sec: NDArray[np.float64]) -> None:
        self.sec = sec - sec[0] + 1.0
        grid = np.arange(0, self.sec[-1] + 2, _GRID_SEC)
        self._first = np.searchsorted(self.sec, grid).astype(np.int32)

    def first(self, at: NDArray[np.float64] | Floats) -> NDArray[np.int32]:
        rows = np.clip(at / _GRID_SEC, 0, len(self._first) - 1).astype(np.int32)
        found: NDArray[np.int32] = self._first[rows]
        return found


class _Pass:
    """One direction: ``before`` [line][tap] is the best score of a way to a state."""

    def __init__(self, lines: Sequence[_Line], evidence: Evidence, *, backwards: bool) -> None:
        self._times = _Times(evidence.sec)
        self._sec = self._times.sec
        self._for_tap = evidence.for_tap.astype(np.float32)[:, None]
        self._miss = np.float32(np.log(evidence.missed))
        self._noise = float(np.log(max(evidence.noise_per_sec, 0.2)))
        self._backwards = backwards
        steps = np.abs(np.arange(len(TEMPOS))[:, None] - np.arange(len(TEMPOS)))
        self._change = np.minimum(_TEMPO_STEP_COST * steps, _TEMPO_MOST_COST).astype(np.float32)
        self._columns = np.arange(len(TEMPOS), dtype=np.int32)
        self._kept: dict[tuple[float, float], list[tuple[NDArray[np.int32], Floats]]] = {}
        self.before: list[list[Floats]] = []
        self.skipped: list[Floats] = []
        """[line]: the best score of a way that leaves the line out, by its last candidate."""
        self._run(lines)

    def _run(self, lines: Sequence[_Line]) -> None:
        count = len(self._sec)
        skipping = np.full(count, NEVER)
        previous: _Line | None = None
        for at, line in enumerate(lines):
            begun = -(_OMIT_COST / 2 + _OMIT_NEXT_COST * (at - 1)) if at else 0.0
            entry: list[Floats] = []
            jumped = self._jump(skipping)
            for missing in range(min(_SKIPS, len(line.taps_sec))):
                found = np.full((count, len(TEMPOS)), begun, np.float32)
                if previous is not None:
                    found = np.maximum(found, self._crossed(previous, line, missing))
                    found = np.maximum(found, jumped[:, None])
                entry.append(found + missing * self._miss)
            self.before.append(self._through(line, entry))
            ended = skipping - _OMIT_NEXT_COST
            if previous is not None:
                last = self._ends(self.before[-2], previous)
                ended = np.maximum(ended, last - _OMIT_COST)
            self.skipped.append(ended)
            skipping = ended
            previous = line
        self._kept.clear()

    def _ends(self, before: Sequence[Floats], line: _Line) -> Floats:
        """The best score of a way that has just told a line, by its last candidate."""
        found = np.full(len(self._sec), NEVER)
        for missing in range(min(_SKIPS, len(line.taps_sec))):
            state = before[len(line.taps_sec) - 1 - missing]
            found = np.maximum(found, state.max(axis=1) + missing * self._miss)
        return found

    def _jump(self, skipping: Floats) -> Floats:
        """After lines left out: any time may have passed."""
        slope = np.float32(_WAIT_PER_SEC)
        sec = self._sec.astype(np.float32)
        best = np.maximum.accumulate(skipping + slope * sec)
        at = self._times.first(self._sec - _LEAST_GAP_SEC) - 1
        jumped: Floats = np.where(at >= 0, best[at] - slope * sec - np.float32(_WAIT_COST), NEVER)
        return jumped.astype(np.float32)

    def _through(self, line: _Line, entry: list[Floats]) -> list[Floats]:
        states: list[Floats] = []
        for tap, sec in enumerate(line.taps_sec):
            best = entry[tap] if tap < len(entry) else None
            for back in range(1, min(_SKIPS + 1, tap + 1)):
                gap = float(sec - line.taps_sec[tap - back])
                found = self._stepped(states[tap - back], gap, pause=back == 1)
                found += np.float32((back - 1) * self._miss)
                best = found if best is None else np.maximum(best, found)
            assert best is not None
            states.append(best + self._for_tap)
        return states

    def _stepped(self, state: Floats, gap_sec: float, *, pause: bool) -> Floats:
        """From one tap of a line to another, at one tempo."""
        expected = gap_sec * TEMPOS
        sigma = np.sqrt(_JITTER_SEC**2 + (_JITTER_SHARE * expected) ** 2)
        best = self._within(state, expected, sigma)
        if pause:
            late = self._later(state, expected + 2 * sigma, _PAUSE_COST, 1 / _PAUSE_SEC)
            np.maximum(best, late, out=best)
        return best

    def _within(self, state: Floats, expected: Floats, sigma: Floats) -> Floats:
        """Best predecessor near the expected time; sharpness of time against chance counts."""
        flat = state.ravel()
        best = np.full(state.shape, NEVER)
        for before, score in self._near(expected, sigma):
            found = flat[before]
            found += score
            np.maximum(best, found, out=best)
        return best

    def _near(self, expected: Floats, sigma: Floats) -> list[tuple[NDArray[np.int32], Floats]]:
        """Every predecessor near the expected time: where it is in a state, and its score.

        The same gap comes again and again in a story, so this is kept.
        """
        key = (round(float(expected[-1]), 3), round(float(sigma[-1]), 4))
        if key in self._kept:
            return self._kept[key]
        target = self._sec.astype(np.float32)[:, None] - expected
        first = self._times.first(target - _WIDE * sigma)
        most = len(self._sec) - 1
        gain = -np.log(sigma * np.float32(np.sqrt(2 * np.pi))) - np.float32(self._noise)
        sec = self._sec.astype(np.float32)
        scale = np.float32(-0.5) / sigma**2
        steps = int((self._times.first(target + _WIDE * sigma) - first).max(initial=0))
        found = []
        for step in range(min(steps, _MOST_IN_WINDOW)):
            at = np.minimum(first + step, most)
            off = target - sec[at]
            off *= off
            off *= scale
            off += gain
            found.append(((at * len(TEMPOS) + self._columns).astype(np.int32), off))
        if len(self._kept) >= _MOST_KEPT:
            self._kept.clear()
        self._kept[key] = found
        return found

    def _later(self, state: Floats, least: Floats, cost: float, per_sec: float) -> Floats:
        """Best predecessor at least so long ago, at a cost for each second more."""
        slope = np.float32(per_sec)
        sec = self._sec.astype(np.float32)[:, None]
        best = np.maximum.accumulate(state + slope * sec, axis=0).ravel()
        at = self._times.first(sec - least) - 1
        found = best[np.maximum(at, 0) * len(TEMPOS) + self._columns]
        found -= slope * (sec - least)
        found -= np.float32(cost)
        found[at < 0] = NEVER
        later: Floats = found
        return later

    def _crossed(self, previous: _Line, line: _Line, missing: int) -> Floats:
        """From a line's end to the next one's first tap, or its second if that is missing."""
        before = self.before[-1]
        best = np.full((len(self._sec), len(TEMPOS)), NEVER)
        count = len(previous.taps_sec)
        for gone in range(min(_SKIPS - missing, count)):
            state = before[count - 1 - gone] + np.float32(gone * self._miss)
            if not self._backwards:
                state = self._retimed(state)
            gap = previous.gap_sec + float(
                previous.taps_sec[-1] - previous.taps_sec[count - 1 - gone] + line.taps_sec[missing]
            )
            found = self._followed(state, gap * TEMPOS, free=previous.free)
            if self._backwards:
                found = self._retimed(found)
            best = np.maximum(best, found)
        return best

    def _retimed(self, state: Floats) -> Floats:
        best = np.full(state.shape, NEVER)
        for tempo in range(len(TEMPOS)):
            np.maximum(best, state[:, tempo, None] - self._change[tempo], out=best)
        return best

    def _followed(self, state: Floats, expected: Floats, *, free: bool) -> Floats:
        if free:
            least = np.full(len(TEMPOS), _LEAST_GAP_SEC, np.float32)
            return self._later(state, least, _WAIT_COST, _WAIT_PER_SEC)
        sigma = np.sqrt(_LINE_JITTER_SEC**2 + (_LINE_JITTER_SHARE * expected) ** 2)
        best = self._within(state, expected, sigma)
        best = np.maximum(best, self._later(state, expected, _LATE_COST, 1 / _LATE_SEC))
        early = np.minimum(_LEAST_GAP_SEC, expected)
        return np.maximum(best, self._later(state, early, _EARLY_COST, 1 / _LATE_SEC))


def aligned(lines: Sequence[WrittenLine], evidence: Evidence) -> Alignment | None:
    """The best way of telling the lines that the candidates allow; None if there are none."""
    if not lines or len(evidence.sec) < 2:
        return None
    forwards = _Pass(
        [_Line(line.taps_sec, line.gap_sec, line.waits_after) for line in lines],
        evidence,
        backwards=False,
    )
    turned = Evidence(
        -evidence.sec[::-1], evidence.for_tap[::-1], evidence.noise_per_sec, evidence.missed
    )
    gaps = [(line.gap_sec, line.waits_after) for line in lines]
    backwards = _Pass(
        [
            _Line(line.length_sec - line.taps_sec[::-1], *(gaps[at - 1] if at else (0.0, True)))
            for at, line in reversed(list(enumerate(lines)))
        ],
        turned,
        backwards=True,
    )
    return _Joined(lines, evidence, forwards, backwards).alignment()


class _Joined:
    """Both passes together: the best way through every state."""

    def __init__(
        self,
        lines: Sequence[WrittenLine],
        evidence: Evidence,
        forwards: _Pass,
        backwards: _Pass,
    ) -> None:
        self._lines = lines
        self._evidence = evidence
        self._forwards = forwards
        self._backwards = backwards
        self._best = -np.inf
        self._own = evidence.for_tap.astype(np.float32)[:, None]

    def alignment(self) -> Alignment:
        through = [self._through(at) for at in range(len(self._lines))]
        self._best = max(float(tap.max()) for line in through for tap, _ in line)
        found = [self._line(at, line) for at, line in enumerate(through)]
        return Alignment(
            tuple(taps for taps, _, _ in found),
            tuple(tempo for _, tempo, _ in found),
            tuple(margin for _, _, margin in found),
            self._best,
        )

    def _through(self, at: int) -> list[tuple[Floats, NDArray[np.intp]]]:
        """For each tap: the best score through every candidate, and the tempo of that."""
        ahead = self._forwards.before[at]
        back = self._backwards.before[len(self._lines) - 1 - at]
        found = []
        for tap, state in enumerate(ahead):
            whole = state + back[len(ahead) - 1 - tap][::-1] - self._own
            tempo = whole.argmax(axis=1)
            found.append((np.take_along_axis(whole, tempo[:, None], 1)[:, 0], tempo))
        return found

    def _line(
        self, at: int, through: list[tuple[Floats, NDArray[np.intp]]]
    ) -> tuple[NDArray[np.intp], int, float]:
        near = max(float(t.max()) for t, _ in through) - _ALIKE
        out = self._left_out(at)
        if near < out:
            return np.zeros(0, np.intp), -1, out - near
        taps = np.array([int(t.argmax()) if t.max() >= near else -1 for t, _ in through])
        matched = np.flatnonzero(taps >= 0)
        sec = self._evidence.sec
        elsewhere = np.inf
        for tap in matched:
            apart = np.abs(sec - sec[taps[tap]]) > _ELSEWHERE_SEC
            elsewhere = min(elsewhere, float(through[tap][0][apart].max(initial=NEVER)))
        tempos = [int(through[tap][1][taps[tap]]) for tap in matched]
        margin = near + _ALIKE - max(elsewhere, out)
        return taps, max(set(tempos), key=tempos.count), margin

    def _left_out(self, at: int) -> float:
        """The best score of a way that leaves a line out."""
        count = len(self._lines)
        ahead = self._forwards.skipped[at]
        back = self._backwards.skipped[count - 1 - at][::-1]
        sec = self._evidence.sec
        best = np.maximum.accumulate(ahead + _WAIT_PER_SEC * sec)
        first = np.searchsorted(sec, sec - _LEAST_GAP_SEC) - 1
        joined = np.where(
            first >= 0, best[first] - _WAIT_PER_SEC * sec - _WAIT_COST + back + _OMIT_COST, NEVER
        )
        whole = float(joined.max())
        if at + 1 < count:
            only = float(back.max()) + _OMIT_COST / 2 - _OMIT_NEXT_COST * at
            whole = max(whole, only)
        if at:
            only = float(ahead.max()) + _OMIT_COST / 2 - _OMIT_NEXT_COST * (count - 1 - at)
            whole = max(whole, only)
        return whole
