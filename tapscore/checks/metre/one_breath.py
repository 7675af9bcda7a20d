"""A line can be said in one breath."""

from collections.abc import Iterator

from tapscore.checks.examples import example, tapped
from tapscore.checks.facts import LineFacts
from tapscore.checks.rule import HOUSE_RULE, EachLine, Found, Rule, found
from tapscore.checks.setting import Setting
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say

LONGEST_SEC = 12.0
MOST_SYLLABLES = 24


def _find(_: Setting, facts: LineFacts) -> Iterator[Found]:
    said = facts.said_sec
    seconds = said[-1] - said[0] if said else 0.0
    if seconds > LONGEST_SEC:
        yield found(("words",), case="seconds", seconds=seconds, most_sec=LONGEST_SEC)
    elif facts.syllable_count > MOST_SYLLABLES:
        count = facts.syllable_count
        yield found(("words",), case="syllables", syllables=count, most=MOST_SYLLABLES)


def _many(syllables: int) -> str:
    bars = -(-syllables // 8)
    steps = ["x"] * syllables + ["."] * (8 * bars - syllables)
    lane = " | ".join(" ".join(steps[8 * bar : 8 * bar + 8]) for bar in range(bars))
    words = " ".join(["la"] * syllables)
    return example(tapped(words, f"| {lane} |"), metre="4/4", extra="tempo: 120\n")


def _slow(lane: str) -> str:
    return example(tapped("Down and down", lane), metre="4/4", extra="tempo: 60\n")


RULE = Rule(
    id="one-breath",
    title=say("A line is said in one breath"),
    why=say(
        "A pause for breath in the middle of a line stops the taps, and every adult stops at "
        "another place."
    ),
    source=say(
        "{house_rule}: at most {longest:.0f} seconds or {most_syllables} syllables",
        house_rule=HOUSE_RULE,
        longest=LONGEST_SEC,
        most_syllables=MOST_SYLLABLES,
    ),
    severity=Severity.ADVICE,
    find=EachLine(_find),
    good=example(
        '- words: Down and down and down the hill\n  lane: "| X . x . X . x . | X . x . X . . . |"',
        metre="4/4",
    ),
    bad=example(
        "- words: Down and down and down the hill\n"
        '  lane: "| X _ _ _ x _ _ _ | X _ _ _ x _ _ _ | X _ _ _ x _ _ _ | X _ _ _ . . . . |"',
        metre="4/4",
        extra="tempo: 40\n",
    ),
    more_good=(
        _many(24),
        _slow("| X . . . . . . . | x . . . . . . . | . . . . . . . x |"),
    ),
    more_bad=(
        _many(25),
        _slow("| X . . . . . . . | x . . . . . . . | . . . . . . . . | . x . . . . . . |"),
    ),
)
