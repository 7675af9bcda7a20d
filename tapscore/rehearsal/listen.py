"""From levels and a story to what was told: find, align, adapt, align again, and say how sure."""

from collections.abc import Callable, Sequence
from functools import cached_property

import numpy as np
from attrs import define
from numpy.typing import NDArray

from tapscore.rehearsal.alignment import Alignment, aligned, on_first_hands
from tapscore.rehearsal.bands import BandLevels, Floats
from tapscore.rehearsal.between import with_false_starts, words_spoken
from tapscore.rehearsal.candidates import Candidates, candidates_in
from tapscore.rehearsal.confidence import confidences
from tapscore.rehearsal.detector import Detector, learned_detector
from tapscore.rehearsal.evidence import Evidence, evidence_for
from tapscore.rehearsal.loudness import loudness_for_steps, tap_levels_db
from tapscore.rehearsal.plausibility import plausibility
from tapscore.rehearsal.told import ToldLine, ToldRehearsal
from tapscore.rehearsal.way_before import TEMPOS
from tapscore.rehearsal.written import WrittenLine

CANDIDATES_A_TAP = 2.0
"""So many of the likeliest moments are looked at for each written tap."""
_ROUNDS = 2
_FIRST_MISSED = 0.12
_MOST_MISSED = 0.2
_LEAST_HEARD = 0.5
_OUTLIER_SEC = 0.2
"""A tap farther off its line's tempo counts less: more than an end that is drawn out."""
_SURELY = 6.0
"""Margin from which a line's taps are learned from."""


@define(frozen=True, eq=False, slots=False)
class Round:
    """Where an alignment stands: what it saw, what it found."""

    candidates: Candidates
    evidence: Evidence
    alignment: Alignment
    every: Candidates
    odds: Floats
    """Log odds of all candidates, the unlikely ones too."""

    @cached_property
    def level_db(self) -> NDArray[np.float64]:
        """How loud each candidate is, as a tap."""
        matched = np.zeros(len(self.candidates), np.bool_)
        for taps in self.alignment.taps:
            matched[taps[taps >= 0]] = True
        return tap_levels_db(self.candidates, matched)


def listen(
    levels: BandLevels,
    lines: Sequence[WrittenLine],
    *,
    detector: Detector | None = None,
    going: Callable[[float], None] = lambda _: None,
    begun_again: bool = True,
) -> ToldRehearsal:
    """Find every line in a recording.

    ``begun_again``: a line may be begun, or told, more than once.

    ``going`` is told how far it is, from 0 to 1; it may raise, to end the work.
    """
    detector = detector or learned_detector()
    last = rounds(levels, lines, detector, going, begun_again=begun_again)
    if last is None:
        nothing = tuple(_not_found(line) for line in lines)
        return ToldRehearsal(nothing, levels.length_sec)
    placed = [placed_line(at, line, last) for at, line in enumerate(lines)]
    odds = detector.log_odds(last.every.features)
    fits = plausibility(lines, last.alignment, last.evidence, last.every.sec, odds)
    told = confidences(placed, lines, last.alignment, last.evidence, fits)
    begun = with_false_starts(told, lines, last.every, last.odds)
    return ToldRehearsal(tuple(begun), levels.length_sec, words_spoken(levels, begun))


def rounds(
    levels: BandLevels,
    lines: Sequence[WrittenLine],
    detector: Detector,
    going: Callable[[float], None] = lambda _: None,
    *,
    begun_again: bool = True,
) -> Round | None:
    """Align, learn what a tap sounds like in this recording, and align again."""
    every = candidates_in(levels)
    taps = sum(len(line.taps_sec) for line in lines)
    if not taps or len(every) < 4:
        return None
    going(0.1)
    missed, share, last = _FIRST_MISSED, min(taps / len(every), 0.6), None
    louder: dict[float, Floats] = {}
    for number in range(_ROUNDS):
        odds = detector.log_odds(every.features)
        some = _likeliest(odds, round(CANDIDATES_A_TAP * taps))
        chosen = every.chosen(some)
        noise = max(len(some) - taps * (1 - missed), 0.2 * len(some)) / levels.length_sec
        steps = {step: more[some] for step, more in louder.items()}
        evidence = Evidence(chosen.sec, evidence_for(odds[some], share), noise, missed, steps)
        alignment = aligned(lines, evidence, begun_again=begun_again)
        if alignment is None:
            return None
        alignment = on_first_hands(alignment, evidence)
        last = Round(chosen, evidence, alignment, every, odds)
        going(0.1 + 0.85 * (number + 1) / _ROUNDS)
        if number + 1 < _ROUNDS:
            detector, missed = _learned(detector, every, some, last, missed)
            louder = _by_loudness(lines, last, some)
    return last


