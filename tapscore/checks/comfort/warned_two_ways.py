"""A warning reaches everybody: by two of voice, touch and sight at least."""

from collections.abc import Iterator

from tapscore.checks.examples import example, tapped
from tapscore.checks.facts import LineFacts
from tapscore.checks.rule import NO_SOURCE, EachLine, Found, Rule, found
from tapscore.checks.setting import Setting
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say

LEAST = 2


def _find(setting: Setting, facts: LineFacts) -> Iterator[Found]:  # noqa: ARG001
    line = facts.line
    if not line.warn_first or len(set(line.warned_through)) >= LEAST:
        return
    if line.warned_through:
        yield found(("warned through",), through=line.warned_through, case="one")
    else:
        yield found(("warn first",), Severity.ADVICE, case="unsaid")


def _warned(*keys: str) -> str:
    return example(tapped("Crash went the wave", "| X x x X . . |", "loudness: loud", *keys))


RULE = Rule(
    id="warned-two-ways",
    title=say("A warning goes by two of voice, touch and sight"),
    why=say(
        "A whisper reaches no deaf child, and raised hands no blind one. Pupils here may be "
        "deaf, blind or both."
    ),
    source=NO_SOURCE,
    severity=Severity.LOOK_AGAIN,
    find=EachLine(_find),
    good=_warned("warn first: hands up, and say “ready”", "warned through: [voice, sight]"),
    bad=_warned("warn first: whisper “ready?”", "warned through: [voice]"),
    more_good=(
        _warned("warn first: touch an arm, say “ready”", "warned through: [voice, touch]"),
        _warned("warn first: show, touch and say it", "warned through: [voice, touch, sight]"),
    ),
    more_bad=(
        _warned("warn first: raise both hands", "warned through: [sight]"),
        _warned("warn first: raise both hands"),
    ),
)
