"""A refrain returns often."""

from collections.abc import Iterator

from tapscore.checks.rule import NO_SOURCE, Rule, Scene, Trouble
from tapscore.checks.shape.sizes import SHAPE_FROM_LINES
from tapscore.checks.whole_example import whole_story
from tapscore.model.finding import Severity

LONGEST_WITHOUT = 4


def _find(scene: Scene) -> Iterator[Trouble]:
    numbered = [told for told in scene.told if told.segment.refrain is None]
    if len(numbered) < SHAPE_FROM_LINES:
        return
    if len(numbered) == len(scene.told):
        yield Trouble(
            ("story",),
            "The story has no refrain: nothing returns that pupils could come to know.",
            "Choose a line that pupils like and make it a refrain that returns every line or two.",
        )
        return
    without = 0
    for told in scene.told:
        without = without + 1 if told.segment.refrain is None else 0
        if without == LONGEST_WITHOUT + 1:
            yield Trouble(
                told.path,
                f"{told.subject} is the {_nth(without)} line in a row without the refrain.",
                "Let the refrain return before it; every line or two is best.",
            )


def _nth(number: int) -> str:
    return {5: "fifth"}.get(number, f"{number}th")


RULE = Rule(
    id="refrain-returns",
    title="A refrain returns often",
    why="Repetition is what pupils come to know, wait for and ask for with “more”. What "
    "returns must return often.",
    source=f"{NO_SOURCE}: every one or two lines",
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
)
