"""A refrain returns often."""

from collections.abc import Iterator

from tapscore.checks.examples import TAPS, example, whole_story
from tapscore.checks.rule import NO_SOURCE, SHAPE_FROM_LINES, Found, Rule, Scene, found
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say

LONGEST_WITHOUT = 4


def _find(scene: Scene) -> Iterator[Found]:
    numbered = [told for told in scene.told if told.segment.refrain is None]
    if len(numbered) < SHAPE_FROM_LINES:
        return
    if len(numbered) == len(scene.told):
        yield found(("story",), case="none")
        return
    without = 0
    for told in scene.told:
        without = without + 1 if told.segment.refrain is None else 0
        if without == LONGEST_WITHOUT + 1:
            yield found(told.path, case="seldom", line=told.name, without=without)


_REFRAIN = "refrains:\n  home:\n    - words: Row home\n"
_RETURN = "- refrain: home"

RULE = Rule(
    id="refrain-returns",
    title=say("A refrain returns often"),
    why=say(
        "Repetition is what pupils come to know, wait for and ask for with “more”. What "
        "returns must return often."
    ),
    source=say("{no_source}: every one or two lines", no_source=NO_SOURCE),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=whole_story(),
    bad=whole_story(
        ("      - refrain: ring\n", ""),
        (
            "refrains:\n  ring:\n    - words: Ring it low and ring it slow,\n"
            '      lane: "| X . x . X . x . | X . x . X . . . |"\n',
            "",
        ),
        everywhere=True,
    ),
    more_good=(
        example(*[TAPS] * 5),
        example(*[TAPS] * 4, _RETURN, *[TAPS] * 4, extra=_REFRAIN),
    ),
    more_bad=(
        example(*[TAPS] * 6),
        example(*[TAPS] * 5, _RETURN, TAPS, extra=_REFRAIN),
    ),
)
