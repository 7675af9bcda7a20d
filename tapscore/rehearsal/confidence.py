"""How likely a line's place is right, calibrated on simulated rehearsals.

Two logistics, of which the second goes on from the first: by how much the whole alignment speaks
for this story, and whether a line's place is right, from that and from what the line has for
itself.  They add up: a product would doubt what stands clearly for a few lines that went astray.
The weights come from ``tests/training/tap_weights``.
"""

import json
from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

import numpy as np
from attrs import evolve
from numpy.typing import NDArray

from tapscore.rehearsal.alignment import Alignment
from tapscore.rehearsal.evidence import Evidence
from tapscore.rehearsal.plausibility import FOLLOWS_SEC, Plausibility
from tapscore.rehearsal.told import ToldLine
from tapscore.rehearsal.written import WrittenLine
from tapscore.resources import resource_path

WEIGHTS_FILE = "rehearsal/confidence.json"
Numbers = NDArray[np.float64]
_HARDLY_BETTER, _CLEARLY_BETTER, _MOST_UNEXPLAINED, _DOUBTED = 0.5, 0.6, 0.2, 0.5
"""A story that fits better than chance by less than the first, or by less than the second where it
leaves so much unexplained, is doubted: how sure it is then at most.  Of 86 recordings of drums,
talk and other stories one fitted by .75, the next by .48; of 130 tellings two that had sure lines
fitted by less than .5."""
_UNEXPLAINED_AT_ALL = 0.35
"""A story that leaves so much unexplained is doubted however well it fits: talk in the story's
own rhythm does.  Of 299 tellings none that had a sure line left more than .27."""
_MOST_BETTER = 0.8
"""Better than chance by so much is enough: even drums fit even lines by more."""
_ONE_PACE, _EVEN, _ASTRAY, _HELD_ALONE = 0.25, 1.25, 0.4, 8.0
"""Lines tapped evenly at one pace, one after the other, may all be one tap astray where one of
their taps is missing and another stands outside: those with no wider margin are doubted.  Of 18
such lines that were called sure 6 were wrong, of 131 in such a row without it none."""
_MOST_OF_WHOLE = 5.0
"""Log odds of the whole, either way: no story is so plain that a line need not speak for itself."""


def confidences(
    placed: Sequence[ToldLine],
    lines: Sequence[WrittenLine],
    alignment: Alignment,
    evidence: Evidence,
    plausibility: Plausibility,
) -> list[ToldLine]:
    """The lines with their confidence."""
    of_whole, of_line = _weights()
    odds = float(whole_inputs(placed, lines, alignment, plausibility) @ of_whole)
    own = line_inputs(placed, lines, alignment, evidence)
    each = _sure(with_whole(own, odds) @ of_line)
    much = plausibility.unexplained > _MOST_UNEXPLAINED
    hardly = plausibility.better < (_CLEARLY_BETTER if much else _HARDLY_BETTER)
    if hardly or plausibility.unexplained > _UNEXPLAINED_AT_ALL:
        each = np.minimum(each, _DOUBTED)
    for row in _even_rows(lines):
        if _may_be_astray([placed[at] for at in row], own[row]):
            narrow = [at for at in row if placed[at].margin <= _HELD_ALONE]
            each[narrow] = np.minimum(each[narrow], _DOUBTED)
    return [
        evolve(line, confidence=float(sure) if line.found else 0.0)
        for line, sure in zip(placed, each, strict=True)
    ]


def _even_rows(lines: Sequence[WrittenLine]) -> list[list[int]]:
    """Rows of two or more lines that go on, with no wait between, in the even taps they have."""
    rows: list[list[int]] = [[0]]
    for at, (one, two) in enumerate(pairwise(lines), start=1):
        gaps = np.concatenate([np.diff(one.taps_sec), np.diff(two.taps_sec)])
        goes_on = (
            not one.waits_after
            and all(_is_even(line) for line in (one, two))
            and abs(float(np.log(one.gap_sec / np.median(gaps)))) < _ONE_PACE
        )
        if goes_on:
            rows[-1].append(at)
        else:
            rows.append([at])
    return [row for row in rows if len(row) > 1]


def _is_even(line: WrittenLine) -> bool:
    gaps = np.diff(line.taps_sec)
    return len(gaps) > 1 and float(gaps.max()) < _EVEN * float(gaps.min())


