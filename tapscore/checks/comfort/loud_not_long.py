"""Loud passages are short."""

from collections.abc import Iterator

from tapscore.checks.examples import example
from tapscore.checks.facts import HeardLine
from tapscore.checks.rule import HOUSE_RULE, Found, Rule, Scene, found
from tapscore.model.finding import Severity
from tapscore.model.loudness import Loudness
from tapscore.wording.catalogue import say

LONGEST_SEC = 15.0


def _find(scene: Scene) -> Iterator[Found]:
    stretch: list[HeardLine] = []
    for told in (*scene.told, None):
        loud = told is not None and _loud(told)
        if not loud or (told is not None and told.paused):
            yield from _too_long(scene, stretch)
            stretch = []
        if loud and told is not None:
            stretch.append(told)


def _loud(told: HeardLine) -> bool:
    return told.facts.quietest >= Loudness.LOUD


def _too_long(scene: Scene, stretch: list[HeardLine]) -> Iterator[Found]:
    seconds = sum(told.segment.length_sec for told in stretch)
    if seconds > LONGEST_SEC:
        yield found(
            stretch[0].path,
            line=stretch[0].name,
            seconds=seconds,
            lines=len(stretch),
            most_sec=LONGEST_SEC,
            stage=scene.setting.comfort.stage_word,
        )


_LINE = (
    '- words: Stamp and stamp the wa-ter down\n  lane: "| X . x . X . x . | X . x . X . . . |"\n'
)


_LOUD = "  loudness: loud\n  warn first: hands up high\n  warned through: [sight, touch]"


def _stamping(tempo: int, times: int) -> str:
    loud = f"{_LINE}{_LOUD}"
    return example(*[loud] * times, metre="4/4", extra=f"tempo: {tempo}\n")


RULE = Rule(
    id="loud-not-long",
    title=say("Loud passages are short"),
    why=say(
        "Loudness tires. Pupils who can't move away can only shut it out, and then the story too."
    ),
    source=say(
        "{house_rule}: at most {longest:.0f} seconds on end",
        house_rule=HOUSE_RULE,
        longest=LONGEST_SEC,
    ),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=example(_LINE + _LOUD, metre="4/4"),
    bad=example(
        "".join(_LINE.replace("down", word) + _LOUD + "\n" for word in ("down", "low", "out")),
        metre="4/4",
    ),
    more_good=(
        _stamping(68, 2),
        _stamping(120, 3),
    ),
    more_bad=(
        _stamping(60, 2),
        _stamping(40, 2),
    ),
)
