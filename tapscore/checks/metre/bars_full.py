"""Every bar holds as many steps as its metre has."""

from collections.abc import Iterator

from attrs import evolve

from tapscore.checks.examples import example, tapped
from tapscore.checks.facts import LineFacts
from tapscore.checks.rule import EachLine, Found, Rule, found
from tapscore.checks.setting import Setting
from tapscore.model.finding import Finding, Severity
from tapscore.model.lane import Bar, Cell, Lane, Mark
from tapscore.model.metre import Metre
from tapscore.model.story import Story
from tapscore.model.walk import edit_line, item_path, line_at
from tapscore.rhythm.line_bars import bar_faults
from tapscore.rhythm.unroll import unroll
from tapscore.wording.catalogue import say


def _find(_: Setting, facts: LineFacts) -> Iterator[Found]:
    if facts.line.lane is None:
        return
    metre = facts.metre
    for bar, steps in bar_faults(facts.line.lane, metre):
        case = "long" if steps > metre.steps else "short" if bar else "pickup"
        yield found(
            ("lane",),
            case=case,
            bar=bar,
            steps=steps,
            metre=str(metre),
            wanted=metre.steps,
            over=max(steps - metre.steps, 0),
            short=max(metre.steps - steps, 0),
        )


def _fix(story: Story, finding: Finding) -> Story | None:
    line, path = line_at(story, finding.path), item_path(finding.path)
    metre = next((each.manner.metre for each in unroll(story) if each.path == path), None)
    if line is None or line.lane is None or metre is None:
        return None
    lane = rebarred(line.lane, metre)
    return edit_line(story, finding.path, lambda each: evolve(each, lane=lane))


def rebarred(lane: Lane, metre: Metre) -> Lane:
    """The lane with bars too long divided and bars too short filled; every tap stays."""
    extra = len(lane.pickup) % metre.steps if len(lane.pickup) >= metre.steps else len(lane.pickup)
    bars: list[Bar] = list(_cut(lane.pickup[extra:], metre))
    for number, bar in enumerate(lane.bars, 1):
        pieces = list(_cut(bar, metre))
        if pieces and (number < len(lane.bars) or len(pieces) > 1):
            held = number < len(lane.bars) and _starts_held(lane.bars[number])
            pieces[-1] = _filled(pieces[-1], metre, Mark.HOLD if held else Mark.REST)
        bars += pieces
    return Lane(lane.pickup[:extra], tuple(bars))


def _cut(steps: Bar, metre: Metre) -> Iterator[Bar]:
    for at in range(0, len(steps), metre.steps):
        yield steps[at : at + metre.steps]


def _starts_held(bar: Bar) -> bool:
    return bool(bar) and bar[0][0].mark is Mark.HOLD


def _filled(bar: Bar, metre: Metre, mark: Mark) -> Bar:
    return (*bar, *(((Cell(mark),),) * (metre.steps - len(bar))))


RULE = Rule(
    id="bars-full",
    title=say("Bars are as long as the metre says"),
    why=say("A bar with a step too many or too few throws everybody who taps to the beat."),
    source=say("definition of the time signature (any theory primer)"),
    severity=Severity.MUST_MEND,
    find=EachLine(_find),
    good=example('- words: Row the lan-tern\n  lane: "| X . x X . x |"'),
    bad=example('- words: Row the lan-tern home\n  lane: "| X . x X x | X . . . . . |"'),
    more_good=(
        example(tapped("The moon came up,", "x | X . x X . |")),
        example(tapped("Row the boat", "| X . x . X . . . |"), metre="4/4"),
    ),
    more_bad=(
        example(tapped("Row the lan-tern home", "| X . x X . x . | X . . . . . |")),
        example(tapped("Row the lan-tern", "x . . . . . | X . x X . . |")),
    ),
    fix=_fix,
    mends=say("Divides bars that are too long and fills those that are too short with silence."),
)
