"""What stands on each cue card of one role, before anything is laid out."""

from attrs import frozen

from tapscore.exports.paper.steps import Step, StepKind, steps
from tapscore.exports.paper.text_flow import own
from tapscore.model.story import Story
from tapscore.model.wordings import ordinal
from tapscore.rhythm.performance import Performance, PerformedTap, Segment
from tapscore.rhythm.role_view import LinePart, Part, PausePart, RoleView
from tapscore.wording.catalogue import say


@frozen
class Cue:
    """One thing that follows a card."""

    label: str
    """The next card's number, a refrain's name, or nothing at the finish."""
    refrain: bool = False
    again: int = 0
    """Which time the refrain comes in the story, if it is the card's own; 0 for all else."""
    after: str | None = None
    """What is heard before coming in, after a rest."""
    wait_sec: float = 0.0
    """Least seconds of waiting before it."""
    offered: tuple[str, ...] = ()
    """Props that others offer before it."""
    ready: tuple[str, ...] = ()
    """Props to have at hand."""
    finish: bool = False


@frozen
class Card:
    """One cue card; its length on paper may be more than one side."""

    role: str
    label: str
    """``"3 of 9"``, the refrain's name, or when the offering comes."""
    kind: StepKind
    times: int
    """How often it is used: refrains come back, all else is 1."""
    come_in_after: str | None
    lead: tuple[PausePart, ...]
    """Waits and offerings between the last words and this card."""
    parts: tuple[Part, ...]
    then: tuple[Cue, ...]

    @property
    def taps(self) -> tuple[PerformedTap, ...]:
        """Every tap on the card."""
        return tuple(t for part in self.parts if isinstance(part, LinePart) for t in part.taps)


def role_cards(story: Story, performance: Performance, role: str) -> tuple[Card, ...]:
    """Cards of one role, in the order they are first used.

    Empty if the role has nothing to do.  Raises ValueError for a role the story lacks.
    """
    performance.must_have(role)
    return _Dealer(story, performance, role).cards()


def card_uses(story: Story, performance: Performance, role: str) -> tuple[tuple[Step, str], ...]:
    """What a role has a card for, in the order of the telling, with the card's label."""
    return _Dealer(story, performance, role).uses()


_CardKey = tuple[str, int, int]


class _Dealer:
    def __init__(self, story: Story, performance: Performance, role: str) -> None:
        self._view = RoleView(story, role, words_apart=True)
        self._total = performance.line_count
        self._steps = steps(performance)
        self._mine = [i for i, step in enumerate(self._steps) if self._view.involved(step.segments)]
        self._first: dict[_CardKey, int] = {}
        for i in self._mine:
            self._first.setdefault(self._key(i), i)

    def cards(self) -> tuple[Card, ...]:
        return tuple(self._card(place) for place, at in enumerate(self._mine) if self._own(at))

    def uses(self) -> tuple[tuple[Step, str], ...]:
        return tuple((self._steps[at], self._label(at)) for at in self._mine)

    def _own(self, index: int) -> bool:
        return self._first[self._key(index)] == index

    def _key(self, index: int) -> _CardKey:
        """What steps with one card have in common: a refrain, but for a return told otherwise."""
        step = self._steps[index]
        if step.refrain is None:
            return "", index, 1
        return step.refrain, step.refrain_time if step.otherwise else 0, step.part

    def _card(self, place: int) -> Card:
        index = self._mine[place]
        step = self._steps[index]
        comes_back = step.refrain is not None and not self._key(index)[1]
        times = self._times(step.refrain) if step.refrain is not None and comes_back else 1
        before = self._mine[place - 1] if place else -1
        return Card(
            role=self._view.role,
            label=self._label(index),
            kind=step.kind,
            times=times,
            come_in_after=self._gap(before, index),
            lead=self._lead(before, index),
            parts=tuple(self._view.part(segment) for segment in step.segments),
            then=self._then(place),
        )

    def _label(self, index: int) -> str:
        step = self._steps[index]
        if step.kind is StepKind.LINE:
            return say("{number} of {total}", number=step.number or 0, total=self._total)
        if step.refrain is not None:
            _, time, part = self._key(index)
            label = own(step.refrain)
            if part > 1:
                label = say("{name}, part {part}", name=label, part=part)
            if time:
                label = say("{name}, {ordinal} time", name=label, ordinal=ordinal(time))
            return label
        before = self._steps[index - 1] if index else None
        if before is None:
            return say("at the start")
        if before.refrain is not None and self._times(before.refrain) > 1:
            which = ordinal(before.refrain_time)
            return say("after {name}, {ordinal} time", name=own(before.refrain), ordinal=which)
        name = own(before.refrain) if before.refrain is not None else before.number
        return say("after {name}", name=name)

    def _times(self, refrain: str) -> int:
        return max(s.refrain_time for s in self._steps if s.refrain == refrain)

    def _gap(self, before: int, index: int) -> str | None:
        between = [step for step in self._steps[before + 1 : index] if step.lines]
        return between[-1].last_words if between else None

    def _lead(self, before: int, index: int) -> tuple[PausePart, ...]:
        rest: list[Segment] = []
        for i in range(index - 1, before, -1):
            step = self._steps[i]
            rest[:0] = step.tail
            if step.lines:
                break
        return tuple(PausePart(s, self._view.offers(s)) for s in rest)

    def _then(self, place: int) -> tuple[Cue, ...]:
        cues: list[Cue] = []
        here = self._key(self._mine[place])
        for k in range(place + 1, len(self._mine)):
            before, index = self._mine[k - 1], self._mine[k]
            step = self._steps[index]
            own = self._own(index)
            again = self._key(index) == here
            lead = [part.segment for part in self._lead(before, index)]
            cues.append(
                Cue(
                    self._label(index),
                    refrain=step.refrain is not None,
                    again=step.refrain_time if again else 0,
                    after=self._gap(before, index),
                    wait_sec=sum(s.length_sec for s in lead if s.prop is None),
                    offered=tuple(s.prop for s in lead if s.prop is not None),
                    ready=self._view.ready(step.segments) if own else (),
                )
            )
            if own:
                return tuple(cues)
        return (*cues, Cue("", finish=True))
