"""What stands in a line in order of time: its syllables, taps and silence, step by step.

Paper and the editor's rows both lay these out, each to its own measure: see ``lane_columns.py``
(as wide as words and marks need) and ``lane_layout.py`` (as wide as time).
"""

from collections.abc import Iterator
from fractions import Fraction
from functools import cache, lru_cache

from attrs import frozen

from tapscore.model.lane import Cell, Lane, Mark
from tapscore.model.lane_edits import CellPlace
from tapscore.model.metre import Metre
from tapscore.model.story import Line

_SAID = Cell(Mark.SYLLABLE_ALONE)
_place = cache(CellPlace)
_beats = cache(Fraction)
"""Lines share the places and onsets of their cells: there are few, and the editor keeps many."""


@frozen
class Column:
    """One cell of the lane; or a syllable of a line without one, or that it has no room for."""

    cell: Cell
    place: CellPlace
    parts: int = 1
    """How many cells share its step."""
    event: int | None = None
    """Its number among the line's taps and syllables; None for a rest or a hold."""
    syllable: int | None = None
    """Which syllable of the line, from 0; the line may have fewer."""
    onset_beats: Fraction | None = None
    """Felt beats from the line's start; None for a syllable that the lane has no room for."""
    bar: int | None = None
    """0 is the pickup, 1 the first full bar."""
    on_beat: bool = False
    strong: bool = False
    """Whether a bar begins with it."""

    @property
    def silent(self) -> bool:
        """Whether nothing begins in it."""
        return self.event is None


def columns(line: Line, metre: Metre) -> tuple[Column, ...]:
    """Every cell of a line's lane; then the syllables that are left, so that no word is lost.

    A line without a lane is spoken a syllable a step, in whole bars.
    """
    count = len(line.syllables)
    if line.lane is None:
        step = Fraction(1, metre.steps_per_beat)
        return tuple(
            Column(_SAID, CellPlace(0, i, 0), 1, i, i, i * step, 1 + i // metre.steps)
            for i in range(count)
        )
    cells = _cells(line.lane, metre)
    left = range(line.lane.syllables, count)
    if not left:
        return cells
    return (*cells, *(Column(_SAID, CellPlace(0, i, 0), syllable=i) for i in left))


@lru_cache(maxsize=1024)
def _cells(lane: Lane, metre: Metre) -> tuple[Column, ...]:
    return tuple(_each_cell(lane, metre))


def _each_cell(lane: Lane, metre: Metre) -> Iterator[Column]:
    event = syllable = steps = 0
    for b, bar in enumerate(lane.all_bars):
        pickup = lane.pickup and b == 0
        back = metre.steps - len(bar) if pickup else 0
        for s, step in enumerate(bar):
            for p, cell in enumerate(step):
                begins = cell.mark not in (Mark.REST, Mark.HOLD)
                yield Column(
                    cell,
                    _place(b, s, p),
                    len(step),
                    event if begins else None,
                    syllable if cell.mark.said else None,
                    _beats(steps * len(step) + p, metre.steps_per_beat * len(step)),
                    b if lane.pickup else b + 1,
                    p == 0 and (back + s) % metre.steps_per_beat == 0,
                    p == 0 and s == 0 and not pickup,
                )
                event += begins
                syllable += cell.mark.said
            steps += 1
