"""What to double, shorten or leave out so that a story fits a given time.

What costs pupils least comes first: more sets of a prop (one for two pupils at most), then
shorter turns, then one of two returns of a refrain, then a section from the middle.  Start and
finish always stay.
"""

from collections.abc import Iterator
from fractions import Fraction

from attrs import evolve, frozen

from tapscore.model.edits import duplicate_item, replace_item, with_prop
from tapscore.model.finding import StoryPath
from tapscore.model.story import Offer, RefrainUse, Story
from tapscore.model.tempo import number_text
from tapscore.model.walk import written_items
from tapscore.rhythm.perform import perform
from tapscore.rhythm.running_time import Share, running_time

SHORT_TURN_SEC = Fraction(20)
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


def room_left(story: Story, wanted_sec: float) -> tuple[FitStep, ...]:
    """What could be added and likely still fits, each for itself; saves less than nothing."""
    before = _time(story)
    found: list[FitStep] = []
    for kind in (_second_turns, _more_returns):
        for choice in kind(story):
            then = _time(choice.story)
            if before.likely_sec[1] < then.likely_sec[1] <= wanted_sec:
                saves = before.likely_sec[1] - then.likely_sec[1]
                found.append(FitStep(choice.what, saves, then))
    return tuple(found)


def _second_turns(story: Story) -> Iterator[_Choice]:
    for path, offer in _offers(story):
        yield _Choice(f"a second turn for each with “{offer.prop}”", duplicate_item(story, path))


def _more_returns(story: Story) -> Iterator[_Choice]:
    """Every refrain heard twice in a row."""
    sections = tuple(
        evolve(
            section,
            items=tuple(
                each
                for item in section.items
                for each in ((item, item) if isinstance(item, RefrainUse) else (item,))
            ),
        )
        for section in story.sections
    )
    if sections != story.sections:
        yield _Choice("the refrain twice each time", evolve(story, sections=sections))


def _time(story: Story) -> Share:
    return running_time(perform(story)).total


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
        most = -(-story.pupil_count // 2)
        if prop is not None and prop.sets < most:
            sets = min(2 * prop.sets, most)
            what = f"{sets} sets of “{name}” instead of {prop.sets}"
            yield _Choice(what, with_prop(story, evolve(prop, sets=sets)))


def _shorter_turns(story: Story) -> Iterator[_Choice]:
    for path, offer in _offers(story):
        if offer.turn_sec > SHORT_TURN_SEC:
            what = (
                f"turns of {number_text(SHORT_TURN_SEC)} seconds with “{offer.prop}” instead of "
                f"{number_text(offer.turn_sec)}"
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
            what = f"one return of the refrain less in “{section.title}”"
            yield _Choice(what, evolve(story, sections=tuple(sections)))


def _fewer_sections(story: Story) -> Iterator[_Choice]:
    for number in range(1, len(story.sections) - 1):
        section = story.sections[number]
        rest = (*story.sections[:number], *story.sections[number + 1 :])
        yield _Choice(f"without the section “{section.title}”", evolve(story, sections=rest))
