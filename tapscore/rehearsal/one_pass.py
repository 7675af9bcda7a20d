"""One way through the candidates, from the first line to the last: the best score to every state.

A state is (tap, candidate, tempo).  From tap to tap the time may be off a little, a tap may be
missing, somebody may hesitate; from line to line the tempo may change, a line may be left out,
and after a wait any time may have passed.
"""

from collections.abc import Iterator, Sequence

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.rehearsal.bands import Floats
from tapscore.rehearsal.evidence import Evidence
from tapscore.rehearsal.way_before import NEVER, TEMPOS, Before, retimed

_JITTER_SEC = 0.045
"""Of a gap between two taps, each of which scatters by 20 to 35 ms."""
_JITTER_SHARE = 0.035
"""More of it in longer gaps, and what lies between two tempos."""
_SKIPS = 3
"""So many taps on end may be missing within a line."""
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


@frozen(eq=False)
class PassLine:
    """A line in the direction of a pass."""

    taps_sec: NDArray[np.float64]
    steps: NDArray[np.float64]
    gap_sec: float
    """To the next line in the direction of the pass."""
    free: bool


class OnePass:
    """One direction, line by line: ``told`` goes through the lines, once."""

    def __init__(
        self,
        lines: Sequence[PassLine],
        evidence: Evidence,
        *,
        backwards: bool,
        begun_again: bool = True,
    ) -> None:
        self._way = Before(evidence.sec, evidence.noise_per_sec)
        self._sec = self._way.sec
        self._evidence = evidence
        self._miss = np.float32(np.log(evidence.missed))
        self._backwards = backwards
        self._begun_again = begun_again
        self._lines = lines
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

    def told(self) -> Iterator[list[Floats]]:
        """For each line and tap the best score of a way to a state, shape ``(moments, TEMPOS)``.

        Given one line after the other, as those of a long story take more room than all the rest.
        """
        lines = self._lines
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
            twice = self._begun_again and self._backwards
            some = lines[max(at + 1 - _GONE_BACK, 0) : at + 1]
            self._ended(told, self._begun_after(some, told[-1]) if twice else told[-1])
            self.skipped.append(ended)
            skipping = ended
            yield told
        self._way.forget()

    def _ended(self, told: Sequence[Floats], last: Floats) -> None:
        """Keep the states from which the next line, or the one after it, is reached."""
        ends = [np.maximum(told[-1], last), *told[-2 : -_SKIPS - 1 : -1]]
        self._ends = [state + np.float32(gone * self._miss) for gone, state in enumerate(ends)]
        self.last.append(self._ends[0])
        self._earlier_ends = self._retimed_ends
        self._retimed_ends = (
            self._ends if self._backwards else [retimed(state) for state in self._ends]
        )

    def _begun_before(self, lines: Sequence[PassLine], entry: Floats) -> Floats:
        """To a line's first tap, after some of its taps, or it and lines after it, were told."""
        best = np.full(entry.shape, NEVER)
        state = entry
        for at, line in enumerate(lines):
            if at:
                gone = lines[at - 1]
                state = self._followed(retimed(state), gone.gap_sec * TEMPOS, free=gone.free)
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
                state = retimed(state) - np.float32(_GONE_BACK_COST)
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
        return self._way.later(state, least, _AGAIN_COST, 1 / _AGAIN_SEC)

    def _jump(self, skipping: Floats) -> Floats:
        """After lines left out: any time may have passed."""
        slope = np.float32(WAIT_PER_SEC)
        sec = self._sec.astype(np.float32)
        best = np.maximum.accumulate(skipping + slope * sec)
        at = self._way.first(self._sec - LEAST_GAP_SEC) - 1
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
        best = self._way.within(state, expected, sigma)
        if pause:
            late = self._way.later(state, expected + 2 * sigma, _PAUSE_COST, 1 / _PAUSE_SEC)
            np.maximum(best, late, out=best)
        return best

    def _drawn_out(self, state: Floats, gap_sec: float) -> Floats:
        """To the last tap of a line of three or more, or backwards from it."""
        expected = gap_sec * TEMPOS * np.float32(_DRAWN_OUT)
        sigma = np.sqrt(_JITTER_SEC**2 + (_DRAWN_OUT_SHARE * expected) ** 2)
        return self._way.within(state, expected, sigma) - np.float32(_DRAWN_OUT_COST)

    def _crossed(self, previous: PassLine, line: PassLine, missing: int) -> Floats:
        """From a line's end to the next one's first tap, or its second if that is missing."""
        best = np.full((len(self._sec), len(TEMPOS)), NEVER)
        for gone, state in enumerate(self._retimed_ends[: _SKIPS - missing]):
            unheard = previous.taps_sec[-1] - previous.taps_sec[-1 - gone]
            gap = previous.gap_sec + float(unheard + line.taps_sec[missing])
            best = np.maximum(best, self._followed(state, gap * TEMPOS, free=previous.free))
        return retimed(best) if self._backwards else best

    def _over(self, before: PassLine, out: PassLine) -> Floats:
        """From a line's end over one that is left out to a first tap, as if that did not exist."""
        gap = (out if self._backwards else before).gap_sec
        free = before.free or out.free
        best = self._followed(self._earlier_ends[0], gap * TEMPOS, free=free) - OMIT_COST
        return retimed(best) if self._backwards else best

    def _followed(self, state: Floats, expected: Floats, *, free: bool) -> Floats:
        if free:
            least = np.full(len(TEMPOS), LEAST_GAP_SEC, np.float32)
            return self._way.later(state, least, WAIT_COST, WAIT_PER_SEC)
        sigma = np.sqrt(_LINE_JITTER_SEC**2 + (_LINE_JITTER_SHARE * expected) ** 2)
        best = self._way.within(state, expected, sigma)
        so_far = self._way.so_far(state, 1 / _LATE_SEC)
        early = np.minimum(LEAST_GAP_SEC, expected)
        for least, cost in ((expected, _LATE_COST), (early, _EARLY_COST)):
            np.maximum(best, self._way.ago(so_far, least, cost, 1 / _LATE_SEC), out=best)
        return best
