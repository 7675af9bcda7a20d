"""The sheet carries the pupils on it well below what breaks it."""

from collections.abc import Iterator

from tapscore.checks.examples import TAPS, on_board
from tapscore.checks.felt.levels import has_places
from tapscore.checks.rule import HOUSE_RULE, Found, Rule, Scene, found
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say

WORKING_SHARE = 0.25
"""Of the strength: a pupil who rocks doubles the load, and wood that is damp or has carried
for long is weaker."""


def _find(scene: Scene) -> Iterator[Found]:
    from tapscore.board.facade import board_facts

    if not has_places(scene):
        return
    share = board_facts(scene.story.board).load_share
    if share > WORKING_SHARE:
        yield found(("board", "sheet"), percent=100 * share, working=100 * WORKING_SHARE)


def _sheet(places: str, mm: float, more: str = "") -> str:
    text = on_board(TAPS, places=places, gap_mm=200)
    return text.replace("thickness_mm: 4, plies: 3", f"thickness_mm: {mm:g}").replace(
        "  size_cm: [120, 90]", f"  size_cm: [122, 122]{more}"
    )


_ONE = "A: {at: [25, 20]}"
_FOUR = "A: {at: [30, 30]}, B: {at: [90, 30]}, C: {at: [30, 80]}, D: {at: [90, 80]}"
_OLDER = "\n  oldest pupil: 7"

RULE = Rule(
    id="sheet-carries",
    title=say("The sheet carries the pupils"),
    why=say(
        "A thin sheet bends far before it breaks, and what it bears at rest it may not bear when "
        "somebody rocks or an adult kneels on it."
    ),
    source=say(
        "{house_rule}: a quarter of the bending strength of birch plywood (Handbook of "
        "Finnish Plywood, 2002, from memory), estimated for a child's mass at each place",
        house_rule=HOUSE_RULE,
    ),
    severity=Severity.ADVICE,
    find=_find,
    good=_sheet(_ONE, 4),
    bad=_sheet(_FOUR, 2),
    more_good=(_sheet(_FOUR, 2.5), _sheet(_FOUR, 6.5, _OLDER)),
    more_bad=(_sheet(_FOUR, 3, _OLDER), _sheet(_FOUR, 2.5, _OLDER)),
)
