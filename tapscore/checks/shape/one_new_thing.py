"""Only one prop comes on to the board at a time."""

from collections.abc import Iterator

from tapscore.checks.examples import TAPS, example, whole_story
from tapscore.checks.facts import LineFacts
from tapscore.checks.rule import NO_SOURCE, EachLine, Found, Rule, found
from tapscore.checks.setting import Setting
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say


def _find(_: Setting, facts: LineFacts) -> Iterator[Found]:
    props = tuple(entrance.prop for entrance in facts.line.props_in)
    if len(props) > 1:
        yield found(("prop in",), count=len(props), props=props)


_PROPS = "props: {bell: {what: a bell}, cloth: {what: a cloth}}\n"

RULE = Rule(
    id="one-new-thing",
    title=say("One new thing at a time"),
    why=say(
        "Two new things at once compete; the pupil who needs longest to find the first has "
        "lost both."
    ),
    source=say("one stimulus at a time: {no_source}", no_source=NO_SOURCE),
    severity=Severity.LOOK_AGAIN,
    find=EachLine(_find),
    good=whole_story(),
    bad=whole_story(
        ("spoon}\n", "spoon}\n  cloth: {what: red cotton cloth, instead: a red jumper}\n"),
        ("prop in: {bell: mat}", "prop in: [bell, cloth]"),
        ("prop out: bell", "prop out: [bell, cloth]"),
    ),
    more_good=(
        example(TAPS + "\n  prop in: bell", extra=_PROPS),
        example(TAPS + "\n  prop out: [bell, cloth]", extra=_PROPS),
    ),
    more_bad=(
        example(TAPS + "\n  prop in: [bell, cloth]", extra=_PROPS),
        example(TAPS + "\n  prop in: [bell, cloth]\n  prop out: bell", extra=_PROPS),
    ),
)
