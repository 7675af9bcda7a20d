"""Words come no faster than people read aloud."""

from collections.abc import Iterator

from tapscore.checks.examples import example, tapped
from tapscore.checks.facts import LineFacts
from tapscore.checks.rule import EachLine, Found, Rule, found
from tapscore.checks.setting import Setting
from tapscore.checks.slower import slowed
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story
from tapscore.wording.catalogue import say

MOST_A_SECOND = 4
"""183 words a minute is about 4 syllables a second at 1.3 syllables a word."""
_TOLERANCE_SEC = 1e-4


def _find(_: Setting, facts: LineFacts) -> Iterator[Found]:
    shortest = _shortest_sec(facts)
    if shortest is not None and shortest < 1 - _TOLERANCE_SEC:
        part = "words" if facts.line.lane is None else "lane"
        yield found((part,), a_second=MOST_A_SECOND / shortest, most=MOST_A_SECOND)


def _shortest_sec(facts: LineFacts) -> float | None:
    """The shortest time that ``MOST_A_SECOND`` syllables in a row take."""
    said = facts.said_sec
    spans = [b - a for a, b in zip(said, said[MOST_A_SECOND:], strict=False)]
    return min(spans, default=None)


def _fix(story: Story, finding: Finding) -> Story | None:
    return slowed(story, finding.path, _shortest_sec, 1.0)


def _quick(tempo: str) -> str:
    line = tapped("tip-py tap-py tip-py toe", "| X x x x X x x . |")
    return example(line, metre="4/4", extra=f"tempo: {tempo}\n")


RULE = Rule(
    id="words-unhurried",
    title=say("Words are never hurried"),
    why=say(
        "Pupils need time to hear a word and to feel its taps. What is faster than reading "
        "aloud can neither be said clearly nor tapped together."
    ),
    source=say("about 183 words a minute read aloud (Brysbaert 2019), some 4 syllables a second"),
    severity=Severity.ADVICE,
    find=EachLine(_find),
    good=example('- words: Row the lan-tern home\n  lane: "| X . x X . x | X . . . . . |"'),
    bad=example(
        '- words: tip-py tap-py tip-py toe\n  lane: "| X x x x X x x . |"',
        metre="4/4",
        extra="tempo: 130\n",
    ),
    more_good=(
        _quick("120"),
        _quick("60 to 100"),
    ),
    more_bad=(
        _quick("121"),
        _quick("110 to 160"),
    ),
    fix=_fix,
    mends=say("Slows the line as much as it needs."),
)
