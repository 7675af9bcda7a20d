"""Pupils on the board are on it with all that must be held."""

from collections.abc import Iterator

from tapscore.board.bodies import bodies_on
from tapscore.checks.examples import TAPS, on_board
from tapscore.checks.rule import HOUSE_RULE, Found, Rule, Scene, found
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say

PAST_CM = 2.0
"""How far the outline may go past the edge: it is no better than that."""


def _find(scene: Scene) -> Iterator[Found]:
    board = scene.setting.board
    if board is None or not scene.setting.on_the_board:
        return
    for body in bodies_on(board):
        past_cm = {part: mm / 10 for part, mm in body.past_edge_mm(board).items()}
        worst = next(
            (part for part in ("head", "body", "legs") if past_cm.get(part, 0) > PAST_CM), ""
        )
        if worst:
            yield found(
                ("board", "places", body.place.name),
                severity=Severity.ADVICE if worst == "legs" else None,
                place=body.place.name,
                part=worst,
                past_cm=past_cm[worst],
                lying="yes" if body.place.lying else "no",
                tall_cm=body.build.stature_mm / 10,
            )


RULE = Rule(
    id="bodies-on-the-sheet",
    title=say("Pupils lie and sit on the sheet"),
    why=say(
        "A head or a trunk over the edge hangs or is held by nobody, and legs over it need "
        "something under them as high as the board."
    ),
    source=say(
        "{house_rule}; sizes from Snyder et al. (1977) and UK growth references, of the "
        "oldest pupil",
        house_rule=HOUSE_RULE,
    ),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=on_board(TAPS, places="A: {at: [60, 75], lying: true, head: west}"),
    bad=on_board(TAPS, places="A: {at: [40, 75], lying: true, head: west}"),
    more_good=(
        on_board(TAPS, places="A: {at: [52.7, 75], lying: true, head: west}"),  # 1.9 cm past
        on_board(TAPS, places="A: {at: [20, 75]}"),
    ),
    more_bad=(
        on_board(TAPS, places="A: {at: [52.5, 75], lying: true, head: west}"),  # 2.1 cm past
        on_board(TAPS, places="A: {at: [80, 75], lying: true, head: west}"),
    ),
)
