"""It is known which way the grain of the board runs."""

from collections.abc import Iterator

from tapscore.checks.examples import TAPS, on_board
from tapscore.checks.felt.levels import has_places
from tapscore.checks.rule import Found, Rule, Scene, found
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say


def _find(scene: Scene) -> Iterator[Found]:
    from tapscore.board.facade import board_facts

    if has_places(scene) and not board_facts(scene.story.board).grain_known:
        yield found(("board", "sheet", "grain"))


RULE = Rule(
    id="grain-known",
    title=say("The way the grain runs is known"),
    why=say(
        "Plywood of 4 mm is some sixteen times as stiff along its outer layers as across, and "
        "that changes what is felt where more than anything but the pupils."
    ),
    source=say("the board's model; stiffness of plywood from trade tables, from memory"),
    severity=Severity.ADVICE,
    find=_find,
    good=on_board(TAPS, places="A: {at: [60, 20]}"),
    bad=on_board(TAPS, places="A: {at: [60, 20]}", grain="not known"),
    more_good=(
        on_board(TAPS, places="A: {at: [60, 20]}", grain="short"),
        on_board(TAPS, places="A: {at: [150, 45]}", grain="not known"),
    ),
    more_bad=(
        on_board(TAPS, places="A: {at: [60, 20]}").replace(", grain: long", ""),
        on_board(TAPS, places="A: {at: [60, 20]}, B: {at: [20, 20]}", grain="not known"),
    ),
)
