"""How an adult tapped along: ahead, behind, or with it, line by line.

Nothing here counts or rates.  What is compared is each line with the middle of all the
adult's own taps, since sound reaches the ear late by an amount that differs from computer
to computer, and since people tapping along are all a little early (some 20 to 80 ms: Repp
2005, "Sensorimotor synchronization", from memory).
"""

from collections.abc import Sequence
from enum import Enum
from statistics import median

from attrs import frozen

from tapscore.rhythm.performance import Performance

FARTHEST_SEC = 0.35
"""A tap farther than this from every written one is another tap, not an early or late one."""
NEAR_SEC = 0.07
"""So far from their middle the taps of a line are together with it (common practice, no
source: well above the 20 to 40 ms by which a steady adult's taps scatter)."""
SOUND_DELAY_SEC = 0.15
"""So much may be the computer's delay; more is said."""


class Timing(Enum):
    """Where a line's taps lie."""

    TOGETHER = "together"
    AHEAD = "ahead"
    BEHIND = "behind"
    HURRYING = "hurrying"
    DRAGGING = "dragging"


@frozen
class LineNote:
    """What may be said of one line."""

    segment: int
    timing: Timing
    missing: bool = False
    """Whether a good part of the line's taps was not there."""
    more: bool = False
    """Whether there were several taps more than are written."""


@frozen
class Practised:
    """What may be said of a passage."""

    lines: tuple[LineNote, ...]
    """Lines in which the adult has taps, in order."""
    whole: Timing = Timing.TOGETHER
    """AHEAD or BEHIND if all of it was so, by more than a computer's delay explains."""
    tapped: bool = True


def practised(
    performance: Performance,
    segments: Sequence[int],
    role: str | None,
    touches_sec: Sequence[float],
) -> Practised:
    """Compare touches (seconds of the performance, in order) with a role's taps.

    ``role`` None takes everybody's taps.  Taps of one instant are one touch.
    """
    onsets: dict[float, int] = {}
    for index in segments:
        for tap in performance.segments[index].taps:
            if role in (None, tap.role):
                onsets.setdefault(tap.onset_sec, index)
    wanted = sorted(onsets)
    pairs = matched(wanted, touches_sec)
    late = {at: touches_sec[touch] - wanted[at] for at, touch in pairs}
    middle = median(late.values()) if late else 0.0
    extra = _nearest_lines(wanted, onsets, touches_sec, {touch for _, touch in pairs})
    lines = []
    for index in dict.fromkeys(onsets[sec] for sec in wanted):
        mine = [at for at, sec in enumerate(wanted) if onsets[sec] == index]
        found = [late[at] - middle for at in mine if at in late]
        missing = 4 * (len(mine) - len(found)) > len(mine)
        lines.append(LineNote(index, _timing(found), missing, extra.count(index) > 1))
    whole = Timing.TOGETHER
    if abs(middle) > SOUND_DELAY_SEC:
        whole = Timing.BEHIND if middle > 0 else Timing.AHEAD
    return Practised(tuple(lines), whole, bool(touches_sec))


def matched(wanted: Sequence[float], touches: Sequence[float]) -> list[tuple[int, int]]:
    """Pairs (wanted, touch) in order of time, at the least sum of distances.

    A wanted tap or a touch may stay alone, each at half of ``FARTHEST_SEC``.
    """
    alone = FARTHEST_SEC / 2
    rows, columns = len(wanted), len(touches)
    cost = [[alone * (row + column) for column in range(columns + 1)] for row in range(rows + 1)]
    for row in range(1, rows + 1):
        for column in range(1, columns + 1):
            away = abs(wanted[row - 1] - touches[column - 1])
            cost[row][column] = min(
                cost[row - 1][column - 1] + away,
                cost[row - 1][column] + alone,
                cost[row][column - 1] + alone,
            )
    pairs: list[tuple[int, int]] = []
    row, column = rows, columns
    while row and column:
        away = abs(wanted[row - 1] - touches[column - 1])
        if cost[row][column] == cost[row - 1][column - 1] + away:
            row, column = row - 1, column - 1
            pairs.append((row, column))
        elif cost[row][column] == cost[row - 1][column] + alone:
            row -= 1
        else:
            column -= 1
    return pairs[::-1]


def _nearest_lines(
    wanted: Sequence[float],
    onsets: dict[float, int],
    touches: Sequence[float],
    used: set[int],
) -> list[int]:
    return [
        onsets[min(wanted, key=lambda sec: abs(sec - touch))]
        for at, touch in enumerate(touches)
        if at not in used and wanted
    ]


def _timing(late: Sequence[float]) -> Timing:
    if not late:
        return Timing.TOGETHER
    if len(late) > 3:
        third = len(late) // 3
        drawn = median(late[-third:]) - median(late[:third])
        if abs(drawn) > 2 * NEAR_SEC:
            return Timing.DRAGGING if drawn > 0 else Timing.HURRYING
    middle = median(late)
    if abs(middle) <= NEAR_SEC:
        return Timing.TOGETHER
    return Timing.BEHIND if middle > 0 else Timing.AHEAD
