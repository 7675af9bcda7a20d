"""Nobody taps where a pupil's head is, or on a pupil's place."""

from collections.abc import Iterator

from tapscore.board.bodies import Body, bodies_on
from tapscore.checks.examples import example
from tapscore.checks.rule import HOUSE_RULE, Found, Rule, Scene, found
from tapscore.model.board import Point
from tapscore.model.finding import Severity
from tapscore.wording.about import LineName
from tapscore.wording.catalogue import say

HEAD_CLEAR_CM = 15.0
"""From the head's own edge."""
MARGIN_CM = 2.0


def _find(scene: Scene) -> Iterator[Found]:
    setting = scene.setting
    board = setting.board
    if board is None or not setting.on_the_board:
        return
    for spot, lines in _tapped(scene).items():
        point = setting.spot(spot)
        for body in bodies_on(board) if point is not None else ():
            assert point is not None
            near = _near(body, point)
            if near is not None:
                away_cm, part = near
                yield found(
                    ("board", "spots", spot),
                    spot=spot,
                    line=lines[0],
                    more=len(lines) - 1,
                    place=body.place.name,
                    near=part,
                    away_cm=away_cm,
                )


def _tapped(scene: Scene) -> dict[str, list[LineName]]:
    """Spots with the lines that tap them."""
    tapped: dict[str, list[LineName]] = {}
    for told in scene.written:
        for spot in told.facts.spots:
            tapped.setdefault(spot, []).append(told.name)
    return tapped


def _near(body: Body, point: Point) -> tuple[float, str] | None:
    """How far in centimetres, and which part of a pupil is too near; None if neither is."""
    if body.head is not None:
        head_cm = body.distance_mm(point, "head") / 10
        if head_cm < HEAD_CLEAR_CM:
            return max(head_cm, 0.0), "head"
    body_cm = body.distance_mm(point) / 10
    return (max(body_cm, 0.0), "body") if body_cm < MARGIN_CM else None


_BOARD = (
    "board: {{size_cm: [120, 90], spots: {{middle: [60, 45]}},\n"
    "  places: {{A: {{at: [60, {}], lying: true, head: west}}}}}}\nspot: middle\n"
)
_LINE = '- words: Row the lan-tern\n  lane: "| X . x X . x |"'


def _lying(x_cm: float, y_cm: float, spot_cm: int) -> str:
    return example(
        _LINE,
        extra=f"board: {{size_cm: [200, 90], spots: {{s: [{spot_cm}, 45]}},\n"
        f"  places: {{A: {{at: [{x_cm}, {y_cm}], lying: true, head: west}}}}}}\nspot: s\n",
    )


RULE = Rule(
    id="clear-of-pupils",
    title=say("Taps keep clear of pupils' heads"),
    why=say(
        "Close by, a tap is felt and heard far more strongly than elsewhere on the board, "
        "most of all through the skull."
    ),
    source=say(
        "{house_rule}: {head_clear:.0f} cm from a head, {margin:.0f} cm from the rest of a "
        "body; its size from Snyder et al. (1977) and UK growth references",
        house_rule=HOUSE_RULE,
        head_clear=HEAD_CLEAR_CM,
        margin=MARGIN_CM,
    ),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=example(_LINE, extra=_BOARD.format(75)),
    bad=example(_LINE, extra=_BOARD.format(50)),
    more_good=(
        _lying(90.5, 45, 20),
        _lying(60, 60.5, 60),
    ),
    more_bad=(
        _lying(89, 45, 20),
        _lying(60, 60.3, 60),
    ),
)
