"""Every line has taps, and somebody taps them."""

from collections.abc import Iterator

from tapscore.checks.examples import TAPS, example, tapped
from tapscore.checks.facts import HeardLine
from tapscore.checks.rule import HOUSE_RULE, Found, Rule, Scene, found
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say

MANY_LINES = 4


def _find(scene: Scene) -> Iterator[Found]:
    bare = [told for told in scene.written if not told.facts.touches]
    if len(bare) >= MANY_LINES and 2 * len(bare) > len(scene.written):
        yield found(bare[0].path, case="many", lines=len(bare), rhythm=_rhythm(bare))
        return
    for told in bare:
        case = "one" if told.facts.syllable_count else "empty"
        yield found(told.path, case=case, line=told.name, rhythm=_rhythm([told]))


def _rhythm(bare: list[HeardLine]) -> str:
    """Whether all of the lines have one, in which nobody taps."""
    return "yes" if all(told.line.lane is not None for told in bare) else "no"


_BARE = "- words: Row the lan-tern"

RULE = Rule(
    id="lines-tapped",
    title=say("Every line is tapped"),
    why=say("A line without taps tells nothing to a pupil who feels more than hears."),
    source=HOUSE_RULE,
    severity=Severity.ADVICE,
    find=_find,
    good=example('- words: Row the lan-tern\n  lane: "| X . x X . x |"'),
    bad=example("- words: Row the lan-tern"),
    more_good=(
        example(tapped("Row the lan-tern", "| X . . . . . |").replace("Row the lan-tern", "Row")),
        example("- wait: 10\n  look for: a look"),
    ),
    more_bad=(
        example(*[_BARE] * 3, TAPS),
        example(*[_BARE] * 4, TAPS),
        example(tapped("Row the lan-tern", "| s . s s . s |")),
        example(tapped('""', "| . . . . . . |"), TAPS),
    ),
)
