"""No pupil lies or sits on another."""

from collections.abc import Iterator
from itertools import combinations

from tapscore.board.bodies import body_of
from tapscore.checks.examples import TAPS, on_board
from tapscore.checks.rule import HOUSE_RULE, Found, Rule, Scene, found
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say

APART_CM = 5.0


def _find(scene: Scene) -> Iterator[Found]:
    board = scene.setting.board
    if board is None or not scene.setting.on_the_board:
        return
    bodies = [body_of(place, board) for place in board.places]
    for one, other in combinations(bodies, 2):
        apart_cm = one.apart_mm(other) / 10
        if apart_cm < APART_CM:
            yield found(
                ("board", "places", other.place.name),
                place=other.place.name,
                other=one.place.name,
                case="overlap" if apart_cm < 0 else "close",
                apart_cm=max(apart_cm, 0.0),
            )


RULE = Rule(
    id="bodies-apart",
    title=say("Pupils have room beside one another"),
    why=say("An arm that moves, or a turn to the other side, must not land on somebody."),
    source=say(
        "{house_rule}: {apart:.0f} cm between two outlines; sizes as above",
        house_rule=HOUSE_RULE,
        apart=APART_CM,
    ),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=on_board(TAPS, places="A: {at: [60, 75], lying: true, head: west}, B: {at: [20, 25]}"),
    bad=on_board(TAPS, places="A: {at: [60, 75], lying: true, head: west}, B: {at: [20, 55]}"),
    more_good=(
        on_board(TAPS, places="A: {at: [20, 20]}, B: {at: [52, 20]}"),  # 32 - 26.8 = 5.2 cm
        on_board(TAPS, places="A: {at: [20, 20]}"),
    ),
    more_bad=(
        on_board(TAPS, places="A: {at: [20, 20]}, B: {at: [51.7, 20]}"),  # 4.9 cm
        on_board(TAPS, places="A: {at: [20, 20]}, B: {at: [20, 20]}"),
    ),
)
