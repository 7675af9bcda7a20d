"""What a rule is."""

from collections.abc import Callable, Iterator
from functools import cached_property, wraps
from typing import TYPE_CHECKING, Any, TypeVar

from attrs import define, evolve, field, frozen

from tapscore.checks.facts import HeardLine, LineFacts, line_facts
from tapscore.checks.setting import Setting, setting_of
from tapscore.model.finding import Finding, Severity, StoryPath
from tapscore.model.story import Offer, Story, Wait
from tapscore.model.walk import written_items
from tapscore.rhythm.performance import Performance, Segment
from tapscore.wording.about import About, Datum, LineName
from tapscore.wording.catalogue import say

if TYPE_CHECKING:
    from tapscore.model.day import Day

NO_SOURCE = say("common practice, no source")
HOUSE_RULE = say("house rule")
SHAPE_FROM_LINES = 6
"""A first sketch of fewer lines is not told off for the shape that it still lacks."""


_WAITING = (Wait, Offer)

T = TypeVar("T")


@define(frozen=True, slots=False)
class Scene:
    """What a rule looks at."""

    story: Story
    performance: Performance
    day: "Day | None" = None
    """Who is here today, for the rules that ask."""
    _known: dict[Callable[..., Any], Any] = field(factory=dict, init=False, eq=False, repr=False)

    @cached_property
    def setting(self) -> Setting:
        """What holds for the whole story."""
        return setting_of(self.story)

    @cached_property
    def told(self) -> tuple[HeardLine, ...]:
        """Every line as it is heard, a refrain's at each return."""
        alone = {refrain.name for refrain in self.story.refrains if len(refrain.items) == 1}
        roles = self.story.role_names
        told: list[HeardLine] = []
        paused = False
        for segment in self.performance.segments:
            if segment.line is None:
                paused = paused or segment.item is not None
                continue
            key = HeardLine, roles, paused, segment.refrain in alone
            heard = segment.known.get(key)
            if heard is None:
                name = _name(segment, alone)
                heard = HeardLine(segment, line_facts(segment, roles), name, paused)
                segment.known[key] = heard
            elif heard.segment is not segment:  # it is heard earlier or later than before
                heard = evolve(heard, segment=segment)
                segment.known[key] = heard
            told.append(heard)
            paused = False
        return tuple(told)

    @cached_property
    def written(self) -> tuple[HeardLine, ...]:
        """Every line that is heard, once each: a refrain's at its first return."""
        return tuple([told for told in self.told if told.segment.refrain_time <= 1])

    @cached_property
    def called(self) -> dict[StoryPath, LineName]:
        """What every line that is heard is called, by where it is written."""
        return {told.path: told.name for told in self.written}

    @cached_property
    def waiting(self) -> tuple[tuple[StoryPath, Wait | Offer], ...]:
        """Every wait and offering where it is written."""
        items = written_items(self.story)
        return tuple([(path, item) for path, item in items if isinstance(item, _WAITING)])


def once_a_scene(work: Callable[[Scene], T]) -> Callable[[Scene], T]:
    """Let what several rules ask of a scene be worked out for the first of them only."""

    @wraps(work)
    def known(scene: Scene) -> T:
        if work not in scene._known:
            scene._known[work] = work(scene)
        found: T = scene._known[work]
        return found

    return known


def _name(segment: Segment, alone: set[str]) -> LineName:
    if segment.refrain is None:
        return LineName(segment.number)
    if segment.refrain in alone:
        return LineName(refrain=segment.refrain)
    place = segment.path[-1]
    assert isinstance(place, int)
    return LineName(refrain=segment.refrain, place=place + 1)


@frozen
class Found:
    """What a rule found: where, and the data of which its words are made."""

    at: StoryPath
    """In a rule about lines the part of the line, for example ``("lane",)``."""
    about: About
    severity: Severity | None = None
    """Where it matters more or less than the rule says."""
    before: bool = False
    """In a rule about two lines, whether it is about the first."""


def found(
    at: StoryPath = (), severity: Severity | None = None, before: bool = False, **about: Datum
) -> Found:
    """What a rule found; the keywords are what the holes of its text are filled with."""
    return Found(at, About(**about), severity, before)


@frozen(eq=False)
class EachLine:
    """A way to find that looks at one line and the setting, and at nothing else."""

    find: Callable[[Setting, LineFacts], Iterator[Found]]

    def __call__(self, scene: Scene) -> Iterator[Found]:
        """Everything found in a story."""
        for told in scene.written:
            for each in self.find(scene.setting, told.facts):
                yield placed(each, told)


@frozen(eq=False)
class EachPair:
    """A way to find that looks at a line, the one before and the setting, and at nothing else.

    ``find`` is given the setting, the line before (None before the first), the line, and
    whether a wait or an offering comes between.
    """

    find: Callable[[Setting, LineFacts | None, LineFacts, bool], Iterator[Found]]

    def __call__(self, scene: Scene) -> Iterator[Found]:
        """Everything found in a story."""
        for before, after in pairs(scene):
            known = before.facts if before else None
            for each in self.find(scene.setting, known, after.facts, after.paused):
                yield placed(each, after, before)


def pairs(scene: Scene) -> Iterator[tuple[HeardLine | None, HeardLine]]:
    """Every line with the one before it; two that follow each other again are given once."""
    seen = set()
    before: HeardLine | None = None
    for after in scene.told:
        if after.segment.refrain is None:  # written where it is heard, so it comes once
            yield before, after
        else:
            key = (before.path if before else None, after.path, after.paused)
            if key not in seen:
                seen.add(key)
                yield before, after
        before = after


def placed(each: Found, told: HeardLine, before: HeardLine | None = None) -> Found:
    """What was found in a line, with the line's path and name."""
    where = before if each.before and before is not None else told
    about = each.about.and_also(line=where.name)
    return Found((*where.path, *each.at), about, each.severity)


Finder = Callable[[Scene], Iterator[Found]]
Fix = Callable[[Story, Finding], Story | None]


@frozen(eq=False)
class Rule:
    """One check, with why it is there and an example of each side that tests run."""

    id: str
    title: str
    why: str
    source: str
    severity: Severity
    find: Finder
    """``EachLine`` and ``EachPair`` are kept for lines that stay the same; any other way to
    find looks at the whole story each time."""
    good: str
    """A story file in which the rule finds nothing."""
    bad: str
    """A story file in which it finds something, and no other rule does."""
    more_good: tuple[str, ...] = ()
    """More story files in which it finds nothing, some of them near the border."""
    more_bad: tuple[str, ...] = ()
    """More in which it finds something, whatever others find."""
    fix: Fix | None = None
    """A story in which that finding is mended; None where the teacher must choose."""
    mends: str = ""
    """What ``fix`` does, to be said before it is done."""

    @property
    def looks_at(self) -> str:
        """How much of the story the rule looks at."""
        if isinstance(self.find, EachLine):
            return say("each line")
        if isinstance(self.find, EachPair):
            return say("each line and the one before")
        return say("the story")

    def findings(self, scene: Scene) -> Iterator[Finding]:
        """Everything the rule finds, as findings."""
        for each in self.find(scene):
            yield self.finding(each)

    def finding(self, each: Found) -> Finding:
        """What was found, as a finding of this rule."""
        return Finding(self.id, each.severity or self.severity, path=each.at, about=each.about)
