"""The areas of learning that lines name cover the prime ones."""

from collections.abc import Iterator

from tapscore.checks.examples import TAPS, example, whole_story
from tapscore.checks.rule import Found, Rule, Scene, found
from tapscore.model.curriculum import EYFS_AREAS, PRIME_AREAS
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say


def _find(scene: Scene) -> Iterator[Found]:
    named = dict.fromkeys(area for told in scene.written for area in told.line.areas)
    covered = [area for area in named if area in EYFS_AREAS]
    gaps = [area for area in PRIME_AREAS if area not in covered]
    if covered and gaps:
        yield found(("story",), covered=tuple(covered), gaps=tuple(gaps))


_ALL = (
    "        areas: [Communication and Language, Physical Development]\n"
    "        do: hold up the picture of the hill\n"
)

RULE = Rule(
    id="areas-spread",
    title=say("The prime areas are all there"),
    why=say(
        "Where lines name areas of learning, the term's plan can be read from the story. Naming "
        "none is as good."
    ),
    source=say("Statutory framework for the early years foundation stage (DfE): three prime areas"),
    severity=Severity.ADVICE,
    find=_find,
    good=whole_story(
        ("        do: hold up the picture of the hill\n", _ALL),
        (
            "        prop in: {bell: mat}\n",
            '        areas: "Personal, Social and Emotional Development"\n'
            "        prop in: {bell: mat}\n",
        ),
    ),
    bad=whole_story(("        do: hold up the picture of the hill\n", _ALL)),
    more_good=(
        example(TAPS),
        example(TAPS + "\n  areas: exploration"),
    ),
    more_bad=(
        example(TAPS + "\n  areas: Literacy"),
        example(TAPS + "\n  areas: [Communication and Language, Physical Development]"),
    ),
)
