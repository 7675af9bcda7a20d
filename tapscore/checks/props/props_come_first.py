"""A prop comes on to the board before it is offered or leaves, and comes once."""

from collections.abc import Iterator

from attrs import evolve

from tapscore.checks.examples import TAPS, example, whole_story
from tapscore.checks.props.coming_and_going import Move, prop_moves
from tapscore.checks.rule import HOUSE_RULE, Found, Rule, Scene, found
from tapscore.model.edits import item_at
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Entrance, Line, Offer, Story
from tapscore.model.walk import edit_line, item_path, section_items
from tapscore.wording.catalogue import say

_CASES = {
    Move.OFFERED_BEFORE: "offered",
    Move.LEAVES_BEFORE: "leaves",
    Move.COMES_AGAIN: "again",
}


def _find(scene: Scene) -> Iterator[Found]:
    for move in prop_moves(scene):
        if move.move in _CASES:
            yield found(move.path, case=_CASES[move.move], prop=move.prop)


def _fix(story: Story, finding: Finding) -> Story | None:
    path = item_path(finding.path)
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


_BELL = "props: {bell: {what: a bell}}\n"

RULE = Rule(
    id="props-come-first",
    title=say("A prop comes before it is offered or leaves"),
    why=say(
        "The cards say when a prop comes. If they don't, it is still in its box when the "
        "first pupil's turn begins."
    ),
    source=HOUSE_RULE,
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=whole_story(),
    bad=whole_story(("        prop in: {bell: mat}\n", "")),
    more_good=(
        example(TAPS + "\n  prop in: bell", "- offer: bell", extra=_BELL),
        example(
            TAPS + "\n  prop in: bell",
            TAPS + "\n  prop out: bell",
            TAPS + "\n  prop in: bell",
            extra=_BELL,
        ),
    ),
    more_bad=(
        example(TAPS + "\n  prop out: bell", extra=_BELL),
        example(TAPS + "\n  prop in: bell", TAPS + "\n  prop in: bell", extra=_BELL),
    ),
    fix=_fix,
    mends=say("Lets the prop come on the line before the turns."),
)