def _likeliest(odds: Floats, count: int) -> NDArray[np.intp]:
    """The ``count`` likeliest, in order of time."""
    if count >= len(odds):
        return np.arange(len(odds))
    return np.sort(np.argpartition(odds, -count)[-count:])


def _learned(
    detector: Detector, every: Candidates, some: NDArray[np.intp], last: Round, missed: float
) -> tuple[Detector, float]:
    """The detector adapted to lines that are surely placed, and how often they miss a tap."""
    is_tap = np.zeros(len(every), np.float32)
    counts = np.zeros(len(every), np.float32)
    gone, whole = 2.0 * missed * 10, 20.0
    sec = last.candidates.sec
    for taps, margin in zip(last.alignment.taps, last.alignment.margin, strict=True):
        if margin < _SURELY or not _told_enough(taps):
            continue
        gone += float((taps < 0).sum())
        whole += len(taps)
        known = some[taps[taps >= 0]]
        inside = (every.sec >= sec[taps[taps >= 0][0]] - 0.1) & (
            every.sec <= sec[taps[taps >= 0][-1]] + 0.1
        )
        counts[inside] = 1.0
        is_tap[known] = 1.0
    if is_tap.sum() < 6:
        return detector, missed
    return detector.adapted(every.features, is_tap, counts), min(
        max(gone / whole, 0.02), _MOST_MISSED
    )


def _by_loudness(
    lines: Sequence[WrittenLine], last: Round, some: NDArray[np.intp]
) -> dict[float, Floats]:
    """What the loudness of every moment adds, by the lines that are surely placed."""
    known, steps = [], []
    for line, taps, margin in zip(lines, last.alignment.taps, last.alignment.margin, strict=True):
        if margin >= _SURELY and _told_enough(taps):
            known.append(some[taps[taps >= 0]])
            steps.append(line.steps[taps >= 0])
    if not known:
        return {}
    at = np.concatenate(known)
    matched = np.zeros(len(last.every), np.bool_)
    matched[at] = True
    wanted = {float(step) for line in lines for step in line.steps}
    return loudness_for_steps(tap_levels_db(last.every, matched), at, np.concatenate(steps), wanted)


def _told_enough(taps: NDArray[np.intp]) -> bool:
    """Whether so many of a line's taps were heard that it is one: else it was not told."""
    return len(taps) > 0 and float((taps >= 0).mean()) >= _LEAST_HEARD


def placed_line(at: int, line: WrittenLine, last: Round) -> ToldLine:
    """A line's taps in seconds, those not heard where they are expected."""
    taps = last.alignment.taps[at]
    if not _told_enough(taps):
        return _not_found(line)
    heard = taps >= 0
    sec = np.where(heard, last.candidates.sec[np.maximum(taps, 0)], np.nan)
    level = np.where(heard, last.level_db[np.maximum(taps, 0)], np.nan)
    ratio = line_ratio(line.taps_sec[heard], sec[heard], float(TEMPOS[last.alignment.tempo[at]]))
    if not heard.all():
        sec = _filled(line.taps_sec, sec, heard, ratio)
    return ToldLine(line.segment, 0.0, sec, heard, ratio, level, margin=last.alignment.margin[at])


def line_ratio(
    written_sec: NDArray[np.float64], told_sec: NDArray[np.float64], near: float
) -> float:
    """Told against written length: the slope of a straight line, outliers counting less."""
    if len(written_sec) < 2:
        return near
    weights = np.ones(len(written_sec))
    slope = near
    for _ in range(4):
        x = written_sec - np.average(written_sec, weights=weights)
        y = told_sec - np.average(told_sec, weights=weights)
        slope = float((weights * x * y).sum() / (weights * x * x).sum())
        off = np.abs(y - slope * x)
        weights = np.minimum(1.0, _OUTLIER_SEC / np.maximum(off, 1e-6))
    return min(max(slope, float(TEMPOS[0]) * 0.8), float(TEMPOS[-1]) * 1.25)


def _filled(
    written: NDArray[np.float64], sec: NDArray[np.float64], heard: NDArray[np.bool_], ratio: float
) -> NDArray[np.float64]:
    """Missing taps between their neighbours, or at the line's tempo beyond them."""
    filled = np.interp(written, written[heard], sec[heard])
    first, last = np.flatnonzero(heard)[[0, -1]]
    filled[:first] = sec[first] - ratio * (written[first] - written[:first])
    filled[last + 1 :] = sec[last] + ratio * (written[last + 1 :] - written[last])
    return filled


def _not_found(line: WrittenLine) -> ToldLine:
    return ToldLine(line.segment, 0.0, np.zeros(0), np.zeros(0, np.bool_))
