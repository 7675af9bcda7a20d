"""Nobody taps where a pupil's head is, or on a pupil's place."""

from collections.abc import Iterator

from tapscore.board.bodies import Body, bodies_on
from tapscore.checks.rule import HOUSE_RULE, Rule, Scene, Trouble, example
from tapscore.model.board import Point
from tapscore.model.comfort import Stage
from tapscore.model.finding import Severity

HEAD_CLEAR_CM = 15.0
"""From the head's own edge."""
MARGIN_CM = 2.0


def _find(scene: Scene) -> Iterator[Trouble]:
    setting = scene.setting
    board, stage = setting.board, setting.comfort.stage
    if board is None or stage in (Stage.ON_A_TABLE, Stage.BESIDE_THE_BOARD):
        return
    for spot, lines in _tapped(scene).items():
        point = setting.spot(spot)
        for body in bodies_on(board) if point is not None else ():
            assert point is not None
            problem = _problem(body, point)
            if problem:
                where = lines[0] if len(lines) == 1 else f"{lines[0]} and {len(lines) - 1} more"
                yield Trouble(
                    ("board", "spots", spot),
                    f"“{spot}” is tapped ({where[0].lower()}{where[1:]}), but it is {problem} at "
                    f"{body.place.name}.",
                    "Move the place or the spot on the board, or tap another spot.",
                )


def _tapped(scene: Scene) -> dict[str, list[str]]:
    """Spots with the lines that tap them."""
    tapped: dict[str, list[str]] = {}
    for told in scene.written:
        for spot in dict.fromkeys(touch.spot for touch in told.facts.touches):
            if spot is not None:
                tapped.setdefault(spot, []).append(told.subject)
    return tapped


def _problem(body: Body, point: Point) -> str:
    if body.head is not None:
        head_cm = body.distance_mm(point, "head") / 10
        if head_cm < HEAD_CLEAR_CM:
            return f"{max(head_cm, 0):.0f} cm from the head of the pupil lying"
    return "just where the pupil is" if body.distance_mm(point) < 10 * MARGIN_CM else ""


_BOARD = (
    "board: {{size_cm: [120, 90], spots: {{middle: [60, 45]}},\n"
    "  places: {{A: {{at: [60, {}], lying: true, head: west}}}}}}\nspot: middle\n"
)
_LINE = '- words: Row the lan-tern\n  lane: "| X . x X . x |"'

RULE = Rule(
    id="clear-of-pupils",
    title="Taps keep clear of pupils' heads",
    why="Close by, a tap is felt and heard far more strongly than elsewhere on the board, "
    "most of all through the skull.",
    source=f"{HOUSE_RULE}: {HEAD_CLEAR_CM:.0f} cm from a head, {MARGIN_CM:.0f} cm from the rest "
    "of a body; its size from Snyder et al. (1977) and UK growth references",
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=example(_LINE, extra=_BOARD.format(75)),
    bad=example(_LINE, extra=_BOARD.format(50)),
)
