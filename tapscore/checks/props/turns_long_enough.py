"""A turn leaves a pupil time to find the thing."""

from collections.abc import Iterator
from fractions import Fraction

from attrs import evolve

from tapscore.checks.examples import TAPS, example, whole_story
from tapscore.checks.rule import NO_SOURCE, Found, Rule, Scene, found
from tapscore.model.edits import item_at, replace_item
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Offer, Story
from tapscore.model.walk import item_path
from tapscore.wording.catalogue import say

LEAST_SEC = Fraction(20)
USUAL_TURN_SEC = Fraction(30)


def _find(scene: Scene) -> Iterator[Found]:
    for path, item in scene.waiting:
        if isinstance(item, Offer) and item.turn_sec < LEAST_SEC:
            yield found(
                (*path, "turn"), prop=item.prop, seconds=item.turn_sec, usual_sec=USUAL_TURN_SEC
            )


def _fix(story: Story, finding: Finding) -> Story | None:
    path = item_path(finding.path)
    item = item_at(story, path) if path else None
    if path is None or not isinstance(item, Offer):
        return None
    return replace_item(story, path, evolve(item, turn_sec=USUAL_TURN_SEC))


def _turn(seconds: str) -> str:
    return example(
        TAPS,
        f"- offer: cup\n  turn: {seconds}\n  look for: a reach",
        extra="props: {cup: {what: a wooden cup}}\n",
    )


RULE = Rule(
    id="turns-long-enough",
    title=say("Turns are long enough"),
    why=say(
        "A thing that is gone before it was found is only a thing that was taken away. To find it, "
        "feel it and answer takes a pupil half a minute and more."
    ),
    source=say(
        "{no_source}: about half a minute, a minute and more with positioning", no_source=NO_SOURCE
    ),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=whole_story(),
    bad=whole_story(("        turn: 30\n", "        turn: 1\n")),
    more_good=(_turn("20"), _turn("60")),
    more_bad=(_turn("19"), _turn("1")),
    fix=_fix,
    mends=say("Makes the turns half a minute."),
)
