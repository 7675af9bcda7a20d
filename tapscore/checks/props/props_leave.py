"""Every prop that comes leaves again."""

from collections.abc import Iterator

from attrs import evolve

from tapscore.checks.props.coming_and_going import Move, prop_moves
from tapscore.checks.rule import NO_SOURCE, Rule, Scene, Trouble
from tapscore.checks.walk import edit_line, line_at, section_items
from tapscore.checks.whole_example import whole_story
from tapscore.model.finding import Severity
from tapscore.model.story import Line, Story


def _find(scene: Scene) -> Iterator[Trouble]:
    for found in prop_moves(scene):
        if found.move is Move.STAYS:
            yield Trouble(
                found.path,
                f"“{found.prop}” comes on to the board and never leaves.",
                "Add `prop out:` to the line with which it goes; the last one at the latest.",
            )


def _fix(story: Story, trouble: Trouble) -> Story | None:
    line = line_at(story, trouble.path)
    last = [path for path, item in section_items(story) if isinstance(item, Line)]
    names = [e.prop for e in line.props_in if f"“{e.prop}”" in trouble.message] if line else []
    if not names or not last or last[-1] == trouble.path[:-1]:
        return None
    return edit_line(
        story, last[-1], lambda each: evolve(each, props_out=(*each.props_out, names[0]))
    )


RULE = Rule(
    id="props-leave",
    title="Every prop leaves again",
    why="A thing that stays on the board goes on asking for attention, and the next line gets "
    "none. Saying goodbye to it is a cue too.",
    source=NO_SOURCE,
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=whole_story(),
    bad=whole_story(("        prop out: bell\n", "")),
    fix=_fix,
    mends="Lets the prop leave with the last line.",
)
