"""How long a telling lasts at least: what is fixed, and what the pupils decide.

A story's length is never one bare number: tapping is fixed, a wait lasts at least so
long, and an offering takes a turn for each pupil, shared over the prop's sets.
"""

from itertools import groupby

from attrs import frozen

from tapscore.rhythm.performance import Performance, Segment, SegmentKind


@frozen
class Share:
    """Seconds of each kind in a section or in the whole story."""

    title: str
    tapping_sec: float = 0.0
    refrains_sec: float = 0.0
    waits_sec: float = 0.0
    turns_sec: float = 0.0

    @property
    def fixed_sec(self) -> float:
        """What the tempo decides."""
        return self.tapping_sec + self.refrains_sec

    @property
    def least_sec(self) -> float:
        """The whole, with every wait and turn at its least."""
        return self.fixed_sec + self.waits_sec + self.turns_sec


@frozen
class RunningTime:
    """The whole story's time and each section's."""

    total: Share
    sections: tuple[Share, ...]


def running_time(performance: Performance) -> RunningTime:
    """Add up a performance, section by section in the order they are told."""
    told = [s for s in performance.segments if s.kind is not SegmentKind.COUNT_IN]
    sections = tuple(
        _share(title, list(segments)) for title, segments in groupby(told, lambda s: s.section)
    )
    return RunningTime(_share("", list(performance.segments)), sections)


def clock(seconds: float) -> str:
    """Minutes and seconds, rounded to the second: ``"2:05"``."""
    whole = int(seconds + 0.5)
    return f"{whole // 60}:{whole % 60:02d}"


def _share(title: str, segments: list[Segment]) -> Share:
    def total(kind: SegmentKind, refrain: bool | None = None) -> float:
        return sum(
            s.length_sec
            for s in segments
            if s.kind is kind and (refrain is None or (s.refrain is not None) == refrain)
        )

    return Share(
        title,
        total(SegmentKind.LINE, refrain=False),
        total(SegmentKind.LINE, refrain=True),
        total(SegmentKind.WAIT),
        total(SegmentKind.OFFER),
    )
