"""There is a place for every pupil, and the sheet has room for those on it."""

from collections.abc import Iterator

from tapscore.board.bodies import bodies_on
from tapscore.checks.examples import TAPS, example
from tapscore.checks.rule import HOUSE_RULE, Found, Rule, Scene, found
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say

ROUND_CM = 5.0
"""Room round each pupil."""


def _find(scene: Scene) -> Iterator[Found]:
    setting = scene.setting
    board = setting.board
    if board is None or not board.places or not setting.on_the_board:
        return
    pupils = scene.story.pupil_count
    if pupils > len(board.places):
        yield found(("pupils",), case="places", pupils=pupils, places=len(board.places))
    needed = 0.0
    bodies = bodies_on(board)
    for body in bodies:
        west, south, east, north = body.box
        needed += (east - west + 20 * ROUND_CM) * (north - south + 20 * ROUND_CM)
    if needed > float(board.width_mm * board.depth_mm):
        yield found(("board", "places"), case="sheet", places=len(bodies))


def _pupils(count: int, places: str, size: str = "[120, 90]") -> str:
    return example(
        TAPS,
        extra=f"pupils: {count}\nboard: {{size_cm: {size}, spots: {{middle: [60, 45]}},\n"
        f"  places: {{{places}}}}}\nspot: middle\n",
    )


_TWO = "A: {at: [20, 20]}, B: {at: [95, 20]}"
_SMALL = "A: {at: [20, 20]}"
_SIDE_CM = "[37, 36.6]"

RULE = Rule(
    id="room-for-all",
    title=say("Every pupil has a place, and the sheet has room"),
    why=say(
        "Who has no place on the plan is put somewhere on the day, most likely too near to "
        "another or half on the board."
    ),
    source=say(
        "{house_rule}: a place for each, and {round:.0f} cm round everybody",
        house_rule=HOUSE_RULE,
        round=ROUND_CM,
    ),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=_pupils(2, _TWO),
    bad=_pupils(3, _TWO),
    more_good=(
        _pupils(3, _TWO + ", C: {at: [150, 20]}"),
        _pupils(1, _SMALL, "[37, 37]"),  # 26.8 and twice 5 are 36.8 cm
    ),
    more_bad=(_pupils(8, _TWO), _pupils(1, _SMALL, _SIDE_CM)),
)
