"""Where spoken cues stand: before they are needed, and in pauses of the story if there are any."""

from collections.abc import Sequence

from tapscore.exports.audio.cues import Cue, CueKind

EARLIEST_SEC = 8.0
"""So long before a line its cues are spoken at the most, beyond their own length."""
AFTER_TONE_SEC = 0.35
BETWEEN_SEC = 0.12
_STEP_SEC = 0.1
_HERE = (CueKind.WAIT, CueKind.OFFER)

Stretch = tuple[float, float]
"""Begin and end in seconds."""


def is_spoken_here(cue: Cue) -> bool:
    """Whether a cue is spoken as its wait or offering begins, and not before."""
    return cue.kind in _HERE


def place_before(
    length_sec: float, deadline_sec: float, busy: Sequence[Stretch], earliest_sec: float = 0.0
) -> float:
    """When to begin something of a length so that it ends by the deadline.

    The latest time that overlaps least with ``busy`` (the story's own words).  If there
    is no room after ``earliest_sec``, that is when it begins, and it ends too late.
    """
    latest = deadline_sec - length_sec
    if latest <= earliest_sec:
        return earliest_sec
    first = max(earliest_sec, latest - EARLIEST_SEC)
    near = [(a, b) for a, b in busy if b > first and a < deadline_sec]
    count = int((latest - first) / _STEP_SEC)
    tried = [latest - i * _STEP_SEC for i in range(count + 1)]
    tried += [b for _, b in near if first <= b <= latest]
    return min(sorted(tried, reverse=True), key=lambda at: _overlap(at, at + length_sec, near))


def _overlap(begin: float, end: float, busy: Sequence[Stretch]) -> float:
    shared = sum(max(min(end, b) - max(begin, a), 0.0) for a, b in busy)
    return round(shared, 2)
