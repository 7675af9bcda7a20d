"""What nobody does today because somebody is away."""

from collections.abc import Collection, Iterator, Sequence
from enum import Enum

from attrs import frozen

from tapscore.exports.paper.steps import Step, steps, times_heard
from tapscore.model.edits import found as item_there
from tapscore.model.finding import StoryPath
from tapscore.model.manner import EVERYONE
from tapscore.model.story import Line, RefrainUse, Story
from tapscore.model.wordings import ordinal
from tapscore.rhythm.performance import Performance, PerformedTap, Segment, SegmentKind
from tapscore.wording.catalogue import say


class JobKind(Enum):
    """What there is to do; the value is the word for it."""

    TAP = "tap"
    BRING = "bring"
    DO = "do"
    WITH = "with"


@frozen
class Job:
    """A line or refrain to tap, a prop to bring, or something to do."""

    kind: JobKind
    name: str
    """How it is spoken of: ``line 3 (Small waves came)``, a prop's name, what to do."""
    keys: tuple[str, ...]
    """The cards it stands on, as ``step_key`` names them."""
    roles: tuple[str, ...]
    """Who would do it."""
    paths: tuple[StoryPath, ...] = ()
    """Lines it belongs to."""
    taps: tuple[PerformedTap, ...] = ()
    """Taps that nobody who is here makes."""
    returns: tuple[StoryPath, ...] = ()
    """The return of a refrain that says itself who taps; none where the lines do."""

    @property
    def sentence(self) -> str:
        """What is missing."""
        if self.kind is JobKind.TAP:
            return say("Nobody taps {name}.", name=self.name)
        if self.kind is JobKind.BRING:
            return say("Nobody brings {name}.", name=self.name)
        if self.kind is JobKind.WITH:
            return say("Nobody is with {name}.", name=self.name)
        return say("Nobody does “{name}”.", name=self.name)


def step_key(step: Step) -> str:
    """What names a step's card: its line's number, its refrain, or where a pause stands.

    A return that is told otherwise has a card of its own, and so has each part of one.
    """
    if step.refrain is not None:
        time = f", {step.refrain_time}" if step.otherwise else ""
        part = f" #{step.part}" if step.part > 1 else ""
        return f"{step.refrain}{part}{time}"
    return (
        say("pause {number}", number=step.indexes[0])
        if step.number is None
        else say("line {number}", number=step.number)
    )


def jobs_left(story: Story, performance: Performance, here: Collection[str]) -> tuple[Job, ...]:
    """Everything that none of the roles ``here`` does, in the order of the story.

    A line is left where a tap of it is made by nobody here; a tap that two should make and
    one makes is not.  Returns of a refrain are one job, but for those that say who taps.
    """
    told = steps(performance)
    often = times_heard(told)
    alike: dict[object, list[Step]] = {}
    cards: dict[StoryPath, dict[str, None]] = {}
    for at, step in enumerate(told):
        returns = says_who_taps(story, step.segments[0])
        alike.setdefault(returns or step.refrain or at, []).append(step)
        for segment in step.lines:
            cards.setdefault(segment.path, {})[step_key(step)] = None
    groups = {id(group[0]): group for group in alike.values()}
    found: list[Job] = []
    for step in told:
        if group := groups.get(id(step)):
            returns = says_who_taps(story, step.segments[0])
            one_of_many = bool(returns) and often[step.refrain or ""] > 1
            found += _taps(group, here, returns, one_of_many=one_of_many)
        found += _deeds(step, cards, here)
    found += _props(story, told, here)
    found += _places(story, here)
    return tuple(found)


def says_who_taps(story: Story, segment: Segment) -> tuple[StoryPath, ...]:
    """The return that a segment is heard at, if others tap there than its lines say.

    What returns within the refrain is told by them, too.
    """
    path = segment.returned_path
    use = None if path is None else item_there(story, path)
    return (path,) if path is not None and isinstance(use, RefrainUse) and use.manner.by else ()


def _taps(
    alike: Sequence[Step],
    here: Collection[str],
    returns: tuple[StoryPath, ...],
    *,
    one_of_many: bool,
) -> Iterator[Job]:
    missing: list[PerformedTap] = []
    keys: dict[str, None] = {}
    paths: dict[StoryPath, None] = {}
    for step in alike:
        for segment in step.lines:
            made = {tap.event for tap in segment.taps if tap.role in here}
            lost = [tap for tap in segment.taps if tap.event not in made]
            if lost:
                missing += lost
                keys[step_key(step)] = paths[segment.path] = None
    if missing:
        roles = tuple(dict.fromkeys(tap.role for tap in missing))
        name = _name(alike[0], one_of_many=one_of_many)
        yield Job(JobKind.TAP, name, tuple(keys), roles, tuple(paths), tuple(missing), returns)


def _deeds(
    step: Step, cards: dict[StoryPath, dict[str, None]], here: Collection[str]
) -> Iterator[Job]:
    """Deeds of lines that are in ``cards``, which are taken out of it: each is told once."""
    for segment in step.lines:
        line, keys = segment.line, tuple(cards.pop(segment.path, ()))
        if (
            not keys
            or line is None
            or line.do is None
            or not line.done_by
            or EVERYONE in line.done_by
        ):
            continue
        if not any(role in here for role in line.done_by):
            yield Job(JobKind.DO, line.do, keys, line.done_by, (segment.path,))


def _props(story: Story, told: Sequence[Step], here: Collection[str]) -> Iterator[Job]:
    keys: dict[str, list[str]] = {}
    paths: dict[str, dict[StoryPath, None]] = {}
    for step in told:
        for segment in step.segments:
            names: list[str] = [segment.prop] if segment.prop else []
            if segment.line is not None:
                names += _moved(segment.line)
            for name in names:
                keys.setdefault(name, []).append(step_key(step))
                if segment.kind is SegmentKind.LINE:
                    paths.setdefault(name, {})[segment.path] = None
    for name, where in keys.items():
        role = story.bringer(name)
        if role not in here:
            places = tuple(dict.fromkeys(where))
            yield Job(JobKind.BRING, name, places, (role,), tuple(paths.get(name, ())))


def _places(story: Story, here: Collection[str]) -> Iterator[Job]:
    for place in story.board.places if story.board else ():
        if place.partner and place.partner not in here:
            yield Job(JobKind.WITH, place.name, (), (place.partner,))


def _moved(line: Line) -> list[str]:
    return [entrance.prop for entrance in line.props_in] + list(line.props_out)


def _name(step: Step, *, one_of_many: bool) -> str:
    words = step.lines[0].printed_words if step.lines else ""
    short = " ".join(words.split()[:4]).strip(" ,.;:!?")
    if step.refrain is not None:
        if one_of_many:
            time = ordinal(step.refrain_time)
            return say("the refrain {refrain}, the {time} time", refrain=step.refrain, time=time)
        return say("the refrain {refrain}", refrain=step.refrain)
    return say("line {number}{words:=|*= ({words})}", number=step.number, words=short or None)
