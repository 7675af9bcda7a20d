"""One adult's part in pieces that stay together on a sheet, and where a sheet may be changed."""

from functools import cached_property

from attrs import frozen

from tapscore.exports.paper.sheet_plan import Border
from tapscore.exports.paper.steps import Step, StepKind, steps
from tapscore.model.story import Story
from tapscore.rhythm.free_hands import FREE_SEC, FreeHands, free_hands
from tapscore.rhythm.performance import Performance, Segment, SegmentKind
from tapscore.rhythm.role_view import RoleView

MOST_RESTS = 3
"""More lines of others in a row than this are one row, from the first to the last."""


@frozen
class PartPiece:
    """A step of the telling, or several in which the adult rests."""

    steps: tuple[Step, ...]
    mine: bool

    @property
    def first(self) -> int:
        """Where it begins: an index into the performance's segments."""
        return self.steps[0].indexes[0]

    @property
    def section(self) -> str:
        """The section it begins in."""
        return self.steps[0].segments[0].section

    @property
    def refrain(self) -> str | None:
        """The refrain, if it is a return that the adult has something to do in."""
        return self.steps[0].refrain if self.mine else None

    @property
    def as_above(self) -> str | None:
        """One for all returns of which the first on a sheet tells the others; None elsewhere."""
        name = self.refrain
        step = self.steps[0]
        return None if name is None else f"{name} {step.part} {step.after_otherwise}"

    @property
    def last_pause(self) -> Segment | None:
        """The wait or offering that it ends with."""
        last = self.steps[-1].segments[-1]
        return None if last.kind is SegmentKind.LINE else last


@frozen(slots=False)
class Part:
    """Everything one adult does, in the order of the telling."""

    view: RoleView
    pieces: tuple[PartPiece, ...]
    hands: FreeHands
    performance: Performance

    @cached_property
    def borders(self) -> tuple[Border, ...]:
        """For each piece, what a change of sheets before it would be like."""
        return tuple(self._border(at) for at in range(len(self.pieces)))

    @cached_property
    def handled(self) -> tuple[str, ...]:
        """Props that the adult brings or hands to pupils, in the order of the telling."""
        names: dict[str, None] = {}
        for piece in self.pieces:
            for step in piece.steps:
                names |= dict.fromkeys(self.view.handled(step.segments))
        return tuple(names)

    def turners(self, at: int) -> tuple[str, ...]:
        """Other adults whose hands are free around the beginning of a piece."""
        segment = self.pieces[at].first
        return tuple(role for role, hands in self._others.items() if hands.is_free(segment))

    @cached_property
    def _others(self) -> dict[str, FreeHands]:
        story, told = self.view.story, self.performance
        others = [role for role in told.roles if role != self.view.role]
        return {role: free_hands(story, told, role) for role in others}

    def free_sec(self, at: int) -> float:
        """How long hands are free around the beginning of a piece."""
        return self.hands.free_sec(self.pieces[at].first)

    def _border(self, at: int) -> Border:
        if at == 0:
            return Border(busy=False, parts_section=False)
        before, here = self.pieces[at - 1], self.pieces[at]
        busy = not self.hands.is_free(here.first)
        return Border(busy, before.section == here.section, 0 if busy else _poor(before, here))


def part_of(story: Story, performance: Performance, role: str) -> Part:
    """A role's part.  Raises ValueError for a role the story lacks."""
    performance.must_have(role)
    view = RoleView(story, role)
    pieces: list[PartPiece] = []
    rests: list[Step] = []

    def rest() -> None:
        if len(rests) > MOST_RESTS:
            pieces.append(PartPiece(tuple(rests), mine=False))
        else:
            pieces.extend(PartPiece((step,), mine=False) for step in rests)
        rests.clear()

    for step in steps(performance):
        mine = view.involved(step.segments)
        if mine or step.kind is StepKind.PAUSE:
            rest()
            pieces.append(PartPiece((step,), mine))
            continue
        if rests and rests[-1].segments[0].section != step.segments[0].section:
            rest()
        rests.append(step)
        if step.tail:
            rest()
    rest()
    return Part(view, tuple(pieces), free_hands(story, performance, role), performance)


def _poor(before: PartPiece, here: PartPiece) -> int:
    """How poor a moment is, hands being free: best is the end of a pause that is long enough."""
    pause = before.last_pause
    if pause is not None and pause.length_sec >= FREE_SEC:
        return 0
    coming = here.steps[0].segments[0]
    if coming.kind is not SegmentKind.LINE:
        return 2
    return 1
