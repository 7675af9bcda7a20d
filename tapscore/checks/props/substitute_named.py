"""Every prop that is used has a substitute."""

from collections.abc import Iterator

from tapscore.checks.examples import TAPS, example, whole_story
from tapscore.checks.props.props_are_used import used_in
from tapscore.checks.rule import NO_SOURCE, Found, Rule, Scene, found
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say


def _find(scene: Scene) -> Iterator[Found]:
    used = used_in(scene)
    for prop in scene.story.props:
        if prop.name in used and prop.instead is None:
            yield found(("props", prop.name), prop=prop.name)


RULE = Rule(
    id="substitute-named",
    title=say("Every prop has a substitute"),
    why=say(
        "On the morning of the telling something is missing. Whoever looks for another thing "
        "should know what matters about it."
    ),
    source=NO_SOURCE,
    severity=Severity.ADVICE,
    find=_find,
    good=whole_story(),
    bad=whole_story((", instead: a tin and a spoon", "")),
    more_good=(
        whole_story(("spoon}\n", "spoon}\n  cloth: {what: red cloth}\n")),
        example(TAPS),
    ),
    more_bad=(
        example("- offer: bell\n  look for: a look", extra="props: {bell: {what: a bell}}\n"),
        example(TAPS + "\n  prop in: bell", extra="props: {bell: {what: a bell}}\n"),
    ),
)
