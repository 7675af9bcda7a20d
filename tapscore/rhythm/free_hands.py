"""When an adult's hands are free: between two of her taps, deeds, props and offerings.

A sheet or card can be changed only then.  Hands are busy while they tap or stay down, while
a line lasts in which they do something or move a prop, while they offer a prop, and a moment
before a line that they warn of.  Whoever speaks a line reads it and is busy, too; a line that
everyone says is known by heart.
"""

from collections.abc import Iterator
from math import inf

from attrs import frozen

from tapscore.model.story import Story
from tapscore.rhythm.performance import Performance, Segment
from tapscore.rhythm.role_view import LinePart, RoleView

FREE_SEC = 4.0
"""Hands free so long can change a sheet: 2 s to turn and 2 s to find the place (common
practice, no source).  A choice of the house, stated on the paper."""


WARN_SEC = 3.0
"""A warning takes so long before its line: a house rule."""


@frozen
class FreeHands:
    """The free time of one role at every boundary between segments."""

    _ends: tuple[float, ...]
    """Up to each segment: when hands are last busy before it; -inf if never."""
    _starts: tuple[float, ...]
    """From each segment on: when they are next busy; inf if never."""

    def free_sec(self, segment: int) -> float:
        """Seconds (waits at their least) that hands are free around a segment's beginning.

        ``segment`` is an index into the performance's segments, or their number for the end.
        Infinite before the first thing to do and after the last.
        """
        return max(self._starts[segment] - self._ends[segment], 0.0)

    def is_free(self, segment: int) -> bool:
        """Whether that is long enough to change a sheet."""
        return self.free_sec(segment) >= FREE_SEC - 1e-6


def free_hands(story: Story, performance: Performance, role: str) -> FreeHands:
    """Find out when a role's hands are free."""
    view = RoleView(story, role)
    busy = [list(_busy(view, segment)) for segment in performance.segments]
    ends, starts = [-inf], [inf]
    for spans in busy:
        ends.append(max([ends[-1], *(end for _, end in spans)]))
    for spans in reversed(busy):
        starts.append(min([starts[-1], *(start for start, _ in spans)]))
    return FreeHands(tuple(ends), tuple(reversed(starts)))


def _busy(view: RoleView, segment: Segment) -> Iterator[tuple[float, float]]:
    """Times, from and to, at which hands are busy in a segment."""
    end = segment.start_sec + segment.length_sec
    if view.offers(segment):
        yield segment.start_sec, end
    if segment.line is None:
        return
    part = view.part(segment)
    assert isinstance(part, LinePart)
    for tap in part.taps:
        yield tap.onset_sec, tap.onset_sec + tap.length_sec
    if part.do or part.brings or part.takes or view.role in segment.manner.says:
        yield segment.start_sec, end
    if part.warns:
        yield segment.start_sec - WARN_SEC, segment.start_sec
