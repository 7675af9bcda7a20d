"""Loud passages are short."""

from collections.abc import Iterator

from tapscore.checks.comfort.stages import why_here
from tapscore.checks.facts import Told
from tapscore.checks.rule import HOUSE_RULE, Rule, Scene, Trouble, example
from tapscore.model.finding import Severity
from tapscore.model.loudness import Loudness

LONGEST_SEC = 15.0


def _find(scene: Scene) -> Iterator[Trouble]:
    stretch: list[Told] = []
    for told in (*scene.told, None):
        loud = told is not None and _loud(told)
        if not loud or (told is not None and told.paused):
            yield from _trouble(scene, stretch)
            stretch = []
        if loud and told is not None:
            stretch.append(told)


def _loud(told: Told) -> bool:
    touches = told.facts.touches
    return bool(touches) and min(touch.level for touch in touches) >= Loudness.LOUD


def _trouble(scene: Scene, stretch: list[Told]) -> Iterator[Trouble]:
    seconds = sum(told.segment.length_sec for told in stretch)
    if seconds > LONGEST_SEC:
        lines = "line" if len(stretch) == 1 else f"{len(stretch)} lines"
        yield Trouble(
            stretch[0].path,
            f"It is loud for {seconds:.0f} seconds on end from here ({lines}).",
            "Put something quiet or a wait between, or keep the loudness for the last taps."
            + why_here(scene.setting),
        )


_LINE = (
    '- words: Stamp and stamp the wa-ter down\n  lane: "| X . x . X . x . | X . x . X . . . |"\n'
)

RULE = Rule(
    id="loud-not-long",
    title="Loud passages are short",
    why="Loudness tires. Pupils who can't move away can only shut it out, and then the story too.",
    source=f"{HOUSE_RULE}: at most {LONGEST_SEC:.0f} seconds on end",
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=example(_LINE + "  loudness: loud\n  warn first: hands up high", metre="4/4"),
    bad=example(
        "".join(
            _LINE.replace("down", word) + "  loudness: loud\n  warn first: hands up high\n"
            for word in ("down", "low", "out")
        ),
        metre="4/4",
    ),
)
