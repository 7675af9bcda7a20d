"""The story has not too many lines."""

from collections.abc import Iterator

from tapscore.checks.examples import TAPS, example, whole_story
from tapscore.checks.rule import NO_SOURCE, Found, Rule, Scene, found
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say

MOST_LINES = 10
USUAL_LINES = 8


def _find(scene: Scene) -> Iterator[Found]:
    count = scene.performance.line_count
    if count > MOST_LINES:
        yield found(("story",), lines=count, most=MOST_LINES, usual=USUAL_LINES)


_MORE = (
    *("Hear the clock be-gin to chime,", "hear it tell us all the time,"),
    *("one for you and two for me,", "three for ev-ery ap-ple tree,"),
    "four for all the birds that fly.",
)
_LINE = """\
      - words: {}
        lane: "| X . x . X . x . | X . x . X . . . |"
        by: leader
"""
_REFRAIN = "      - refrain: ring\n      - wait: 10\n        look for: a turn of the head\n"

_RETURN = "- refrain: home"
_RETURNING = "refrains:\n  home:\n    - words: Row home\n"

RULE = Rule(
    id="not-too-many-lines",
    title=say("The story is short enough to be told often"),
    why=say(
        "Pupils learn a story by meeting it ten or twenty times in a term. A short story that "
        "is told whole does more than a long one that is cut."
    ),
    source=say(
        "{no_source}: 6 to 12 lines; told 10 to 20 times: ten Brug and others (2015, 2016)",
        no_source=NO_SOURCE,
    ),
    severity=Severity.ADVICE,
    find=_find,
    good=whole_story(),
    bad=whole_story(
        (
            "  - section: Home\n",
            "  - section: The clock\n    lines:\n"
            + _REFRAIN.join(map(_LINE.format, _MORE))
            + "  - section: Home\n",
        )
    ),
    more_good=(
        example(*[TAPS] * 10),
        example(*[TAPS] * 6, *[_RETURN] * 6, extra=_RETURNING),
    ),
    more_bad=(
        example(*[TAPS] * 11),
        example(*[TAPS] * 8, "- wait: 10", *[TAPS] * 8),
    ),
)
