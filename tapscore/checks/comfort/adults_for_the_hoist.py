"""Where pupils come on to the board there are adults enough for a hoist."""

from collections.abc import Iterator

from tapscore.checks.examples import TAPS, example
from tapscore.checks.rule import NO_SOURCE, Found, Rule, Scene, found
from tapscore.model.comfort import ADULTS_A_HOIST, Stage
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say


def _find(scene: Scene) -> Iterator[Found]:
    adults = len(scene.story.roles)
    on_the_board = scene.setting.comfort.stage is Stage.ON_THE_BOARD
    if on_the_board and 0 < adults < ADULTS_A_HOIST:
        yield found(("roles",), adults=adults, least=ADULTS_A_HOIST)


def _told(roles: str, stage: str) -> str:
    return example(TAPS, extra=f"roles: {{{roles}}}\nby: everyone\ncomfort: {{stage: {stage}}}\n")


RULE = Rule(
    id="adults-for-the-hoist",
    title=say("There are adults enough for a hoist"),
    why=say(
        "Who can't come to the floor alone is lifted there, and a hoist needs two adults whose "
        "hands are free. A plan with one adult is kept on the day by lifting without."
    ),
    source=say("{no_source}: never fewer than two adults to a hoist", no_source=NO_SOURCE),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=_told("leader: , helper: ", "on the board"),
    bad=_told("leader: ", "on the board"),
    more_good=(_told("leader: ", "beside the board"), example(TAPS)),
    more_bad=(
        _told("helper: ", "on the board"),
        example(TAPS, TAPS, extra="roles: {leader: }\ncomfort: {stage: on the board}\n"),
    ),
)
