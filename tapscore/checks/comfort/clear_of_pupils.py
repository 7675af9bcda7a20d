"""Nobody taps where a pupil's head is, or on a pupil's place."""

from collections.abc import Iterator
from fractions import Fraction

from tapscore.checks.facts import LineFacts
from tapscore.checks.rule import HOUSE_RULE, EachLine, Found, Rule, example
from tapscore.checks.setting import Setting, distance_cm, point_beside
from tapscore.model.board import Place, Point
from tapscore.model.comfort import Stage
from tapscore.model.finding import Severity

HEAD_MM = Fraction(350)
"""From the middle of a lying child of three to seven to the middle of the head."""
HEAD_CLEAR_CM = 25.0
PLACE_CLEAR_CM = 15.0


def _find(setting: Setting, facts: LineFacts) -> Iterator[Found]:
    board, stage = setting.board, setting.comfort.stage
    if board is None or stage in (Stage.ON_A_TABLE, Stage.BESIDE_THE_BOARD):
        return
    for spot in dict.fromkeys(touch.spot for touch in facts.touches):
        point = setting.spot(spot)
        if point is None:
            continue
        for place in board.places:
            problem = _problem(place, point)
            if problem:
                yield Found(
                    f"taps “{spot}”, which is {problem} at {place.name}.",
                    "Choose a spot further away, or move the place on the board.",
                    ("spot",) if facts.line.manner.spot == spot else ("lane",),
                )


def _problem(place: Place, point: Point) -> str:
    if place.lying and place.head is not None:
        head = point_beside(place.at, place.head, HEAD_MM)
        if distance_cm(point, head) < HEAD_CLEAR_CM:
            return f"{distance_cm(point, head):.0f} cm from the head of the pupil lying"
    if distance_cm(point, place.at) < PLACE_CLEAR_CM:
        return "just where the pupil is"
    return ""


_BOARD = (
    "board: {{size_cm: [120, 90], spots: {{middle: [60, 45]}},\n"
    "  places: {{A: {{at: [{}, 45], lying: true, head: west}}}}}}\nspot: middle\n"
)
_LINE = '- words: Row the lan-tern\n  lane: "| X . x X . x |"'

RULE = Rule(
    id="clear-of-pupils",
    title="Taps keep clear of pupils' heads",
    why="Close by, a tap is felt and heard far more strongly than elsewhere on the board, "
    "most of all through the skull.",
    source=f"{HOUSE_RULE}: {HEAD_CLEAR_CM:.0f} cm from a head, {PLACE_CLEAR_CM:.0f} cm from "
    "the middle of a place",
    severity=Severity.LOOK_AGAIN,
    find=EachLine(_find),
    good=example(_LINE, extra=_BOARD.format(40)),
    bad=example(_LINE, extra=_BOARD.format(90)),
)
