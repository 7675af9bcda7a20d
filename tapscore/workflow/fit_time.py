"""What to double, shorten or leave out so that a story fits a given time, or how to fill it.

What costs pupils least comes first: more sets of a prop (one for two pupils at most, and an adult
for each), then shorter turns, then one of two returns of a refrain, then a section from the
middle.  Start and finish always stay, and no wait is ever cut.  Time that is left goes to
the pupils first: longer waits, then longer turns, then another return of the refrain.
"""

from collections.abc import Iterator
from fractions import Fraction

from attrs import evolve, frozen

from tapscore.model.comfort import ADVISED_WAIT_SEC
from tapscore.model.edits import replace_item, with_prop
from tapscore.model.finding import StoryPath
from tapscore.model.story import Offer, RefrainUse, Story, Wait
from tapscore.model.walk import written_items
from tapscore.rhythm.perform import perform
from tapscore.rhythm.running_time import Share, total_time
from tapscore.wording.catalogue import say
from tapscore.workflow.shorten import Listed, kept_only, section_named

SHORT_TURN_SEC = Fraction(20)
LONG_TURN_SEC = Fraction(60)
"""A turn with positioning (common practice, no source)."""
LONGER_WAITS_SEC = (ADVISED_WAIT_SEC, Fraction(30))
_MOST_STEPS = 40


@frozen
class FitStep:
    """One thing to do, and how long the story lasts then."""

    what: str
    saves_sec: float
    """Of the longest likely time."""
    then: Share


@frozen
class FitPlan:
    """Steps towards a given time."""

    before: Share
    steps: tuple[FitStep, ...]
    fits: bool
    """Whether the longest likely time is within the wanted one after all steps."""
    story: Story
    """The story with all steps taken."""

    @property
    def after(self) -> Share:
        """How long it lasts then."""
        return self.steps[-1].then if self.steps else self.before


@frozen
class _Choice:
    what: str
    story: Story


def plan_to_fit(story: Story, wanted_sec: float) -> FitPlan:
    """The fewest steps, in order of what costs least, until the story likely fits."""
    before = now = _time(story)
    steps: list[FitStep] = []
    while now.likely_sec[1] > wanted_sec and len(steps) < _MOST_STEPS:
        found = _next(story, now)
        if found is None:
            break
        choice, then = found
        steps.append(FitStep(choice.what, now.likely_sec[1] - then.likely_sec[1], then))
        story, now = choice.story, then
    return FitPlan(before, tuple(steps), now.likely_sec[1] <= wanted_sec, story)


def plan_to_fill(story: Story, wanted_sec: float) -> FitPlan:
    """Steps that fill the time there is, each of which likely still fits; they save less than

    nothing.  None where the story doesn't fit as it is.
    """
    before = now = _time(story)
    steps: list[FitStep] = []
    while len(steps) < _MOST_STEPS and now.likely_sec[1] <= wanted_sec:
        found = _next_filling(story, now, wanted_sec)
        if found is None:
            break
        choice, then = found
        steps.append(FitStep(choice.what, now.likely_sec[1] - then.likely_sec[1], then))
        story, now = choice.story, then
    return FitPlan(before, tuple(steps), now.likely_sec[1] <= wanted_sec, story)


def _next_filling(story: Story, now: Share, wanted_sec: float) -> tuple[_Choice, Share] | None:
    for kind in (_longer_waits, _longer_turns, _another_return):
        for choice in kind(story):
            then = _time(choice.story)
            longer = then.least_sec > now.least_sec
            if longer and then.likely_sec[1] <= wanted_sec:
                return choice, then
    return None


def _longer_waits(story: Story) -> Iterator[_Choice]:
    """Every wait as long as is advised, and then as long as some pupils need."""
    for seconds in LONGER_WAITS_SEC:
        new, changed = story, 0
        for path, item in written_items(story):
            if isinstance(item, Wait) and item.least_sec < seconds:
                new, changed = replace_item(new, path, evolve(item, least_sec=seconds)), changed + 1
        if changed:
            yield _Choice(
                say(
                    "{seconds} seconds or more for {waits:1 wait|# waits}",
                    seconds=Fraction(seconds),
                    waits=changed,
                ),
                new,
            )


