"""A wait or a turn says what to look for."""

from collections.abc import Iterator

from tapscore.checks.examples import example, whole_story
from tapscore.checks.rule import NO_SOURCE, Found, Rule, Scene, found
from tapscore.model.finding import Severity
from tapscore.model.story import Offer
from tapscore.model.walk import said_before
from tapscore.wording.catalogue import say


def _find(scene: Scene) -> Iterator[Found]:
    for path, item in scene.waiting:
        if item.look_for is None:
            if isinstance(item, Offer):
                yield found(path, case="turn", prop=item.prop)
            else:
                yield found(path, case="wait", after=said_before(scene.story, path))


_BEFORE = '- words: Row the lan-tern\n  lane: "| X . x X . x |"\n'

RULE = Rule(
    id="look-for-named",
    title=say("Waits and turns say what to look for"),
    why=say(
        "Supply staff don't know that holding one's breath is an answer. What isn't looked "
        "for is not seen."
    ),
    source=NO_SOURCE,
    severity=Severity.ADVICE,
    find=_find,
    good=example(_BEFORE + "- wait: 10\n  look for: a held breath"),
    bad=example(_BEFORE + "- wait: 10"),
    more_good=(
        whole_story(),
        example(_BEFORE),
    ),
    more_bad=(
        whole_story(
            ("        turn: 30\n        look for: fingers that close\n", "        turn: 30\n")
        ),
        example("- wait: 10", _BEFORE),
    ),
)
