"""There is time for pupils to answer."""

from collections.abc import Iterator
from fractions import Fraction

from attrs import evolve

from tapscore.checks.examples import TAPS, example, whole_story
from tapscore.checks.rule import SHAPE_FROM_LINES, Found, Rule, Scene, found
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Section, Story, Wait
from tapscore.rhythm.performance import SegmentKind
from tapscore.wording.catalogue import say

USUAL_WAIT_SEC = 10
LONGEST_WITHOUT = 10


def _find(scene: Scene) -> Iterator[Found]:
    if len(scene.told) < SHAPE_FROM_LINES:
        return
    if not any(s.kind is SegmentKind.WAIT for s in scene.performance.segments):
        yield found(("story",), case="none", usual_sec=USUAL_WAIT_SEC)
        return
    without = 0
    for told in scene.told:
        without = 1 if told.paused else without + 1
        if without == LONGEST_WITHOUT + 1:
            yield found(
                told.path,
                case="seldom",
                line=told.name,
                without=without,
                usual_sec=USUAL_WAIT_SEC,
            )


def _fix(story: Story, finding: Finding) -> Story | None:
    if finding.about["case"] != "none" or not story.sections:
        return None
    last = len(story.sections) - 1
    sections = tuple(
        _with_wait(each) if each.items and (index < last or not last) else each
        for index, each in enumerate(story.sections)
    )
    return evolve(story, sections=sections)


def _with_wait(section: Section) -> Section:
    wait = Wait(Fraction(USUAL_WAIT_SEC), say("a look, a sound, a movement, a still body"))
    return evolve(section, items=(*section.items, wait))


_WAIT = "- wait: 10\n  look for: a look"

RULE = Rule(
    id="waits-are-there",
    title=say("There are waits for pupils to answer"),
    why=say(
        "Many pupils answer only after ten seconds or more. Adults fill silence; a written "
        "wait keeps it open."
    ),
    source=say(
        "Johnson & Parker (2013): three children answered twice as often after 5, 10 or "
        "15 seconds as after 0 to 1"
    ),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=whole_story(),
    bad=whole_story(
        ("      - wait: 10\n        look for: a look, a still body\n", ""),
        ("      - wait: 10\n        look for: a sound, a reach\n", ""),
    ),
    more_good=(
        example(*[TAPS] * 5),
        example(*[TAPS] * 10, _WAIT, *[TAPS] * 10),
    ),
    more_bad=(
        example(*[TAPS] * 6),
        example(*[TAPS] * 11, _WAIT),
    ),
    fix=_fix,
    mends=say("Adds a wait of ten seconds at the end of each section."),
)
