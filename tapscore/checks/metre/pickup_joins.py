"""A pickup and the end of the line before it make one bar together."""

from collections.abc import Iterator
from fractions import Fraction
from functools import partial
from itertools import pairwise

from attrs import evolve

from tapscore.checks.examples import example, tapped
from tapscore.checks.facts import LineFacts
from tapscore.checks.rule import EachPair, Found, Rule, Scene, found
from tapscore.checks.setting import Setting
from tapscore.model.finding import Finding, Severity
from tapscore.model.lane import Bar, Cell, Lane, Mark
from tapscore.model.metre import Metre
from tapscore.model.story import Story
from tapscore.model.walk import edit_line
from tapscore.rhythm.perform import perform
from tapscore.wording.catalogue import say

_SILENT = (Mark.REST, Mark.HOLD)


def _find(_: Setting, before: LineFacts | None, after: LineFacts, paused: bool) -> Iterator[Found]:
    if before is None or paused or before.missing_beats is None or after.line.lane is None:
        return
    short, pickup = before.missing_beats, after.pickup_beats
    if short != pickup:
        yield found(
            ("lane",),
            before=True,
            lacks=short * before.metre.steps_per_beat,
            brings=pickup * after.metre.steps_per_beat,
        )


def _fix(story: Story, finding: Finding) -> Story | None:
    told = Scene(story, perform(story)).told
    at = finding.path[:-1]
    for before, after in pairwise(told):
        if before.path == at and not after.paused:
            lane = _joined(before.facts, after.facts)
            if lane is not None:
                return edit_line(story, at, partial(evolve, lane=lane))
    return None


def _joined(before: LineFacts, after: LineFacts) -> Lane | None:
    """The first line's lane with an end that fits; None if it fits already or can't."""
    lane = before.line.lane
    if lane is None or before.missing_beats in (None, after.pickup_beats):
        return None
    return _ended(lane, before.metre, after.pickup_beats * before.metre.steps_per_beat)


def _ended(lane: Lane, metre: Metre, lacking: Fraction) -> Lane | None:
    """The lane with a last bar that lacks so many steps; None if a tap would have to go."""
    last = lane.bars[-1]
    length = metre.steps - lacking
    if length.denominator != 1 or length <= 0:
        return None
    rests: Bar = ((Cell(Mark.REST),),) * max(int(length) - len(last), 0)
    dropped = last[int(length) :]
    if any(cell.mark not in _SILENT for step in dropped for cell in step):
        return None
    return evolve(lane, bars=(*lane.bars[:-1], (*last[: int(length)], *rests)))


_SHORT = tapped("The moon came up,", "x | X . x X . . |")
_PICKUP = tapped("the wind lay down.", "x | X . x X . |")

RULE = Rule(
    id="pickup-joins",
    title=say("A pickup completes the bar before it"),
    why=say("Where end and pickup don't make one bar, the beat stumbles between two lines."),
    source=say("notation practice for incomplete bars (any theory primer)"),
    severity=Severity.LOOK_AGAIN,
    find=EachPair(_find),
    good=example(
        '- words: The moon came up,\n  lane: "x | X . x X . |"\n'
        '- words: the wind lay down.\n  lane: "x | X . x X . |"'
    ),
    bad=example(
        '- words: The moon came up,\n  lane: "x | X . x X . . |"\n'
        '- words: the wind lay down.\n  lane: "x | X . x X . |"'
    ),
    more_good=(
        example(
            tapped("Row the lan-tern", "| X . x X . x |"),
            tapped("Row the lan-tern", "| X . x X . x |"),
        ),
        example(_SHORT, "- wait: 10\n  look for: a look", _PICKUP),
    ),
    more_bad=(
        example(tapped("Row the lan-tern", "| X . x X . x |"), _PICKUP),
        example(tapped("Row the boat", "| X . x X |"), _PICKUP),
    ),
    fix=_fix,
    mends=say("Fills the last bar with silence, or takes silence out of it."),
)
