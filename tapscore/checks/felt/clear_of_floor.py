"""The board does not sink on to the floor under the pupils."""

from collections.abc import Iterator

from tapscore.checks.felt.examples import TAPS, on_board
from tapscore.checks.felt.levels import has_places
from tapscore.checks.rule import Rule, Scene, Trouble
from tapscore.model.finding import Severity


def _find(scene: Scene) -> Iterator[Trouble]:
    from tapscore.board.facade import board_facts

    if not has_places(scene):
        return
    sag = board_facts(scene.story.board).sag
    if sag.may_touch:
        yield Trouble(
            ("board", "gap_mm"),
            f"The board may sink {sag.deepest_mm:.0f} mm of its {sag.gap_mm:.0f} mm gap; if it "
            "touches the floor, its felt map is void.",
            "Measure the gap under the seated pupils, and raise the board with higher strips. "
            "`tapscore help board` says how.",
        )


RULE = Rule(
    id="clear-of-floor",
    title="The board stays off the floor",
    why="A board that touches the floor passes on little of a tap.",
    source="an estimate of one shape of the board (von Karman's plate), for a child's mass at "
    "each place (18.5 kg at five)",
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=on_board(TAPS, places="A: {at: [60, 20]}"),
    bad=on_board(TAPS, places="A: {at: [60, 20]}", gap_mm=5),
)
