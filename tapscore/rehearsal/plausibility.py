"""Whether a recording holds this story at all, rather than another story, music or talk.

By how much does the story as written fit better than the same lines with their gaps in another
order or backwards (a null model: as many taps, as dense)?  How much that counts is learned
(``confidence``).  And how much is there inside the lines that is as much like a tap as the taps
found and that the story does not explain?  Talk and drums are full of such moments.
"""

from collections.abc import Sequence

import numpy as np
from attrs import evolve, frozen
from numpy.typing import NDArray

from tapscore.rehearsal.alignment import Alignment, aligned
from tapscore.rehearsal.bands import Floats
from tapscore.rehearsal.evidence import Evidence
from tapscore.rehearsal.written import WrittenLine

_SHUFFLED = 2
_ENOUGH_TAPS = 100
"""Of so many the answer is clear, and a long story takes no longer."""
_LIKE = 1.3
"""Gaps within this ratio are alike: their order makes no difference."""
_ASIDE_SEC, _AROUND_SEC = 0.1, 1.0
FOLLOWS_SEC = 0.25
"""So soon after a tap another hand that is late, a bounce or an echo may be heard."""


@frozen
class Plausibility:
    """What speaks for this story, and what against it."""

    better: float
    """Log likelihood a tap by which the story fits better than the null model does."""
    unexplained: float
    """Of the moments within lines that are as tap-like as the middle one of the taps found."""


NOT_AT_ALL = Plausibility(0.0, 1.0)


def plausibility(
    lines: Sequence[WrittenLine],
    alignment: Alignment,
    evidence: Evidence,
    every_sec: NDArray[np.float64],
    odds: Floats,
) -> Plausibility:
    """How well the lines account for what is heard.

    ``odds`` are those of every moment by a detector that has learned nothing from this recording:
    one that has holds for taps what was taken for taps.
    """
    found = [at for at, taps in enumerate(alignment.taps) if (taps >= 0).any()]
    if not found:
        return NOT_AT_ALL
    return Plausibility(
        better_than_chance(lines, alignment, evidence, found),
        unexplained(alignment, evidence, every_sec, odds),
    )


def unexplained(
    alignment: Alignment, evidence: Evidence, every_sec: NDArray[np.float64], odds: Floats
) -> float:
    """Share of the most tap-like moments inside the lines that are none of their taps.

    What follows a tap at once is left out of the count.
    """
    inside = np.zeros(len(every_sec), np.bool_)
    matched = np.zeros(len(every_sec), np.bool_)
    follows = np.zeros(len(every_sec), np.bool_)
    for taps in alignment.taps:
        sec = evidence.sec[taps[taps >= 0]]
        if len(sec):
            inside |= (every_sec > sec[0] - _ASIDE_SEC) & (every_sec < sec[-1] + _ASIDE_SEC)
            matched |= np.isin(every_sec, sec)
            since = every_sec - sec[np.maximum(np.searchsorted(sec, every_sec) - 1, 0)]
            follows |= (since > 0) & (since < FOLLOWS_SEC)
    strong = inside & (odds >= np.median(odds[matched])) & (matched | ~follows)
    return float((strong & ~matched).sum() / strong.sum())


def better_than_chance(
    lines: Sequence[WrittenLine], alignment: Alignment, evidence: Evidence, found: Sequence[int]
) -> float:
    """By how much a tap the story fits better than itself with its gaps in another order."""
    last, taps = found[0], 0
    for at in range(found[0], found[-1] + 1):
        last, taps = at, taps + len(lines[at].taps_sec)
        if taps >= _ENOUGH_TAPS and at in found:
            break
    part = list(lines[found[0] : last + 1])
    ends = [alignment.taps[at] for at in (found[0], last)]
    begin, end = (evidence.sec[each[each >= 0]] for each in ends)
    near = (evidence.sec >= begin[0] - _AROUND_SEC) & (evidence.sec <= end[-1] + _AROUND_SEC)
    here = evolve(evidence, sec=evidence.sec[near], for_tap=evidence.for_tap[near], for_step={})
    own = aligned(part, here)
    rng = np.random.default_rng(len(part))
    shuffled = [[_shuffled(line, rng) for line in part] for _ in range(_SHUFFLED)]
    others = [aligned(each, here) for each in (*shuffled, _each_backwards(part), _backwards(part))]
    if own is None:
        return 0.0
    chance = float(np.mean([each.score for each in others if each is not None]))
    return (own.score - chance) / taps


def _shuffled(line: WrittenLine, rng: np.random.Generator) -> WrittenLine:
    """A line as long, of as many taps, with its gaps in another order, or of other gaps."""
    gaps = np.diff(line.taps_sec)
    if len(gaps) < 2:
        return line
    if gaps.max() < _LIKE * gaps.min():
        drawn = gaps * rng.uniform(0.4, 1.6, len(gaps))
        gaps = drawn * line.length_sec / drawn.sum()
    return evolve(line, taps_sec=np.concatenate([[0.0], np.cumsum(rng.permutation(gaps))]))


def _each_backwards(lines: Sequence[WrittenLine]) -> list[WrittenLine]:
    """The lines in their order, each from its last tap to its first."""
    return [evolve(line, taps_sec=line.length_sec - line.taps_sec[::-1]) for line in lines]


def _backwards(lines: Sequence[WrittenLine]) -> list[WrittenLine]:
    """The whole story from its end."""
    turned = _each_backwards(lines)
    before = [(0.0, False), *((line.gap_sec, line.waits_after) for line in lines[:-1])]
    return [
        evolve(line, gap_sec=gap, waits_after=waits)
        for line, (gap, waits) in reversed(list(zip(turned, before, strict=True)))
    ]
