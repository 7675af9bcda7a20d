"""The way of a hand from its seat to the spot crosses no pupil."""

from collections.abc import Iterator

from tapscore.board import bodies
from tapscore.checks.examples import example, tapped
from tapscore.checks.rule import HOUSE_RULE, Found, Rule, Scene, found
from tapscore.checks.tapping import tapped_spots
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say


def _find(scene: Scene) -> Iterator[Found]:
    setting = scene.setting
    board = setting.board
    if board is None or not setting.on_the_board:
        return
    there = bodies.bodies_on(board)
    for (role, spot), lines in tapped_spots(scene).items():
        seat, point = setting.seat(role), setting.spot(spot)
        if seat is None or point is None:
            continue
        for body in there:
            clear_mm, part = body.clear_mm(seat, point)
            if clear_mm < bodies.HAND_MM / 2:
                yield found(
                    lines[0].path,
                    line=lines[0].name,
                    more=len(lines) - 1,
                    role=role,
                    spot=spot,
                    place=body.place.name,
                    part=part,
                )


def _scene(places: str) -> str:
    return example(
        tapped("Row the lan-tern", "| X . x X . x |"),
        extra="board: {size_cm: [120, 90], spots: {middle: [60, 45]}, seats: {east: [120, 45]},\n"
        f"  places: {{{places}}}}}\nroles: {{leader: {{seat: east}}}}\nspot: middle\n",
    )


RULE = Rule(
    id="hands-clear-of-pupils",
    title=say("Hands reach their spots past the pupils"),
    why=say(
        "An arm over a pupil's face or body startles, and leans on the pupil when it gets tired."
    ),
    source=say(
        "{house_rule}: a forearm {hand:.0f} cm wide on the straight way; bodies as above",
        house_rule=HOUSE_RULE,
        hand=bodies.HAND_MM / 10,
    ),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=_scene("A: {at: [85, 20]}"),
    bad=_scene("A: {at: [85, 42]}"),
    # A sitting pupil is 13.4 cm from the middle outwards, half a forearm 4.5 cm.
    more_good=(_scene("A: {at: [85, 27]}"), _scene("A: {at: [60, 75], lying: true, head: west}")),
    more_bad=(_scene("A: {at: [85, 27.2]}"), _scene("A: {at: [90, 60]}")),
)
