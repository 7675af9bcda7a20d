"""No single strong tap hides in a quiet line."""

from collections.abc import Iterator

from attrs import evolve

from tapscore.checks.examples import example, tapped
from tapscore.checks.facts import LineFacts
from tapscore.checks.rule import NO_SOURCE, EachLine, Found, Rule, found
from tapscore.checks.setting import Setting
from tapscore.model.finding import Finding, Severity
from tapscore.model.lane_edits import change_cells
from tapscore.model.loudness import Loudness
from tapscore.model.story import Line, Story
from tapscore.model.walk import edit_line
from tapscore.wording.catalogue import say

PLAIN_TAPS_BEFORE = 3


def _find(_: Setting, facts: LineFacts) -> Iterator[Found]:
    accents = [number for number, touch in enumerate(facts.touches) if touch.accent]
    if len(accents) != 1 or accents[0] < PLAIN_TAPS_BEFORE:
        return
    if facts.line.warn_first is not None or facts.peak > Loudness.QUIET:
        return
    touch = facts.touches[accents[0]]
    yield found(("lane",), bar=touch.event.bar)


def _fix(story: Story, finding: Finding) -> Story | None:
    return edit_line(story, finding.path, _without_accents)


def _without_accents(line: Line) -> Line:
    lane = line.lane
    if lane is None:
        return line
    return evolve(line, lane=change_cells(lane, lambda cell: evolve(cell, accent=False)))


_WORDS = "- words: soft and soft and soft it comes\n"

RULE = Rule(
    id="no-hidden-accent",
    title=say("No strong tap hides in a quiet line"),
    why=say(
        "After a row of soft taps one strong tap comes out of nowhere. Some pupils startle at "
        "it more than at a loud line that was announced."
    ),
    source=NO_SOURCE,
    severity=Severity.LOOK_AGAIN,
    find=EachLine(_find),
    good=example(
        '- words: soft and soft and soft it comes\n  lane: "| X . x X . x | X . x X . . |"'
    ),
    bad=example(
        '- words: soft and soft and soft it comes\n  lane: "| x . x x . x | x . x X . . |"'
    ),
    more_good=(
        example(_WORDS + '  lane: "| x . x x . x | x . x X . . |"\n  warn first: lean in'),
        example(tapped("soft and soft and", "| x . x X . x |")),
    ),
    more_bad=(
        example(tapped("soft and soft and", "| x x x X . . |")),
        example(_WORDS + '  lane: "| x . x x . x | X . x x . . |"'),
    ),
    fix=_fix,
    mends=say("Makes the tap like the others."),
)
