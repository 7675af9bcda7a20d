"""What lies between the lines' taps: words, a line begun and broken off, another telling."""

from collections.abc import Sequence

import numpy as np
from attrs import evolve
from numpy.typing import NDArray

from tapscore.rehearsal.bands import HOP_SEC, BandLevels, Floats
from tapscore.rehearsal.candidates import Candidates
from tapscore.rehearsal.told import ToldLine, ToldRehearsal
from tapscore.rehearsal.written import WrittenLine

_VOICE_BANDS = slice(2, 5)
"""300 to 2400 Hz."""
_RINGS_SEC = 0.4
_BELOW_TAPS_DB, _ABOVE_FLOOR_DB, _SELDOM, _EVEN_DB = 18.0, 10.0, 0.07, 10.0
"""So far below the taps, so seldom above the room's own noise, so even before every tap it is
only where nobody speaks (chosen on simulated rehearsals: 7 of 8 without words, none with)."""
_LEAST_EXTRA_SEC = 0.7
_FEWEST_TAPS = 2
_NEAR_SEC = 0.08
_EXPLAINED = 0.6
_LEAD_SEC = 1.0
_LIKELY, _TWICE = 1.0, 1.5
_BETWEEN_SEC, _HALF_OFF, _REST = 3.0, 0.15, 0.5


def words_spoken(levels: BandLevels, lines: Sequence[ToldLine]) -> bool:
    """Whether somebody speaks while the lines are tapped; True where that is not sure."""
    found = [line.taps_sec for line in lines if line.found]
    if not found:
        return True
    taps = np.concatenate(found)
    middle = levels.db[:, _VOICE_BANDS].mean(axis=1)
    rows = np.clip((taps / HOP_SEC).astype(int), 16, len(middle) - 4)
    between = np.zeros(len(middle), np.bool_)
    between[rows.min() : rows.max()] = True
    for row in rows:
        between[max(row - 10, 0) : row + round(_RINGS_SEC / HOP_SEC)] = False
    rest = middle[between]
    if len(rest) < 100:
        return True
    floor = float(np.percentile(middle, 10))
    tap = float(np.median([middle[row : row + 4].max() for row in rows]))
    before = np.array([middle[row - 16 : row - 6].mean() for row in rows])
    spread = float(np.percentile(before, 80) - np.percentile(before, 20))
    quiet = tap - float(np.percentile(rest, 90)) >= _BELOW_TAPS_DB
    seldom = float((rest > floor + _ABOVE_FLOOR_DB).mean()) <= _SELDOM
    return not (quiet and seldom and spread <= _EVEN_DB)


def with_false_starts(
    told: Sequence[ToldLine], lines: Sequence[WrittenLine], every: Candidates, odds: Floats
) -> list[ToldLine]:
    """The lines, those that seem to have been begun and broken off before with the time of that."""
    likely = every.sec[odds > 0]
    found: list[ToldLine] = []
    free_sec = None
    for line, written in zip(told, lines, strict=True):
        begun = None
        if line.sure and free_sec is not None and len(written.taps_sec) > _FEWEST_TAPS:
            before = likely[(likely > free_sec + 0.15) & (likely < line.start_sec - 0.3)]
            begun = _begun(before, line, written)
        found.append(evolve(line, begun_before_sec=begun))
        free_sec = line.end_sec if line.found else None
    return found


def _begun(before: NDArray[np.float64], line: ToldLine, written: WrittenLine) -> float | None:
    """Where the line's first taps stand among those before it; None where they don't."""
    if len(before) < _FEWEST_TAPS or line.start_sec - before[0] < _LEAST_EXTRA_SEC:
        return None
    best, at_sec = 0, None
    for first in before:
        expected = first + line.ratio * written.taps_sec
        expected = expected[expected < before[-1] + _NEAR_SEC]
        near = np.abs(before[:, None] - expected[None, :]).min(axis=0) <= _NEAR_SEC
        hits = int(near.sum())
        if hits >= 0.75 * len(expected) and hits > best and hits >= _EXPLAINED * len(before):
            best, at_sec = hits, float(first)
    return at_sec if best >= max(_FEWEST_TAPS, 3 if len(before) > 3 else 2) else None


def seems_told_twice(lines: Sequence[WrittenLine], odds: Floats) -> bool:
    """Whether there are so many likely taps that the story may be told more than once."""
    written = sum(len(line.taps_sec) for line in lines)
    return bool((odds > _LIKELY).sum() >= _TWICE * written)


def halfway(every: Candidates, odds: Floats) -> list[float]:
    """Where two tellings may meet: the pause with most nearly as many likely taps before as after.

    For two tellings that one way through has taken its lines from in turn.
    """
    likely = every.sec[odds > _LIKELY]
    pauses = np.flatnonzero(np.diff(likely) >= _BETWEEN_SEC)
    off = np.abs((pauses + 1) / len(likely) - 0.5)
    if not len(pauses) or off.min() > _HALF_OFF:
        return []
    return [float(likely[pauses[off.argmin()]]) + 0.3]


def rest_after(told: ToldRehearsal) -> list[float]:
    """From when on another telling may follow one that was found: where there is time for it.

    For one in which taps stand out less, so that few of them are likely by themselves.
    """
    first, last = (told.lines[at] for at in (told.span[0], told.span[-1]))
    rest = told.length_sec - last.end_sec
    return [last.end_sec + 0.3] if rest >= _REST * (last.end_sec - first.start_sec) else []


def other_tellings(
    told: ToldRehearsal, lines: Sequence[WrittenLine], every: Candidates, odds: Floats
) -> list[float]:
    """From when on the recording may hold another telling of the same story, and only that.

    A stretch that no line takes, with at least half as many likely taps as are written, speaks
    for one: what comes after the stretch, or else begins with it, is looked at by itself.
    """
    likely = every.sec[odds > _LIKELY]
    wanted = 0.5 * sum(len(line.taps_sec) for line in lines)
    found = [line for line in told.lines if line.found]
    ends = [0.0, *(line.end_sec for line in found)]
    starts = [*(line.start_sec for line in found), told.length_sec]
    cuts = []
    for at, (end, start) in enumerate(zip(ends, starts, strict=True)):
        if ((likely > end + 0.5) & (likely < start - 0.5)).sum() >= wanted:
            cuts.append(start - _LEAD_SEC if at == 0 else end + 0.3)
    return [cut for cut in cuts if cut > 0]
