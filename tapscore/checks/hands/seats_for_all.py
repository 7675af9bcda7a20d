"""Whoever taps has a seat at the board, and a seat of their own."""

from collections import Counter
from collections.abc import Iterator

from tapscore.checks.examples import example
from tapscore.checks.rule import HOUSE_RULE, Found, Rule, Scene, found
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say


def _find(scene: Scene) -> Iterator[Found]:
    board = scene.story.board
    if board is None or not board.seats:
        return
    tapping = {role for told in scene.written for role in told.facts.role_sec}
    taken = Counter(role.seat for role in scene.story.roles if role.seat is not None)
    first: dict[str, str] = {}
    for role in scene.story.roles:
        if role.seat is None:
            if role.name in tapping:
                yield found(("roles", role.name), case="none", role=role.name)
        elif taken[role.seat] > 1 and first.setdefault(role.seat, role.name) != role.name:
            yield found(
                ("roles", role.name, "seat"),
                case="shared",
                role=role.name,
                other=first[role.seat],
                seat=role.seat,
            )


_LINES = (
    '- words: Row the lan-tern\n  lane: "| X . x X . x |"\n  by: leader\n'
    '- words: down in the net\n  lane: "| X x x X . . |"\n  by: second tapper'
)
_BOARD = "board: {size_cm: [120, 90], seats: {east: [120, 45], west: [0, 45]}}\n"

RULE = Rule(
    id="seats-for-all",
    title=say("Whoever taps has a seat of their own"),
    why=say(
        "Two adults on one seat, or one without, is found out when everybody stands round the "
        "board and the pupils are waiting."
    ),
    source=HOUSE_RULE,
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=example(
        _LINES, extra=_BOARD + "roles: {leader: {seat: east}, second tapper: {seat: west}}\n"
    ),
    bad=example(
        _LINES, extra=_BOARD + "roles: {leader: {seat: east}, second tapper: {seat: east}}\n"
    ),
    more_good=(
        example(_LINES, extra="roles: {leader: , second tapper: }\n"),
        example(
            _LINES,
            extra=_BOARD
            + "roles: {leader: {seat: east}, second tapper: {seat: west}, observer: }\n",
        ),
    ),
    more_bad=(
        example(_LINES, extra=_BOARD + "roles: {leader: {seat: east}, second tapper: }\n"),
        example(
            _LINES,
            extra=_BOARD
            + "roles: {leader: {seat: west}, second tapper: {seat: west}, observer: }\n",
        ),
    ),
)
