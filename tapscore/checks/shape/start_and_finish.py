"""The story has a cue for its start and one for its finish."""

from collections.abc import Iterator

from attrs import evolve

from tapscore.checks.examples import TAPS, example, whole_story
from tapscore.checks.facts import HeardLine
from tapscore.checks.rule import NO_SOURCE, SHAPE_FROM_LINES, Found, Rule, Scene, found
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story
from tapscore.model.walk import edit_line
from tapscore.wording.catalogue import say

START = say("show that the story begins, in the same way every time")
FINISH = say("show that the story is finished, in the same way every time")


def _find(scene: Scene) -> Iterator[Found]:
    if len(scene.told) < SHAPE_FROM_LINES:
        return
    first, last = scene.told[0], scene.told[-1]
    if not (_cue(first) or first.line.props_in):
        yield found(first.path, case="start", line=first.name)
    if not (_cue(last) or last.line.props_out):
        yield found(last.path, case="finish", line=last.name)


def _cue(told: HeardLine) -> bool:
    line = told.line
    return bool(line.do or line.warn_first or told.segment.refrain)


def _fix(story: Story, finding: Finding) -> Story | None:
    words = START if finding.about["case"] == "start" else FINISH
    return edit_line(story, finding.path, lambda line: evolve(line, do=words))


_REFRAIN = "refrains:\n  home:\n    - words: Row home\n"
_RETURN = "- refrain: home"

RULE = Rule(
    id="start-and-finish",
    title=say("Start and finish have a cue"),
    why=say(
        "The same greeting and the same finish, week after week, tell pupils where they are. "
        "Without a finish the ending is only something that stops."
    ),
    source=NO_SOURCE,
    severity=Severity.ADVICE,
    find=_find,
    good=whole_story(),
    bad=whole_story(("        do: hold up the picture of the hill\n", "")),
    more_good=(
        example(*[TAPS] * 5),
        example(_RETURN, *[TAPS] * 6, _RETURN, extra=_REFRAIN),
    ),
    more_bad=(
        example(*[TAPS] * 6),
        example(_RETURN, *[TAPS] * 6, extra=_REFRAIN),
    ),
    fix=_fix,
    mends=say("Adds something to do there; put your own words in."),
)
