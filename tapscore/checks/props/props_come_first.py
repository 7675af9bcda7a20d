"""A prop comes on to the board before it is offered or leaves, and comes once."""

from collections.abc import Iterator

from attrs import evolve

from tapscore.checks.props.coming_and_going import Move, prop_moves
from tapscore.checks.rule import HOUSE_RULE, Rule, Scene, Trouble
from tapscore.checks.walk import edit_line, item_path, section_items
from tapscore.checks.whole_example import whole_story
from tapscore.model.edits import item_at
from tapscore.model.finding import Severity
from tapscore.model.story import Entrance, Line, Offer, Story

_SAYS = {
    Move.OFFERED_BEFORE: (
        "is offered before it has come on to the board.",
        "Add `prop in:` to the line before the turns.",
    ),
    Move.LEAVES_BEFORE: (
        "leaves here, but it is not on the board.",
        "Add `prop in:` to an earlier line, or take this `prop out:` away.",
    ),
    Move.COMES_AGAIN: (
        "comes here, but it is on the board already.",
        "Take one `prop in:` away, or let it leave between.",
    ),
}


def _find(scene: Scene) -> Iterator[Trouble]:
    for found in prop_moves(scene):
        if found.move in _SAYS:
            says, remedy = _SAYS[found.move]
            yield Trouble(found.path, f"“{found.prop}” {says}", remedy)


def _fix(story: Story, trouble: Trouble) -> Story | None:
    path = item_path(trouble.path)
    item = item_at(story, path) if path else None
    if path is None or path[0] != "story" or not isinstance(item, Offer):
        return None
    lines = [p for p, each in section_items(story) if isinstance(each, Line) and _before(p, path)]
    if not lines:
        return None
    entrance = Entrance(item.prop)
    return edit_line(
        story, lines[-1], lambda line: evolve(line, props_in=(*line.props_in, entrance))
    )


def _before(one: tuple[str | int, ...], other: tuple[str | int, ...]) -> bool:
    return (int(one[1]), int(one[3])) < (int(other[1]), int(other[3]))


RULE = Rule(
    id="props-come-first",
    title="A prop comes before it is offered or leaves",
    why="The cards say when a prop comes. If they don't, it is still in its box when the "
    "first pupil's turn begins.",
    source=HOUSE_RULE,
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=whole_story(),
    bad=whole_story(("        prop in: {bell: middle}\n", "")),
    fix=_fix,
    mends="Lets the prop come on the line before the turns.",
)
