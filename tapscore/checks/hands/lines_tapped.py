"""Every line has taps, and somebody taps them."""

from collections.abc import Iterator

from tapscore.checks.rule import HOUSE_RULE, Rule, Scene, Trouble, example
from tapscore.model.finding import Severity

MANY_LINES = 4


def _find(scene: Scene) -> Iterator[Trouble]:
    bare = [told for told in scene.written if not told.facts.touches]
    if len(bare) >= MANY_LINES and 2 * len(bare) > len(scene.written):
        yield Trouble(
            bare[0].path,
            f"{len(bare)} lines are only spoken: nobody taps them.",
            "Give each a `lane:`. In the editor, one key fits a rhythm to the words.",
        )
        return
    for told in bare:
        yield Trouble(
            told.path,
            f"{told.subject} is only spoken: nobody taps it.",
            "Give it a `lane:`, or leave it if silence on the board is meant.",
        )


RULE = Rule(
    id="lines-tapped",
    title="Every line is tapped",
    why="A line without taps tells nothing to a pupil who feels more than hears.",
    source=HOUSE_RULE,
    severity=Severity.ADVICE,
    find=_find,
    good=example('- words: Row the lan-tern\n  lane: "| X . x X . x |"'),
    bad=example("- words: Row the lan-tern"),
)
