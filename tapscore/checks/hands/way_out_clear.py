"""No adult sits where the way out is."""

from collections.abc import Iterator

from tapscore.board import bodies
from tapscore.checks.examples import TAPS, example
from tapscore.checks.rule import HOUSE_RULE, Found, Rule, Scene, found
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say


def _find(scene: Scene) -> Iterator[Found]:
    board = scene.story.board
    if board is None or board.way_out is None:
        return
    needed_cm = (bodies.WAY_MM + bodies.CHAIR_MM) / 20
    for seat in board.seats:
        away_cm = seat.at.distance_mm(board.way_out) / 10
        who = scene.story.sitting.get(seat.name)
        if who is not None and away_cm < needed_cm:
            yield found(
                ("board", "seats", seat.name),
                role=who,
                seat=seat.name,
                away_cm=away_cm,
                needed_cm=needed_cm,
            )


def _scene(out: str, role: str = "leader: {seat: east}") -> str:
    return example(
        TAPS,
        extra="board: {size_cm: [120, 120], spots: {middle: [90, 45]}, seats: {east: [120, 45]},\n"
        f"  way out: {out}}}\nroles: {{{role}}}\nspot: middle\n",
    )


RULE = Rule(
    id="way-out-clear",
    title=say("The way out is clear"),
    why=say(
        "Everybody may come away at any time, and in an alarm at once: a chair in the way costs "
        "the moment that matters."
    ),
    source=say(
        "{house_rule}: {way:.0f} cm for a wheelchair (Approved Document M, from memory), "
        "beside a chair of {chair:.0f} cm",
        house_rule=HOUSE_RULE,
        way=bodies.WAY_MM / 10,
        chair=bodies.CHAIR_MM / 10,
    ),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=_scene("[0, 45]"),
    bad=_scene("[120, 60]"),
    more_good=(_scene("[120, 112.6]"), _scene("[0, 120]")),
    more_bad=(_scene("[120, 112.4]"), _scene("[120, 45]")),
)
