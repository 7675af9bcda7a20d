"""Where pupils are said to be agrees with where they are drawn."""

from collections.abc import Iterator

from tapscore.checks.examples import example
from tapscore.checks.rule import HOUSE_RULE, Found, Rule, Scene, found
from tapscore.model.comfort import Stage
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say


def _find(scene: Scene) -> Iterator[Found]:
    board, stage = scene.story.board, scene.setting.comfort.stage
    if board is None or stage is None or not board.places:
        return
    on_board = [place.name for place in board.places if board.contains(place.at)]
    if stage is Stage.ON_THE_BOARD and not on_board:
        yield found(("comfort", "stage"), case="nobody-on-it")
    if stage is not Stage.ON_THE_BOARD and on_board:
        yield found(
            ("board", "places", on_board[0]),
            case="on-it",
            stage=stage.value,
            places=tuple(on_board),
            count=len(on_board),
        )


_LINE = '- words: Row the lan-tern\n  lane: "| X . x X . x |"'
_BOARD = "board: {{size_cm: [120, 90], places: {{A: {{at: [{}, 45]}}}}}}\n"
_COMFORT = "comfort: {stage: beside the board}\n"

RULE = Rule(
    id="stage-fits-places",
    title=say("The floor plan agrees with where pupils are said to be"),
    why=say(
        "The plan on the wall decides where pupils are put. Each pupil comes nearer in their "
        "own time, and moving back is normal."
    ),
    source=HOUSE_RULE,
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=example(_LINE, extra=_BOARD.format(150) + _COMFORT),
    bad=example(_LINE, extra=_BOARD.format(60) + _COMFORT),
    more_good=(
        example(_LINE, extra=_BOARD.format(60) + "comfort: {stage: on the board}\n"),
        example(_LINE, extra=_BOARD.format(121) + _COMFORT),
    ),
    more_bad=(
        example(_LINE, extra=_BOARD.format(119) + _COMFORT),
        example(_LINE, extra=_BOARD.format(150) + "comfort: {stage: on the board}\n"),
    ),
)
