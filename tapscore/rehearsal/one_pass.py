"""One way through the candidates, from the first line to the last: the best score to every state.

A state is (tap, candidate, tempo).  From tap to tap the time may be off a little, a tap may be
missing, somebody may hesitate; from line to line the tempo may change, a line may be left out,
and after a wait any time may have passed.
"""

from collections.abc import Sequence

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.rehearsal.bands import Floats
from tapscore.rehearsal.evidence import Evidence

TEMPOS = np.exp(np.linspace(np.log(0.58), np.log(1.72), 19)).astype(np.float32)
"""Told against written length; neighbours differ by 6 %."""
NEVER = np.float32(-1e9)
_JITTER_SEC = 0.045
"""Of a gap between two taps, each of which scatters by 20 to 35 ms."""
_JITTER_SHARE = 0.035
"""More of it in longer gaps, and what lies between two tempos."""
_WIDE = 3.2
_LEAST_OF_GAP = 0.45
"""A gap is no shorter than so much of the expected one: no touch is two taps of a fast line."""
_MOST_IN_WINDOW = 16
_SKIPS = 3
"""So many taps on end may be missing within a line."""
_TEMPO_STEP_COST = 0.55
_TEMPO_MOST_COST = 4.5
_PAUSE_COST, _PAUSE_SEC = 5.5, 0.6
"""Within a line."""
_DRAWN_OUT, _DRAWN_OUT_SHARE, _DRAWN_OUT_COST = 1.15, 0.08, 1.0
"""The last gap of a line is often drawn out (final lengthening): how far, its scatter and cost."""
_LATE_COST, _LATE_SEC = 3.0, 2.5
"""Between lines."""
_EARLY_COST = 6.0
_LINE_JITTER_SEC, _LINE_JITTER_SHARE = 0.07, 0.08
WAIT_COST, WAIT_PER_SEC = 3.0, 0.03
LEAST_GAP_SEC = 0.2
OMIT_COST, OMIT_NEXT_COST, END_COST = 5.0, 2.5, 6.0
_AGAIN_COST, _AGAIN_SEC, _AGAIN_LEAST_SEC = 5.0, 2.0, 0.3
"""A line begun, or told, and then told from its beginning."""
_GONE_BACK, _GONE_BACK_COST = 2, 1.5
"""So many lines are gone back at most, and what each beyond the first costs more."""
_GRID_SEC = 0.01
_MOST_KEPT = 18


@frozen(eq=False)
class PassLine:
    """A line in the direction of a pass."""

    taps_sec: NDArray[np.float64]
    steps: NDArray[np.float64]
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


