"""Within a line the loudness changes step by step."""

from collections.abc import Iterator
from itertools import pairwise

from attrs import evolve

from tapscore.checks.comfort.warn_before_loud import CUE, THROUGH, stage_severity
from tapscore.checks.examples import example, tapped
from tapscore.checks.facts import LineFacts
from tapscore.checks.rule import NO_SOURCE, EachLine, Found, Rule, found
from tapscore.checks.setting import Setting
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story
from tapscore.model.walk import edit_line
from tapscore.wording.catalogue import say

_TOLERANCE = 1e-6


def _find(setting: Setting, facts: LineFacts) -> Iterator[Found]:
    if facts.line.warn_first is not None:
        return
    for one, other in pairwise(facts.touches):
        if other.level - one.level > setting.comfort.jump_steps + _TOLERANCE:
            yield found(
                ("lane",),
                stage_severity(setting),
                earlier=one.level,
                level=other.level,
                bar=other.event.bar,
                stage=setting.comfort.stage_word,
            )
            return


def _fix(story: Story, finding: Finding) -> Story | None:
    return edit_line(
        story, finding.path, lambda line: evolve(line, warn_first=CUE, warned_through=THROUGH)
    )


RULE = Rule(
    id="no-sudden-tap",
    title=say("No tap is suddenly loud"),
    why=say("A single loud tap among quiet ones is the surest way to startle somebody."),
    source=NO_SOURCE,
    severity=Severity.LOOK_AGAIN,
    find=EachLine(_find),
    good=example('- words: tip tap toe\n  lane: "| x . x x(medium) . . |"'),
    bad=example('- words: tip tap toe\n  lane: "| x . x x(loud) . . |"'),
    more_good=(
        example(tapped("tip tap toe", "| x . x x(loud) . . |", "warn first: lean in")),
        example(tapped("tip tap toe", "| x(loud) . x x(medium) . . |", "warn first: lean in")),
    ),
    more_bad=(
        example(tapped("tip tap toe", "| x . x(loud) x . . |")),
        example(tapped("tip tap toe", "| x . x x(very loud) . . |", "loudness: medium")),
    ),
    fix=_fix,
    mends=say("Adds a warning: {cue}.", cue=CUE),
)
