"""Lines that follow one another make whole bars: an end is as short as the next pickup."""

from collections.abc import Iterable

from attrs import evolve

from tapscore.model.finding import StoryPath
from tapscore.model.lane import Bar, Cell, Lane, Mark
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Story
from tapscore.model.walk import change_lines
from tapscore.rhythm.unroll import Placed, unroll
from tapscore.workflow.fitting import filled_up

_REST = Cell(Mark.REST)
_SILENT = (Mark.REST, Mark.HOLD)


def joined(story: Story, only: Iterable[StoryPath] | None = None) -> Story:
    """The story with last bars as short as the pickups that follow them need.

    ``only``: the lines that may change, all if not said.  Where a tap or a syllable stands in
    the way, the line gets a bar more.  A pickup after a line in a metre that divides beats in
    another way begins with silence, so that it is whole beats.
    """
    may = None if only is None else set(only)
    story = _whole_pickups(story, may)
    lacks: dict[StoryPath, int] = {}
    for before, after in _pairs(story):
        lane = after.line.lane if after.line is not None else None
        if lane is not None and before.path not in lacks:
            beats = len(lane.pickup) * before.manner.metre.steps_per_beat
            lacks[before.path] = beats // after.manner.metre.steps_per_beat
    metres = {each.path: each.manner.metre for each in unroll(story)}

    def change(path: StoryPath, line: Line) -> Line:
        if line.lane is None or path not in metres or (may is not None and path not in may):
            return line
        return evolve(line, lane=lacking(line.lane, metres[path], lacks.get(path, 0)))

    return change_lines(story, change)


def lacking(lane: Lane, metre: Metre, steps: int) -> Lane:
    """The lane with so many steps taken from its last bar, or from a silent one after it."""
    whole = filled_up(lane, metre)
    if steps <= 0 or len(whole.bars[-1]) != metre.steps:
        return whole
    last = whole.bars[-1]
    if steps < metre.steps and all(cell.mark in _SILENT for step in last[-steps:] for cell in step):
        return evolve(whole, bars=(*whole.bars[:-1], last[:-steps]))
    more: Bar = ((_REST,),) * (metre.steps - steps)
    return evolve(whole, bars=(*whole.bars, more)) if more else whole


def _pairs(story: Story) -> Iterable[tuple[Placed, Placed]]:
    """Lines heard one straight after another."""
    before: Placed | None = None
    for placed in unroll(story):
        if placed.line is None:
            before = None
            continue
        if before is not None:
            yield before, placed
        before = placed


def _whole_pickups(story: Story, may: set[StoryPath] | None) -> Story:
    longer: dict[StoryPath, Lane] = {}
    for before, after in _pairs(story):
        lane = after.line.lane if after.line is not None else None
        one, two = before.manner.metre, after.manner.metre
        if lane is None or one.steps_per_beat == two.steps_per_beat:
            continue
        missing = -len(lane.pickup) % two.steps_per_beat
        if missing and len(lane.pickup) + missing < two.steps:
            silence: Bar = ((_REST,),) * missing
            longer[after.path] = evolve(lane, pickup=(*silence, *lane.pickup))
    allowed = {path for path in longer if may is None or path in may}

    def change(path: StoryPath, line: Line) -> Line:
        return evolve(line, lane=longer[path]) if path in allowed else line

    return change_lines(story, change) if allowed else story