class OnePass:
    """One direction: ``before`` [line][tap] is the best score of a way to a state."""

    def __init__(
        self,
        lines: Sequence[PassLine],
        evidence: Evidence,
        *,
        backwards: bool,
        begun_again: bool = True,
    ) -> None:
        self._times = _Times(evidence.sec)
        self._sec = self._times.sec
        self._evidence = evidence
        self._miss = np.float32(np.log(evidence.missed))
        self._noise = float(np.log(max(evidence.noise_per_sec, 0.2)))
        self._backwards = backwards
        self._begun_again = begun_again
        steps = np.abs(np.arange(len(TEMPOS))[:, None] - np.arange(len(TEMPOS)))
        self._change = np.minimum(_TEMPO_STEP_COST * steps, _TEMPO_MOST_COST).astype(np.float32)
        self._columns = np.arange(len(TEMPOS), dtype=np.int32)
        self._kept: dict[tuple[float, float], list[tuple[NDArray[np.int32], Floats]]] = {}
        self._kept_later: dict[tuple[float, float, float], tuple[NDArray[np.int32], Floats]] = {}
        self.before: list[list[Floats]] = []
        self.over: list[Floats] = []
        """[line]: the best score of a way that comes to its first tap over a line left out."""
        self._ends: list[Floats] = []
        """A line's end, and where its last taps are missing; also after a change of tempo."""
        self._retimed_ends: list[Floats] = []
        self._earlier_ends: list[Floats] = []
        self.last: list[Floats] = []
        """[line]: the same at its end, where it may have been told before in a pass backwards."""
        self.skipped: list[Floats] = []
        """[line]: the best score of a way that leaves the line out, by its last candidate."""
        self._run(lines)

    def _run(self, lines: Sequence[PassLine]) -> None:
        count = len(self._sec)
        skipping = np.full(count, NEVER)
        nowhere = np.full((count, len(TEMPOS)), NEVER)
        for at, line in enumerate(lines):
            begun = -(END_COST + OMIT_NEXT_COST * (at - 1)) if at else 0.0
            self.over.append(self._over(lines[at - 2], lines[at - 1]) if at > 1 else nowhere)
            entry: list[Floats] = []
            jumped = self._jump(skipping)
            for missing in range(min(_SKIPS, len(line.taps_sec))):
                found = np.full((count, len(TEMPOS)), begun, np.float32)
                if at:
                    found = np.maximum(found, self._crossed(lines[at - 1], line, missing))
                    found = np.maximum(found, jumped[:, None])
                entry.append(found + missing * self._miss)
            np.maximum(entry[0], self.over[at], out=entry[0])
            ended = skipping - OMIT_NEXT_COST
            for state in self._ends:
                ended = np.maximum(ended, state.max(axis=1) - OMIT_COST)
            if self._begun_again and not self._backwards:
                before = self._begun_before(lines[at : at + _GONE_BACK], entry[0])
                entry[0] = np.maximum(entry[0], before)
            told = self._through(line, entry)
            self.before.append(told)
            twice = self._begun_again and self._backwards
            some = lines[max(at + 1 - _GONE_BACK, 0) : at + 1]
            self._ended(told, self._begun_after(some, told[-1]) if twice else told[-1])
            self.skipped.append(ended)
            skipping = ended
        self._kept.clear()
        self._kept_later.clear()

    def _ended(self, told: Sequence[Floats], last: Floats) -> None:
        """Keep the states from which the next line, or the one after it, is reached."""
        ends = [np.maximum(told[-1], last), *told[-2 : -_SKIPS - 1 : -1]]
        self._ends = [state + np.float32(gone * self._miss) for gone, state in enumerate(ends)]
        self.last.append(self._ends[0])
        self._earlier_ends = self._retimed_ends
        self._retimed_ends = (
            self._ends if self._backwards else [self._retimed(state) for state in self._ends]
        )

    def _begun_before(self, lines: Sequence[PassLine], entry: Floats) -> Floats:
        """To a line's first tap, after some of its taps, or it and lines after it, were told."""
        best = np.full(entry.shape, NEVER)
        state = entry
        for at, line in enumerate(lines):
            if at:
                gone = lines[at - 1]
                state = self._followed(self._retimed(state), gone.gap_sec * TEMPOS, free=gone.free)
                state -= np.float32(_GONE_BACK_COST)
            state = state + self._own(line, 0)
            if at:
                np.maximum(best, state, out=best)
            for tap, gap in enumerate(np.diff(line.taps_sec), start=1):
                state = self._stepped(state, float(gap), pause=True) + self._own(line, tap)
                np.maximum(best, state, out=best)
        return self._again(best)

    def _begun_after(self, lines: Sequence[PassLine], told: Floats) -> Floats:
        """The same backwards: from the last line's first tap to what was told of it before."""
        begun = self._again(told)
        state = np.full(told.shape, NEVER)
        for at, line in enumerate(lines):
            own = at == len(lines) - 1
            if at:
                gone = lines[at - 1]
                state = self._followed(state, gone.gap_sec * TEMPOS, free=gone.free)
                state = self._retimed(state) - np.float32(_GONE_BACK_COST)
            last = len(line.taps_sec) - 1
            if last or not own:
                state = np.maximum(begun, state)
            state = state + self._own(line, 0)
            for tap, gap in enumerate(np.diff(line.taps_sec), start=1):
                state = self._stepped(state, float(gap), pause=True)
                entered = state if own and tap == last else np.maximum(begun, state)
                state = entered + self._own(line, tap)
        return state

    def _own(self, line: PassLine, tap: int) -> Floats:
        return self._evidence.of(float(line.steps[tap]))[:, None]

    def _again(self, state: Floats) -> Floats:
        least = np.full(len(TEMPOS), _AGAIN_LEAST_SEC, np.float32)
        return self._later(state, least, _AGAIN_COST, 1 / _AGAIN_SEC)

    def _jump(self, skipping: Floats) -> Floats:
        """After lines left out: any time may have passed."""
        slope = np.float32(WAIT_PER_SEC)
        sec = self._sec.astype(np.float32)
        best = np.maximum.accumulate(skipping + slope * sec)
        at = self._times.first(self._sec - LEAST_GAP_SEC) - 1
        jumped: Floats = np.where(at >= 0, best[at] - slope * sec - np.float32(WAIT_COST), NEVER)
        return jumped.astype(np.float32)

    def _through(self, line: PassLine, entry: list[Floats]) -> list[Floats]:
        states: list[Floats] = []
        few = len(line.taps_sec) <= 2
        last_gap = 0 if few else 1 if self._backwards else len(line.taps_sec) - 1
        for tap, sec in enumerate(line.taps_sec):
            best = entry[tap] if tap < len(entry) else None
            for back in range(1, min(_SKIPS + 1, tap + 1)):
                gap = float(sec - line.taps_sec[tap - back])
                found = self._stepped(states[tap - back], gap, pause=back == 1)
                if back == 1 and tap == last_gap:
                    np.maximum(found, self._drawn_out(states[tap - 1], gap), out=found)
                found += np.float32((back - 1) * self._miss)
                best = found if best is None else np.maximum(best, found)
            assert best is not None
            states.append(best + self._own(line, tap))
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

    def _drawn_out(self, state: Floats, gap_sec: float) -> Floats:
        """To the last tap of a line of three or more, or backwards from it."""
        expected = gap_sec * TEMPOS * np.float32(_DRAWN_OUT)
        sigma = np.sqrt(_JITTER_SEC**2 + (_DRAWN_OUT_SHARE * expected) ** 2)
        return self._within(state, expected, sigma) - np.float32(_DRAWN_OUT_COST)

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
            self._kept[key] = self._kept.pop(key)
            return self._kept[key]
        target = self._sec.astype(np.float32)[:, None] - expected
        first = self._times.first(target - _WIDE * sigma)
        most = len(self._sec) - 1
        gain = -np.log(sigma * np.float32(np.sqrt(2 * np.pi))) - np.float32(self._noise)
        sec = self._sec.astype(np.float32)
        scale = np.float32(-0.5) / sigma**2
        most_off = np.float32(_LEAST_OF_GAP - 1) * expected
        steps = int((self._times.first(target + _WIDE * sigma) - first).max(initial=0))
        found = []
        for step in range(min(steps, _MOST_IN_WINDOW)):
            at = np.minimum(first + step, most)
            off = target - sec[at]
            same = off < most_off
            off *= off
            off *= scale
            off += gain
            off[same] = NEVER
            found.append(((at * len(TEMPOS) + self._columns).astype(np.int32), off))
        if len(self._kept) >= _MOST_KEPT:
            # the one that was not asked for the longest
            del self._kept[next(iter(self._kept))]
        self._kept[key] = found
        return found

    def _later(self, state: Floats, least: Floats, cost: float, per_sec: float) -> Floats:
        """Best predecessor at least so long ago, at a cost for each second more."""
        at, lost = self._long_ago(least, cost, per_sec)
        sec = self._sec.astype(np.float32)[:, None]
        best = np.maximum.accumulate(state + np.float32(per_sec) * sec, axis=0).ravel()
        later: Floats = best[at]
        later += lost
        return later

    def _long_ago(
        self, least: Floats, cost: float, per_sec: float
    ) -> tuple[NDArray[np.int32], Floats]:
        """The last predecessor so long ago, and what it costs; kept, as gaps come again."""
        key = (float(least[-1]), cost, per_sec)
        if key not in self._kept_later:
            since = self._sec.astype(np.float32)[:, None] - least
            at = self._times.first(since) - 1
            lost = (-np.float32(per_sec) * since - np.float32(cost)).astype(np.float32)
            lost[at < 0] = NEVER
            if len(self._kept_later) >= _MOST_KEPT:
                self._kept_later.clear()
            self._kept_later[key] = (
                (np.maximum(at, 0) * len(TEMPOS) + self._columns).astype(np.int32),
                lost,
            )
        return self._kept_later[key]

    def _crossed(self, previous: PassLine, line: PassLine, missing: int) -> Floats:
        """From a line's end to the next one's first tap, or its second if that is missing."""
        best = np.full((len(self._sec), len(TEMPOS)), NEVER)
        for gone, state in enumerate(self._retimed_ends[: _SKIPS - missing]):
            unheard = previous.taps_sec[-1] - previous.taps_sec[-1 - gone]
            gap = previous.gap_sec + float(unheard + line.taps_sec[missing])
            best = np.maximum(best, self._followed(state, gap * TEMPOS, free=previous.free))
        return self._retimed(best) if self._backwards else best

    def _over(self, before: PassLine, out: PassLine) -> Floats:
        """From a line's end over one that is left out to a first tap, as if that did not exist."""
        gap = (out if self._backwards else before).gap_sec
        free = before.free or out.free
        best = self._followed(self._earlier_ends[0], gap * TEMPOS, free=free) - OMIT_COST
        return self._retimed(best) if self._backwards else best

    def _retimed(self, state: Floats) -> Floats:
        best = np.full(state.shape, NEVER)
        for tempo in range(len(TEMPOS)):
            np.maximum(best, state[:, tempo, None] - self._change[tempo], out=best)
        return best

    def _followed(self, state: Floats, expected: Floats, *, free: bool) -> Floats:
        if free:
            least = np.full(len(TEMPOS), LEAST_GAP_SEC, np.float32)
            return self._later(state, least, WAIT_COST, WAIT_PER_SEC)
        sigma = np.sqrt(_LINE_JITTER_SEC**2 + (_LINE_JITTER_SHARE * expected) ** 2)
        best = self._within(state, expected, sigma)
        best = np.maximum(best, self._later(state, expected, _LATE_COST, 1 / _LATE_SEC))
        early = np.minimum(LEAST_GAP_SEC, expected)
        return np.maximum(best, self._later(state, early, _EARLY_COST, 1 / _LATE_SEC))
