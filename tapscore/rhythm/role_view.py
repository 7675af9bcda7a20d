"""A telling as one role sees it: which lines, waits and offerings are hers, and what of them."""

from collections.abc import Iterable

from attrs import frozen

from tapscore.model.story import Entrance, Story
from tapscore.rhythm.perform import EVERYONE
from tapscore.rhythm.performance import PerformedTap, Segment, SegmentKind


@frozen
class LinePart:
    """A spoken line as one role sees it."""

    segment: Segment
    taps: tuple[PerformedTap, ...]
    """This role's taps."""
    do: str | None
    warn_first: str | None
    brings: tuple[Entrance, ...]
    takes: tuple[str, ...]
    others_bring: tuple[Entrance, ...]
    others_take: tuple[str, ...]


@frozen
class PausePart:
    """A wait or an offering."""

    segment: Segment
    mine: bool
    """Whether this role does the offering."""


Part = LinePart | PausePart


@frozen
class RoleView:
    """What of a story is one role's."""

    story: Story
    role: str

    def involved(self, segments: Iterable[Segment]) -> bool:
        """Whether the role has something to do in any of some segments."""
        return any(self.involved_in(segment) for segment in segments)

    def involved_in(self, segment: Segment) -> bool:
        """Whether the role has something to do in a segment."""
        if segment.kind is SegmentKind.OFFER:
            return self.offers(segment)
        line = segment.line
        if line is None:
            return False
        moved = (*(entrance.prop for entrance in line.props_in), *line.props_out)
        return (
            any(tap.role == self.role for tap in segment.taps)
            or any(self.story.bringer(prop) == self.role for prop in moved)
            or self.does(segment)
        )

    def does(self, segment: Segment) -> bool:
        """Whether the role does what a line says is to be done."""
        line = segment.line
        if line is None or line.do is None:
            return False
        doers = line.done_by or segment.manner.by
        return self.role in doers or EVERYONE in doers

    def offers(self, segment: Segment) -> bool:
        """Whether the role offers the prop of a segment."""
        return segment.prop is not None and self.story.bringer(segment.prop) == self.role

    def part(self, segment: Segment) -> Part:
        """A segment as the role sees it."""
        line = segment.line
        if line is None:
            return PausePart(segment, self.offers(segment))
        by = self.story.bringer
        taps = tuple(tap for tap in segment.taps if tap.role == self.role)
        return LinePart(
            segment,
            taps,
            line.do if (taps and not line.done_by) or self.does(segment) else None,
            line.warn_first,
            tuple(e for e in line.props_in if by(e.prop) == self.role),
            tuple(p for p in line.props_out if by(p) == self.role),
            tuple(e for e in line.props_in if by(e.prop) != self.role),
            tuple(p for p in line.props_out if by(p) != self.role),
        )

    def ready(self, segments: Iterable[Segment]) -> tuple[str, ...]:
        """Props that the role brings on or offers in some segments."""
        props: dict[str, None] = {}
        for segment in segments:
            props |= dict.fromkeys(handled_props(self.part(segment)))
        return tuple(props)


def handled_props(part: Part) -> tuple[str, ...]:
    """Props that the role brings on or offers in a part."""
    if isinstance(part, LinePart):
        return tuple(entrance.prop for entrance in part.brings)
    return (part.segment.prop,) if part.mine and part.segment.prop else ()
