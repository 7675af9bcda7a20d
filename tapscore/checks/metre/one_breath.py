"""A line can be said in one breath."""

from collections.abc import Iterator

from tapscore.checks.facts import LineFacts
from tapscore.checks.rule import HOUSE_RULE, EachLine, Found, Rule, example
from tapscore.checks.setting import Setting
from tapscore.model.finding import Severity

LONGEST_SEC = 12.0
MOST_SYLLABLES = 24


def _find(_: Setting, facts: LineFacts) -> Iterator[Found]:
    said = facts.said_sec
    seconds = said[-1] - said[0] if said else 0.0
    if seconds > LONGEST_SEC:
        problem = f"takes {seconds:.0f} seconds to say"
    elif facts.syllable_count > MOST_SYLLABLES:
        problem = f"has {facts.syllable_count} syllables"
    else:
        return
    yield Found(
        f"{problem}, which is long for one breath and for one card.",
        "Divide it into two lines where you would breathe.",
        ("words",),
    )


RULE = Rule(
    id="one-breath",
    title="A line is said in one breath",
    why="A pause for breath in the middle of a line stops the taps, and every adult stops at "
    "another place.",
    source=f"{HOUSE_RULE}: at most {LONGEST_SEC:.0f} seconds or {MOST_SYLLABLES} syllables",
    severity=Severity.ADVICE,
    find=EachLine(_find),
    good=example(
        '- words: Down and down and down the hill\n  lane: "| X . x . X . x . | X . x . X . . . |"',
        metre="4/4",
    ),
    bad=example(
        "- words: Down and down and down the hill\n"
        '  lane: "| X - - - x - - - | X - - - x - - - | X - - - x - - - | X - - - . . . . |"',
        metre="4/4",
        extra="tempo: 40\n",
    ),
)
