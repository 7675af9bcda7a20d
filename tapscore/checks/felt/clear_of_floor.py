"""The board does not sink on to the floor under the pupils."""

from collections.abc import Iterator

from tapscore.checks.examples import TAPS, on_board
from tapscore.checks.felt.levels import has_places
from tapscore.checks.rule import Found, Rule, Scene, found
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say


def _find(scene: Scene) -> Iterator[Found]:
    from tapscore.board.facade import board_facts

    if not has_places(scene):
        return
    sag = board_facts(scene.story.board).sag
    if sag.may_touch:
        yield found(("board", "gap_mm"), sinks_mm=sag.deepest_mm, gap_mm=sag.gap_mm)


RULE = Rule(
    id="clear-of-floor",
    title=say("The board stays off the floor"),
    why=say("A board that touches the floor passes on little of a tap."),
    source=say(
        "an estimate of one shape of the board (von Karman's plate), for a child's mass at "
        "each place (18.5 kg at five)"
    ),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=on_board(TAPS, places="A: {at: [60, 20]}"),
    bad=on_board(TAPS, places="A: {at: [60, 20]}", gap_mm=5),
    more_good=(
        on_board(TAPS, places="A: {at: [60, 20]}", gap_mm=18),
        on_board(TAPS, places="A: {at: [150, 45]}", gap_mm=5),
    ),
    more_bad=(
        on_board(TAPS, places="A: {at: [60, 20]}", gap_mm=16),
        on_board(TAPS, places="A: {at: [60, 20]}, B: {at: [60, 70]}", gap_mm=8),
    ),
)
