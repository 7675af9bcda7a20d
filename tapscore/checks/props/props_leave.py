"""Every prop that comes leaves again."""

from collections.abc import Iterator

from attrs import evolve

from tapscore.checks.examples import TAPS, example, whole_story
from tapscore.checks.props.coming_and_going import Move, prop_moves
from tapscore.checks.rule import NO_SOURCE, Found, Rule, Scene, found
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Line, Story
from tapscore.model.walk import edit_line, section_items
from tapscore.wording.catalogue import say


def _find(scene: Scene) -> Iterator[Found]:
    for move in prop_moves(scene):
        if move.move is Move.STAYS:
            yield found(move.path, prop=move.prop)


def _fix(story: Story, finding: Finding) -> Story | None:
    prop = finding.about["prop"]
    last = [path for path, item in section_items(story) if isinstance(item, Line)]
    if not isinstance(prop, str) or not last or last[-1] == finding.path[:-1]:
        return None
    return edit_line(story, last[-1], lambda each: evolve(each, props_out=(*each.props_out, prop)))


_BELL = "props: {bell: {what: a bell}}\n"

RULE = Rule(
    id="props-leave",
    title=say("Every prop leaves again"),
    why=say(
        "A thing that stays on the board goes on asking for attention, and the next line gets "
        "none. Saying goodbye to it is a cue too."
    ),
    source=NO_SOURCE,
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=whole_story(),
    bad=whole_story(("        prop out: bell\n", "")),
    more_good=(
        example(TAPS),
        example(TAPS + "\n  prop in: bell", TAPS + "\n  prop out: bell", extra=_BELL),
    ),
    more_bad=(
        example(TAPS + "\n  prop in: bell", TAPS, extra=_BELL),
        example(TAPS + "\n  prop in: bell\n  prop out: bell", TAPS, extra=_BELL),
    ),
    fix=_fix,
    mends=say("Lets the prop leave with the last line."),
)
