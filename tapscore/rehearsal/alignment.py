"""Where each written tap was told: the likeliest way from tap to tap through the candidates.

Run forwards and backwards (``one_pass``), the best way through every state is known, and so by
how much the best place of a line beats any other.
"""

from collections.abc import Sequence

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from tapscore.rehearsal.bands import Floats
from tapscore.rehearsal.evidence import Evidence
from tapscore.rehearsal.one_pass import (
    END_COST,
    LEAST_GAP_SEC,
    OMIT_COST,
    OMIT_NEXT_COST,
    WAIT_COST,
    WAIT_PER_SEC,
    OnePass,
    PassLine,
)
from tapscore.rehearsal.way_before import NEVER
from tapscore.rehearsal.written import WrittenLine

_ALIKE = 0.02
"""Scores nearer than this are one way, but for rounding."""
_ELSEWHERE_SEC = 0.15
"""A tap farther than this from its best place is another tap."""
_LEAST_BEHIND_SEC, _MOST_BEHIND_SEC, _BEHIND_ALIKE_SEC = 0.07, 0.27, 0.03
_LIKE_A_TAP, _FEWEST_BEHIND, _SHARE_BEHIND = 1.0, 3, 0.5
"""How far one adult may be behind the others, how alike that is from tap to tap, and of how many
taps it must be so (chosen on simulated rehearsals: 11 lines mended of 1,550, none spoilt)."""


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


def aligned(
    lines: Sequence[WrittenLine], evidence: Evidence, *, begun_again: bool = True
) -> Alignment | None:
    """The best way of telling the lines that the candidates allow; None if there are none.

    ``begun_again``: lines may be begun, or told, more than once.
    """
    if not lines or len(evidence.sec) < 2:
        return None
    forwards = OnePass(
        [PassLine(line.taps_sec, line.steps, line.gap_sec, line.waits_after) for line in lines],
        evidence,
        backwards=False,
        begun_again=begun_again,
    )
    gaps = [(line.gap_sec, line.waits_after) for line in lines]
    backwards = OnePass(
        [
            PassLine(
                line.length_sec - line.taps_sec[::-1],
                line.steps[::-1],
                *(gaps[at - 1] if at else (0.0, True)),
            )
            for at, line in reversed(list(enumerate(lines)))
        ],
        evidence.turned(),
        backwards=True,
        begun_again=begun_again,
    )
    return _Joined(lines, evidence, forwards, backwards).alignment()


def on_first_hands(alignment: Alignment, evidence: Evidence) -> Alignment:
    """A line found on the taps of somebody who is always as late is where the first hands are.

    What is as far before most of its taps, and no line holds, are those; a tap without is missing.
    """
    free = np.ones(len(evidence.sec), np.bool_)
    for taps in alignment.taps:
        free[taps[taps >= 0]] = False
    moved, last = [], -1
    for taps in alignment.taps:
        first = _first_hands(taps, np.flatnonzero(free), evidence)
        behind = (first >= 0).any() and first[first >= 0][0] > last
        moved.append(first if behind else taps)
        last = max(last, moved[-1].max(initial=-1))
    return evolve(alignment, taps=tuple(moved))


def _first_hands(
    taps: NDArray[np.intp], free: NDArray[np.intp], evidence: Evidence
) -> NDArray[np.intp]:
    """For each tap which of the free moments is as far before it as before most; -1 for none."""
    first = np.full(len(taps), -1, np.intp)
    (heard,) = np.nonzero(taps >= 0)
    behind = evidence.sec[taps[heard]][:, None] - evidence.sec[free]
    near = (behind > _LEAST_BEHIND_SEC) & (behind < _MOST_BEHIND_SEC)
    likely = near & (evidence.for_tap[free] > _LIKE_A_TAP)
    if likely.any():
        alike = [np.abs(behind - usual) < _BEHIND_ALIKE_SEC for usual in behind[likely]]
        counts = [int((likely & each).any(axis=1).sum()) for each in alike]
        if max(counts) >= max(_FEWEST_BEHIND, _SHARE_BEHIND * len(heard)):
            best = near & alike[int(np.argmax(counts))]
            hits = best.any(axis=1)
            first[heard[hits]] = free[best.argmax(axis=1)[hits]]
    return first


