"""The story has a cue for its start and one for its finish."""

from collections.abc import Iterator

from attrs import evolve

from tapscore.checks.facts import Told
from tapscore.checks.rule import NO_SOURCE, Rule, Scene, Trouble
from tapscore.checks.shape.sizes import SHAPE_FROM_LINES
from tapscore.checks.walk import edit_line
from tapscore.checks.whole_example import whole_story
from tapscore.model.finding import Severity
from tapscore.model.story import Story

START = "show that the story begins, in the same way every time"
FINISH = "show that the story is finished, in the same way every time"


def _find(scene: Scene) -> Iterator[Trouble]:
    if len(scene.told) < SHAPE_FROM_LINES:
        return
    first, last = scene.told[0], scene.told[-1]
    if not (_cue(first) or first.line.props_in):
        yield Trouble(
            first.path,
            f"{first.subject} starts the story without a cue that it begins.",
            "Add `do:`, `warn first:` or a prop that always comes first, or start with the "
            "refrain.",
        )
    if not (_cue(last) or last.line.props_out):
        yield Trouble(
            last.path,
            f"{last.subject} ends the story without a cue that it is finished.",
            "Add `do:` with what always ends it, let a prop go with `prop out:`, or end with "
            "the refrain.",
        )


def _cue(told: Told) -> bool:
    line = told.line
    return bool(line.do or line.warn_first or told.segment.refrain)


def _fix(story: Story, trouble: Trouble) -> Story | None:
    words = START if "without a cue that it begins" in trouble.message else FINISH
    return edit_line(story, trouble.path, lambda line: evolve(line, do=words))


RULE = Rule(
    id="start-and-finish",
    title="Start and finish have a cue",
    why="The same greeting and the same finish, week after week, tell pupils where they are. "
    "Without a finish the ending is only something that stops.",
    source=NO_SOURCE,
    severity=Severity.ADVICE,
    find=_find,
    good=whole_story(),
    bad=whole_story(("        do: hold up the picture of the hill\n", "")),
    fix=_fix,
    mends="Adds something to do there; put your own words in.",
)
