"""What is written, as an alignment needs it: a line's taps in seconds, and what follows it."""

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.rhythm.performance import Performance, PerformedTap, SegmentKind

Seconds = NDArray[np.float64]
TOGETHER_SEC = 0.05
"""Taps nearer than this are one touch to the ear."""
ACCENT_STEPS = 0.5


@frozen(eq=False)
class WrittenLine:
    """A line that is tapped."""

    segment: int
    """Index into the performance's segments."""
    taps_sec: Seconds
    """From the line's first tap; never empty."""
    start_sec: float
    """Of its first tap, in the performance."""
    steps: Seconds
    """Loudness of each tap, from 0 to 4, accents a half above."""
    gap_sec: float
    """From its last tap to the next line's first; 0 for the last line."""
    waits_after: bool
    """Whether a wait or an offering comes before the next line."""

    @property
    def length_sec(self) -> float:
        """From the first tap to the last."""
        return float(self.taps_sec[-1])


def written_lines(performance: Performance) -> tuple[WrittenLine, ...]:
    """Every line with a tap, in the order of telling."""
    heard: list[tuple[int, Seconds, Seconds]] = []
    held: set[int] = set()
    for index, segment in enumerate(performance.segments):
        if segment.kind in (SegmentKind.WAIT, SegmentKind.OFFER):
            held.add(len(heard))
        elif segment.taps:
            heard.append((index, *_touches(segment.taps)))
    found = []
    for at, (index, onsets, steps) in enumerate(heard):
        following = heard[at + 1][1][0] if at + 1 < len(heard) else onsets[-1]
        found.append(
            WrittenLine(
                index,
                onsets - onsets[0],
                float(onsets[0]),
                steps,
                float(following - onsets[-1]),
                at + 1 in held,
            )
        )
    return tuple(found)


def _touches(taps: tuple[PerformedTap, ...]) -> tuple[Seconds, Seconds]:
    onsets: list[float] = []
    steps: list[float] = []
    for tap in taps:
        step = float(tap.level) + ACCENT_STEPS * tap.accent
        if onsets and tap.onset_sec - onsets[-1] < TOGETHER_SEC:
            steps[-1] = max(steps[-1], step)
        else:
            onsets.append(tap.onset_sec)
            steps.append(step)
    return np.array(onsets), np.array(steps)