class _Joined:
    """Both passes together: the best way through every state."""

    def __init__(
        self,
        lines: Sequence[WrittenLine],
        evidence: Evidence,
        forwards: OnePass,
        backwards: OnePass,
    ) -> None:
        self._lines = lines
        self._evidence = evidence
        self._forwards = forwards
        self._backwards = backwards
        self._best = -np.inf

    def alignment(self) -> Alignment:
        back = list(self._backwards.told())
        through = [
            self._through(at, ahead, back.pop()) for at, ahead in enumerate(self._forwards.told())
        ]
        self._best = max(float(tap.max()) for line in through for tap, _ in line)
        found, used = [], -1
        for at, line in enumerate(through):
            found.append(self._line(at, line, used))
            used = max([used, *found[-1][0]])
        return Alignment(
            tuple(taps for taps, _, _ in found),
            tuple(tempo for _, tempo, _ in found),
            tuple(margin for _, _, margin in found),
            self._best,
        )

    def _through(
        self, at: int, ahead: list[Floats], back: list[Floats]
    ) -> list[tuple[Floats, NDArray[np.intp]]]:
        """For each tap: the best score through every candidate, and the tempo of that."""
        found = []
        for tap, state in enumerate(ahead):
            own = self._evidence.of(self._lines[at].steps[tap])[:, None]
            whole = state + back[len(ahead) - 1 - tap][::-1] - own
            tempo = whole.argmax(axis=1)
            found.append((np.take_along_axis(whole, tempo[:, None], 1)[:, 0], tempo))
        return found

    def _line(
        self, at: int, through: list[tuple[Floats, NDArray[np.intp]]], used: int
    ) -> tuple[NDArray[np.intp], int, float]:
        """A line's taps, tempo and margin; ``used`` is the last moment that a line before holds."""
        near = max(float(t.max()) for t, _ in through) - _ALIKE
        out = self._left_out(at)
        taps = _in_order([tap for tap, _ in through], near)
        matched = np.flatnonzero(taps >= 0)
        # of two lines alike, either of which may be the one left out, the first is told
        taken = near - _ALIKE < out and any(taps[matched[:1]] <= used)
        if near + 2 * _ALIKE < out or taken or not len(matched):
            return np.zeros(0, np.intp), -1, max(out - near, 0.0)
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
        best = np.maximum.accumulate(ahead + WAIT_PER_SEC * sec)
        first = np.searchsorted(sec, sec - LEAST_GAP_SEC) - 1
        joined = np.where(
            first >= 0, best[first] - WAIT_PER_SEC * sec - WAIT_COST + back + OMIT_COST, NEVER
        )
        whole = float(joined.max())
        if 0 < at < count - 1:
            after = self._backwards.last[count - 2 - at][::-1]
            whole = max(whole, float((self._forwards.over[at + 1] + after).max()))
        if at + 1 < count:
            only = float(back.max()) + OMIT_COST - END_COST - OMIT_NEXT_COST * at
            whole = max(whole, only)
        if at:
            only = float(ahead.max()) + OMIT_COST - END_COST - OMIT_NEXT_COST * (count - 1 - at)
            whole = max(whole, only)
        return whole


def _in_order(through: Sequence[Floats], near: float) -> NDArray[np.intp]:
    """Each tap's candidate; of ways that are as good, none is mixed so that two taps share one."""
    taps = np.full(len(through), -1, np.intp)
    free = 0
    for tap, score in enumerate(through):
        if score[free:].max(initial=NEVER) >= near:
            taps[tap] = free + int(score[free:].argmax())
            free = int(taps[tap]) + 1
    return taps