def _may_be_astray(row: Sequence[ToldLine], inputs: Numbers) -> bool:
    """Whether one of a row's taps is missing, and one at an edge missing or one left over."""
    if not all(line.found for line in row):
        return True
    missing = any(not line.heard.all() for line in row)
    return missing and bool((inputs[:, _EDGES] >= _ASTRAY).any())


def with_whole(of_lines: Numbers, whole_odds: float) -> Numbers:
    """What each line has for itself, and the log odds of the whole, within limits, as one more."""
    within = float(np.clip(whole_odds, -_MOST_OF_WHOLE, _MOST_OF_WHOLE)) / 3
    found: Numbers = np.column_stack([of_lines, np.full(len(of_lines), within)])
    return found


@lru_cache(maxsize=1)
def _weights() -> tuple[Numbers, Numbers]:
    data = json.loads(resource_path(WEIGHTS_FILE).read_text(encoding="utf-8"))
    return np.array(data["whole"]), np.array(data["line"])


def _sure(odds: Numbers) -> Numbers:
    sure: Numbers = 1 / (1 + np.exp(-np.clip(odds, -30, 30)))
    return sure


def whole_inputs(
    placed: Sequence[ToldLine],
    lines: Sequence[WrittenLine],
    alignment: Alignment,
    plausibility: Plausibility,
) -> Numbers:
    """What tells a recording of this story from another: a one, then

    of the lines from the first found to the last (half a rehearsal is one, too): share of
    their taps that were heard; share of them that were found; score a tap; the upper quarter of
    the margins; how unevenly they keep their tempo; how far taps lie off it; how much better than
    chance the story fits; how well the times between lines agree with what is written; how much
    the story leaves unexplained.  No level and no absolute likeness to a tap is among them: those
    differ from board to board.
    """
    at = [n for n, line in enumerate(placed) if line.found]
    span = range(at[0], at[-1] + 1) if at else range(len(lines))
    taps = sum(len(lines[n].taps_sec) for n in span)
    heard = sum(int(placed[n].heard.sum()) for n in at)
    margins = [max(placed[n].margin, 0.0) if placed[n].found else 0.0 for n in span]
    ratios = np.log([placed[n].ratio for n in at]) if at else np.zeros(1)
    off = [_off_sec(placed[n], lines[n]) for n in span]
    agree = neighbours_agree(placed, lines)[:, 1]
    agree = agree[agree != 0]
    return np.array(
        [
            1.0,
            heard / taps,
            len(at) / len(span),
            float(np.clip(alignment.score / taps, -2, 6)) / 3,
            min(float(np.percentile(margins, 75)), 25.0) / 10,
            min(1.4826 * float(np.median(np.abs(ratios - np.median(ratios)))), 0.5) * 5,
            float(np.median(off)) * 20,
            float(np.clip(plausibility.better, -0.5, _MOST_BETTER)) * 2,
            float(agree.mean()) if len(agree) else 0.0,
            min(plausibility.unexplained, 0.5) * 4,
        ]
    )


_EDGES = slice(12, 15)
"""Of a line's inputs: outer taps missing, moments left over beside it and within it."""


def line_inputs(
    placed: Sequence[ToldLine],
    lines: Sequence[WrittenLine],
    alignment: Alignment,
    evidence: Evidence,
) -> Numbers:
    """What tells a line at its place from one elsewhere, shape ``(lines, 17)``: a one, then

    margin up to 12, its logarithm, and what lies beyond 12; share of its taps that were heard;
    their evidence; how far they lie off its tempo; that against the middle one's, and against the
    nearer neighbour's; the lesser of its neighbours' margins; how well the times to both agree
    with what is written, the better and the worse; how many of its outer taps are missing; how
    tap-like a moment no line holds a gap beyond it, and within it; its neighbours' part of the
    last three; how uneven its gaps are.
    """
    margin = np.array([max(line.margin, 0.0) if line.found else 0.0 for line in placed])
    found = [line.ratio for line in placed if line.found]
    middle = float(np.median(found)) if found else 1.0
    agree = neighbours_agree(placed, lines)
    edges = np.array([2.0 - line.heard[0] - line.heard[-1] if line.found else 0 for line in placed])
    over = left_over(placed, lines, alignment, evidence)
    astray = edges / 2 + over.max(axis=1)
    rows = []
    for at, (line, written) in enumerate(zip(placed, lines, strict=True)):
        taps = alignment.taps[at]
        matched = taps[taps >= 0]
        own = float(evidence.for_tap[matched].mean()) if len(matched) else 0.0
        beside = [n for n in (at - 1, at + 1) if 0 <= n < len(placed) and placed[n].found]
        tempo = abs(float(np.log(line.ratio / middle))) if line.found else 1.0
        apart = [abs(float(np.log(line.ratio / placed[n].ratio))) for n in beside if line.found]
        rows.append(
            [
                1.0,
                min(margin[at], 12.0) / 5,
                float(np.log1p(margin[at])),
                max(min(margin[at], 25.0) - 12.0, 0.0) / 10,
                float(line.heard.mean()) if line.found else 0.0,
                own / 3,
                min(_off_sec(line, written), 0.15) * 20,
                min(tempo, 0.6) * 5,
                min(min(apart, default=0.3), 0.4) * 5,
                min(min((margin[n] for n in beside), default=0.0), 15.0) / 10,
                float(agree[at].max()),
                float(agree[at].min()),
                edges[at] / 2,
                over[at, 0],
                over[at, 1],
                max((astray[n] for n in beside), default=0.0) / 2,
                _unevenness(written),
            ]
        )
    return np.array(rows)


