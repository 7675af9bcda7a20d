"""No adult has to tap faster than hands go."""

from collections.abc import Iterator
from itertools import pairwise

from tapscore.checks.examples import example, tapped
from tapscore.checks.facts import LineFacts
from tapscore.checks.rule import EachLine, Found, Rule, found
from tapscore.checks.setting import Setting
from tapscore.checks.slower import slowed
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story
from tapscore.wording.catalogue import say

SHORTEST_SEC = 0.150
_TOLERANCE_SEC = 1e-4


def _find(_: Setting, facts: LineFacts) -> Iterator[Found]:
    hurried = [
        role
        for role, times in facts.role_sec.items()
        if _shortest(times) < SHORTEST_SEC - _TOLERANCE_SEC
    ]
    if hurried:
        shortest = _shortest_sec(facts)
        assert shortest is not None
        yield found(
            ("lane",),
            adults=len(hurried),
            role=hurried[0],
            shortest_ms=shortest * 1000,
            least_ms=SHORTEST_SEC * 1000,
        )


def _shortest(times: tuple[float, ...]) -> float:
    return min((b - a for a, b in pairwise(times) if b > a), default=SHORTEST_SEC)


def _shortest_sec(facts: LineFacts) -> float | None:
    return min((_shortest(times) for times in facts.role_sec.values()), default=None)


def _fix(story: Story, finding: Finding) -> Story | None:
    return slowed(story, finding.path, _shortest_sec, SHORTEST_SEC)


def _drum(lane: str, tempo: int) -> str:
    extra = f"tempo: {tempo}\nroles: {{leader: , drum: }}\n"
    return example(tapped('""', lane), metre="4/4", extra=extra)


RULE = Rule(
    id="hands-can-keep-up",
    title=say("No adult taps faster than hands go"),
    why=say(
        "One person tapping in time needs at least 100 to 125 milliseconds from tap to tap, "
        "and supply staff on the first day need more."
    ),
    source=say("Repp (2006), fastest tapping in time 100 to 125 ms; 150 ms is a house rule"),
    severity=Severity.LOOK_AGAIN,
    find=EachLine(_find),
    good=example('- words: rum-ble and roar\n  lane: "| X x x X . . |"'),
    bad=example(
        '- words: rum-ble\n  lane: "| x tt tt x . . . . |"', metre="4/4", extra="tempo: 120\n"
    ),
    more_good=(
        _drum("| . . . . . . tt tt |", 100),
        _drum("| t(leader) t(drum) t(leader) t(drum) . . . . |", 240),
    ),
    more_bad=(
        _drum("| . . . . . . tt tt |", 105),
        _drum("| t(leader) t(leader) . . . . . . |", 240),
    ),
    fix=_fix,
    mends=say("Slows the line until one adult can tap it."),
)
