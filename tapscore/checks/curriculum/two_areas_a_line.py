"""A line names at most two areas of learning."""

from collections.abc import Iterator

from attrs import evolve

from tapscore.checks.examples import TAPS, example
from tapscore.checks.facts import LineFacts
from tapscore.checks.rule import NO_SOURCE, EachLine, Found, Rule, found
from tapscore.checks.setting import Setting
from tapscore.model.curriculum import MOST_AREAS_A_LINE
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story
from tapscore.model.walk import edit_line
from tapscore.wording.catalogue import say


def _find(_: Setting, facts: LineFacts) -> Iterator[Found]:
    count = len(facts.line.areas)
    if count > MOST_AREAS_A_LINE:
        yield found(("areas",), count=count, most=MOST_AREAS_A_LINE)


def _fix(story: Story, finding: Finding) -> Story | None:
    return edit_line(
        story,
        finding.path,
        lambda line: evolve(line, areas=line.areas[:MOST_AREAS_A_LINE]),
    )


_LINE = '- words: Row the lan-tern\n  lane: "| X . x X . x |"\n  areas: '

RULE = Rule(
    id="two-areas-a-line",
    title=say("A line names at most two areas of learning"),
    why=say("What is looked for everywhere is seen nowhere."),
    source=NO_SOURCE,
    severity=Severity.ADVICE,
    find=EachLine(_find),
    good=example(_LINE + "[exploration, anticipation]"),
    bad=example(_LINE + "[exploration, anticipation, initiation]"),
    more_good=(
        example(_LINE + "exploration"),
        example(TAPS),
    ),
    more_bad=(
        example(_LINE + "[exploration, anticipation, initiation, persistence]"),
        example(TAPS, _LINE + "[exploration, anticipation, realisation]"),
    ),
    fix=_fix,
    mends=say("Keeps the first two."),
)