def left_over(
    placed: Sequence[ToldLine],
    lines: Sequence[WrittenLine],
    alignment: Alignment,
    evidence: Evidence,
) -> Numbers:
    """The most tap-like moment that no line holds, beside and within each: shape ``(lines, 2)``.

    Beside is where another tap would stand if the line were shifted by one; from 0 to 1.
    """
    matched = np.zeros(len(evidence.sec), np.bool_)
    for taps in alignment.taps:
        matched[taps[taps >= 0]] = True
    if not matched.any():
        return np.zeros((len(placed), 2))
    known = evidence.sec[matched]
    before = np.searchsorted(known, evidence.sec) - 1
    since = np.where(before >= 0, evidence.sec - known[np.maximum(before, 0)], np.inf)
    free = ~matched & (since > FOLLOWS_SEC)
    sec, strong = evidence.sec[free], np.clip(evidence.for_tap[free] / 3, 0, 1)
    found = np.zeros((len(placed), 2))
    for at, (line, written) in enumerate(zip(placed, lines, strict=True)):
        if not line.found or len(written.taps_sec) < 2:
            continue
        gaps = line.ratio * np.diff(written.taps_sec)
        early, late = line.start_sec - sec, sec - line.end_sec
        beside = ((early > 0.6 * gaps[0]) & (early < 1.4 * gaps[0])) | (
            (late > 0.6 * gaps[-1]) & (late < 1.4 * gaps[-1])
        )
        within = (sec > line.start_sec) & (sec < line.end_sec)
        found[at] = strong[beside].max(initial=0), strong[within].max(initial=0)
    return found


def _unevenness(written: WrittenLine) -> float:
    """Of a line's gaps: the scatter of their logarithms, 1 at most; even ones shift easily."""
    gaps = np.log(np.diff(written.taps_sec))
    return min(2 * float(gaps.std()), 1.0) if len(gaps) > 1 else 0.0


def stands_between(lines: Sequence[WrittenLine], told: Sequence[ToldLine], at: int) -> bool:
    """Whether a line's neighbours hold it where it is: those that no wait parts from it are sure,
    and the times to them are about as written.
    """
    agree = neighbours_agree(told, lines)
    for side, (beside, parted) in enumerate(((at - 1, at - 1), (at + 1, at))):
        if not 0 <= beside < len(lines) or lines[parted].waits_after:
            continue
        if not told[beside].sure or agree[at, side] < 0:
            return False
    return True


def neighbours_agree(placed: Sequence[ToldLine], lines: Sequence[WrittenLine]) -> Numbers:
    """How well the time to the line before and after agrees with what is written.

    Shape ``(lines, 2)``: from 1, as written, to -1; 0 at a wait, or where no line was found.
    """
    agree = np.zeros((len(placed), 2))
    for at, (one, two) in enumerate(pairwise(placed)):
        if lines[at].waits_after or not (one.found and two.found):
            continue
        expected = lines[at].gap_sec * (one.ratio + two.ratio) / 2
        off = abs(two.start_sec - one.end_sec - expected) / max(0.15, 0.25 * expected)
        agree[at, 1] = agree[at + 1, 0] = float(np.clip(1 - (off - 1) / 2, -1, 1))
    return agree


def _off_sec(line: ToldLine, written: WrittenLine) -> float:
    """Standard deviation of a line's taps from its tempo."""
    if not line.found or line.heard.sum() < 3:
        return 0.0
    x, y = written.taps_sec[line.heard], line.taps_sec[line.heard]
    return float(np.std(y - line.ratio * x))