def _longer_turns(story: Story) -> Iterator[_Choice]:
    for path, offer in _offers(story):
        if offer.turn_sec < LONG_TURN_SEC:
            what = say(
                "turns of {now} seconds with “{prop}” instead of {before}",
                now=Fraction(LONG_TURN_SEC),
                prop=offer.prop,
                before=offer.turn_sec,
            )
            longer = replace_item(story, path, evolve(offer, turn_sec=LONG_TURN_SEC))
            yield _Choice(what, longer)


def _another_return(story: Story) -> Iterator[_Choice]:
    """A refrain that returns once in a section returns twice in a row."""
    for number, section in enumerate(story.sections):
        uses = [i for i, item in enumerate(section.items) if isinstance(item, RefrainUse)]
        if len(uses) == 1:
            again = section.items[uses[0]]
            items = (*section.items[: uses[0]], again, *section.items[uses[0] :])
            sections = list(story.sections)
            sections[number] = evolve(section, items=items)
            what = say("another return of the refrain in “{title}”", title=section.title)
            yield _Choice(what, evolve(story, sections=tuple(sections)))


def _time(story: Story) -> Share:
    return total_time(perform(story))


def _next(story: Story, now: Share) -> tuple[_Choice, Share] | None:
    """The step of the first kind that saves anything: the one that saves most."""
    for kind in (_more_sets, _shorter_turns, _fewer_returns, _fewer_sections):
        timed = [(choice, _time(choice.story)) for choice in kind(story)]
        saving = [each for each in timed if each[1].likely_sec[1] < now.likely_sec[1]]
        if saving:
            return min(saving, key=lambda each: each[1].likely_sec[1])
    return None


def _offers(story: Story) -> Iterator[tuple[StoryPath, Offer]]:
    return ((path, item) for path, item in written_items(story) if isinstance(item, Offer))


def _more_sets(story: Story) -> Iterator[_Choice]:
    for name in dict.fromkeys(offer.prop for _, offer in _offers(story)):
        prop = story.prop(name)
        hands = len(story.handlers(name))
        most = min(-(-story.pupil_count // 2), hands or story.pupil_count)
        if prop is not None and prop.sets < most:
            sets = min(2 * prop.sets, most)
            what = say(
                "{sets} sets of “{name}” instead of {before}",
                sets=sets,
                name=name,
                before=prop.sets,
            )
            yield _Choice(what, with_prop(story, evolve(prop, sets=sets)))


def _shorter_turns(story: Story) -> Iterator[_Choice]:
    for path, offer in _offers(story):
        if offer.turn_sec > SHORT_TURN_SEC:
            what = say(
                "turns of {now} seconds with “{prop}” instead of {before}",
                now=Fraction(SHORT_TURN_SEC),
                prop=offer.prop,
                before=offer.turn_sec,
            )
            shorter = replace_item(story, path, evolve(offer, turn_sec=SHORT_TURN_SEC))
            yield _Choice(what, shorter)


def _fewer_returns(story: Story) -> Iterator[_Choice]:
    for number, section in enumerate(story.sections):
        uses = [i for i, item in enumerate(section.items) if isinstance(item, RefrainUse)]
        if len(uses) > 1:
            items = tuple(item for i, item in enumerate(section.items) if i != uses[-1])
            sections = list(story.sections)
            sections[number] = evolve(section, items=items)
            what = say("one return of the refrain less in “{title}”", title=section.title)
            yield _Choice(what, evolve(story, sections=tuple(sections)))


def _fewer_sections(story: Story) -> Iterator[_Choice]:
    """A section from the middle less; a prop that left in it leaves with the line that follows."""
    for number in range(1, len(story.sections) - 1):
        kept = [range(len(each.items)) for each in story.sections]
        kept[number] = range(0)
        cut = story.sections[number]
        changes: list[Listed] = []
        shorter = kept_only(story, kept, changes)
        if len(shorter.sections) < len(story.sections) - 1:  # start and finish always stay
            continue
        told = [say("without the section “{title}”", title=cut.title)]
        told += [
            say("{where}: {what}", where=where, what=what)
            for where, what in changes
            if where != section_named(cut)
        ]
        yield _Choice("; ".join(told), shorter)
