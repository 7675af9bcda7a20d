"""Nobody taps where a pupil's head is, or on a pupil's place."""

from collections.abc import Iterator
from fractions import Fraction

from tapscore.checks.rule import HOUSE_RULE, Rule, Scene, Trouble, example
from tapscore.checks.setting import distance_cm, point_beside
from tapscore.model.board import Place, Point
from tapscore.model.comfort import Stage
from tapscore.model.finding import Severity

HEAD_MM = Fraction(350)
"""From the middle of a lying child of three to seven to the middle of the head."""
HEAD_CLEAR_CM = 25.0
BODY_CM = (90.0, 28.0)
"""Length and width of what a lying pupil covers; sitting, the width both ways."""
MARGIN_CM = 2.0


def _find(scene: Scene) -> Iterator[Trouble]:
    setting = scene.setting
    board, stage = setting.board, setting.comfort.stage
    if board is None or stage in (Stage.ON_A_TABLE, Stage.BESIDE_THE_BOARD):
        return
    for spot, lines in _tapped(scene).items():
        point = setting.spot(spot)
        for place in board.places if point is not None else ():
            assert point is not None
            problem = _problem(place, point)
            if problem:
                where = lines[0] if len(lines) == 1 else f"{lines[0]} and {len(lines) - 1} more"
                yield Trouble(
                    ("board", "spots", spot),
                    f"“{spot}” is tapped ({where[0].lower()}{where[1:]}), but it is {problem} at "
                    f"{place.name}.",
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


def _problem(place: Place, point: Point) -> str:
    if place.lying and place.head is not None:
        head = point_beside(place.at, place.head, HEAD_MM)
        if distance_cm(point, head) < HEAD_CLEAR_CM:
            return f"{distance_cm(point, head):.0f} cm from the head of the pupil lying"
    return "just where the pupil is" if _covered(place, point) else ""


def _covered(place: Place, point: Point) -> bool:
    long, wide = BODY_CM
    if not place.lying:
        long = wide
    elif place.head is None:
        return distance_cm(point, place.at) < wide / 2 + MARGIN_CM
    x_cm, y_cm = (long, wide) if place.head in ("east", "west") else (wide, long)
    return (
        abs(float(point.x_mm - place.at.x_mm)) / 10 < x_cm / 2 + MARGIN_CM
        and abs(float(point.y_mm - place.at.y_mm)) / 10 < y_cm / 2 + MARGIN_CM
    )


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
    source=f"{HOUSE_RULE}: {HEAD_CLEAR_CM:.0f} cm from a head, and not within {BODY_CM[0]:.0f} by "
    f"{BODY_CM[1]:.0f} cm, as long and wide as a lying pupil is taken to be",
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=example(_LINE, extra=_BOARD.format(75)),
    bad=example(_LINE, extra=_BOARD.format(50)),
)
