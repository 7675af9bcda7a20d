"""It is known which way the grain of the board runs."""

from collections.abc import Iterator

from tapscore.checks.felt.examples import TAPS, on_board
from tapscore.checks.felt.levels import has_places
from tapscore.checks.rule import Rule, Scene, Trouble
from tapscore.model.finding import Severity


def _find(scene: Scene) -> Iterator[Trouble]:
    from tapscore.board.facade import board_facts

    if has_places(scene) and not board_facts(scene.story.board).grain_known:
        yield Trouble(
            ("board", "sheet", "grain"),
            "It is not known which way the grain of the board runs: what is said of where taps "
            "are felt may be wrong even in its order.",
            "Lay the sheet on two battens with a weight, once each way: it sinks less along the "
            "grain. Then write `grain: long` or `grain: short`. `tapscore help board` says how.",
        )


RULE = Rule(
    id="grain-known",
    title="The way the grain runs is known",
    why="Plywood of 4 mm is some sixteen times as stiff along its outer layers as across, and "
    "that changes what is felt where more than anything but the pupils.",
    source="the board's model; stiffness of plywood from trade tables, from memory",
    severity=Severity.ADVICE,
    find=_find,
    good=on_board(TAPS, places="A: {at: [60, 20]}"),
    bad=on_board(TAPS, places="A: {at: [60, 20]}", grain="not known"),
)
