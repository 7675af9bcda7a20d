"""A telling as one role sees it: what of each line, wait and offering is hers."""

from collections.abc import Iterable

from attrs import frozen

from tapscore.model.manner import EVERYONE
from tapscore.model.story import Entrance, Story
from tapscore.model.wordings import joined
from tapscore.rhythm.performance import PerformedTap, Segment, SegmentKind
from tapscore.rhythm.unroll import Placed
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term


@frozen
class LinePart:
    """A spoken line as one role sees it."""

    segment: Segment
    taps: tuple[PerformedTap, ...]
    """This role's taps."""
    says: bool
    """Whether she speaks the words."""
    warns: bool
    """Whether she gives the warning, if there is one."""
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
    words_apart: bool = False
    """Whether whoever usually speaks has the words on paper of their own: speaking or warning
    alone then makes no line hers."""

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
        leads = self.words_apart and segment.usual.says == (self.role,)
        return (
            any(tap.role == self.role for tap in segment.taps)
            or any(self.story.bringer(prop) == self.role for prop in moved)
            or self.does(segment)
            or ((self.says(segment) or self.warns(segment)) and not leads)
        )

    def says(self, segment: Segment) -> bool:
        """Whether the role speaks a line."""
        return segment.line is not None and self._among(segment.manner.says)

    def warns(self, segment: Segment) -> bool:
        """Whether the role gives the warning of a line that has one."""
        line = segment.line
        return line is not None and bool(line.warn_first) and self._among(warners(segment))

    def does(self, segment: Segment) -> bool:
        """Whether the role does what a line says is to be done."""
        line = segment.line
        if line is None or line.do is None:
            return False
        return self._among(line.done_by or segment.manner.by)

    def offers(self, segment: Segment) -> bool:
        """Whether the role offers the prop of a segment."""
        if segment.prop is None:
            return False
        return self.role in offering(self.story, segment.prop)

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
            self.says(segment),
            self.warns(segment),
            line.do if (taps and not line.done_by) or self.does(segment) else None,
            line.warn_first,
            tuple(e for e in line.props_in if by(e.prop) == self.role),
            tuple(p for p in line.props_out if by(p) == self.role),
            tuple(e for e in line.props_in if by(e.prop) != self.role),
            tuple(p for p in line.props_out if by(p) != self.role),
        )

    def ready(self, segments: Iterable[Segment]) -> tuple[str, ...]:
        """Props to have at hand for some segments: what the role brings, and not only hands."""
        by = self.story.bringer
        return tuple(name for name in self.handled(segments) if by(name) == self.role)

    def handled(self, segments: Iterable[Segment]) -> tuple[str, ...]:
        """Props that the role brings on or offers in some segments."""
        props: dict[str, None] = {}
        for segment in segments:
            props |= dict.fromkeys(handled_props(self.part(segment)))
        return tuple(props)

    def places(self) -> tuple[str, ...]:
        """The places of the pupils that the role is with."""
        board = self.story.board
        return tuple(p.name for p in board.places if p.partner == self.role) if board else ()

    def _among(self, names: tuple[str, ...]) -> bool:
        return self.role in names or EVERYONE in names


def offering(story: Story, prop_name: str) -> tuple[str, ...]:
    """Who offers a prop: whoever brings it, and who else hands it to pupils."""
    prop = story.prop(prop_name)
    return tuple(dict.fromkeys((story.bringer(prop_name), *(prop.handed_by if prop else ()))))


def own_doing(view: RoleView, segment: Segment) -> tuple[str, ...]:
    """What a line says is to be done, where the role does it."""
    part = view.part(segment)
    do = part.do if isinstance(part, LinePart) else None
    return (say("you do: {doing}", doing=do),) if do else ()


def own_words(view: RoleView, segment: Segment) -> tuple[str, ...]:
    """What a role does in a segment besides tapping, each in a few words."""
    part = view.part(segment)
    if isinstance(part, PausePart):
        return (say("you offer {prop}", prop=segment.prop),) if part.mine else ()
    said = [say("you warn: {how}", how=part.warn_first)] if part.warns and part.warn_first else []
    said += [say("you bring {prop}", prop=entrance.prop) for entrance in part.brings]
    said += [say("you take {prop} away", prop=prop) for prop in part.takes]
    said += own_doing(view, segment)
    return (*said, *([say("you say the words")] if part.says else []))


def handled_props(part: Part) -> tuple[str, ...]:
    """Props that the role brings on or offers in a part."""
    if isinstance(part, LinePart):
        return tuple(entrance.prop for entrance in part.brings)
    return (part.segment.prop,) if part.mine and part.segment.prop else ()


def warners(placed: Placed) -> tuple[str, ...]:
    """Who warns of a line: as written, else whoever speaks it."""
    line = placed.line
    return (line.warned_by if line else ()) or placed.manner.says


def names_words(names: tuple[str, ...]) -> str:
    """Roles in a sentence: ``everyone``, or their names."""
    return term(EVERYONE) if EVERYONE in names else joined(names)


def tapping(names: tuple[str, ...]) -> str:
    """Who taps: ``"leader taps"``, ``"leader and helper tap"``."""
    if len(names) > 1 and EVERYONE not in names:
        return say("{roles} tap", roles=names_words(names))
    return say("{role} taps", role=names_words(names))


def speaking(names: tuple[str, ...]) -> str:
    """Who speaks a line: ``"leader says it"``, ``"leader and helper say it"``."""
    if len(names) > 1 and EVERYONE not in names:
        return say("{roles} say it", roles=names_words(names))
    return say("{role} says it", role=names_words(names))


def warning_by(names: tuple[str, ...]) -> str:
    """Who warns: ``"leader warns"``, ``"leader and helper warn"``."""
    if len(names) > 1 and EVERYONE not in names:
        return say("{roles} warn", roles=names_words(names))
    return say("{role} warns", role=names_words(names))


def warned_words(placed: Placed) -> str:
    """A line's warning, with who gives it and how: ``"leader warns first (voice): lean in"``."""
    line = placed.line
    if line is None or not line.warn_first:
        return ""
    return say(
        "{who} first{through}: {how}",
        who=warning_by(warners(placed)),
        through=through_words(line.warned_through),
        how=line.warn_first,
    )


def through_words(channels: tuple[str, ...]) -> str:
    """``" (voice and touch)"``; nothing where no channel is written."""
    return say(" ({channels:and})", channels=tuple(map(term, channels))) if channels else ""
