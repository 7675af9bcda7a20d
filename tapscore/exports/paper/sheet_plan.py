"""What stands on which sheet: the best plan there is, by dynamic programming.

Pieces (a line with its waits, a return of the refrain, a run of rests) follow one another and
are never parted.  Among all ways to share them over sheets the plan has the fewest changes
with busy hands, then the fewest sheets, then the fewest sections parted, then the best moments
to change, then the evenest sheets.
"""

from collections.abc import Iterator, Sequence
from functools import reduce
from math import ceil

from attrs import field, frozen

Cost = tuple[int, int, int, int, float]
"""Changes with busy hands, sheets, sections parted, poor moments, unevenness."""
_NOTHING: Cost = (0, 0, 0, 0, 0.0)
_FIT_PT = 0.01


@frozen
class Measure:
    """How high one piece is, with the room above it."""

    full_pt: float
    again_pt: float | None = None
    """Where it stands a second time on one sheet: a refrain that is in full above."""
    name: str | None = None
    """What it is a return of; pieces of one name are in full once on a sheet."""


@frozen
class Border:
    """The place before a piece, where a sheet may be changed."""

    busy: bool
    """Whether hands are not free long enough."""
    parts_section: bool
    poor: int = 0
    """0 for the best moment within the time that hands are free, more for others."""


@frozen
class SheetSpan:
    """The pieces of one sheet."""

    first: int
    end: int
    """One more than its last piece; ``first`` for a sheet without any."""
    columns: tuple[int, ...]
    """The column of each of its pieces."""
    divided: bool = False
    """Whether its one piece is higher than a sheet and goes on over several, side by side."""


@frozen
class SheetRoom:
    """Height for pieces, and into how many columns it is divided."""

    first_pt: float
    """On the first sheet, below its front."""
    other_pt: float
    columns: int = 1


@frozen
class SheetPlan:
    """Sheets in order, and what they cost."""

    spans: tuple[SheetSpan, ...]
    cost: Cost = field(eq=False)


def plan_sheets(
    measures: Sequence[Measure], borders: Sequence[Border], room: SheetRoom
) -> SheetPlan:
    """The best way to share pieces over sheets.

    ``borders`` has one for each piece, the first one's is not looked at.  The front of the
    first sheet stands alone where no piece has room below it.
    """
    count = len(measures)
    best: list[tuple[Cost, int, SheetSpan | None]] = [(_NOTHING, count, None)] * (count + 1)
    for start in range(count - 1, -1, -1):
        best[start] = min(
            (
                (_plus(cost, _change(borders, span.end), best[span.end][0]), -span.end, span)
                for span, cost in _sheets(measures, start, room.other_pt, room.columns)
            ),
            key=lambda found: found[:2],
        )
    begins: list[tuple[Cost, int, SheetSpan]] = [
        (_plus(cost, _change(borders, span.end), best[span.end][0]), -span.end, span)
        for span, cost in _sheets(measures, 0, room.first_pt, room.columns)
        if not span.divided
    ]
    begins.append((_plus((0, 1, 0, 0, 1.0), best[0][0]), 0, SheetSpan(0, 0, ())))
    cost, _, first = min(begins, key=lambda found: found[:2])
    spans = [first]
    while spans[-1].end < count:
        following = best[spans[-1].end][2]
        assert following is not None
        spans.append(following)
    return SheetPlan(tuple(spans), cost)


def filled(
    measures: Sequence[Measure], start: int, room_pt: float, columns: int
) -> Iterator[tuple[int, float]]:
    """Column and height of each piece from ``start`` on, as long as they fit one sheet."""
    column, used = 0, 0.0
    names: set[str] = set()
    for at in range(start, len(measures)):  # a slice would copy all the rest for each sheet
        measure = measures[at]
        again = measure.name in names and measure.again_pt is not None
        high = measure.again_pt if again and measure.again_pt is not None else measure.full_pt
        if used + high > room_pt + _FIT_PT:
            column, used = column + (used > 0), 0.0
        if column >= columns or high > room_pt + _FIT_PT:
            return
        used += high
        if measure.name is not None:
            names.add(measure.name)
        yield column, high


def _sheets(
    measures: Sequence[Measure], start: int, room_pt: float, columns: int
) -> Iterator[tuple[SheetSpan, Cost]]:
    """Every sheet that can begin with a piece."""
    taken: list[int] = []
    total = 0.0
    for column, high in filled(measures, start, room_pt, columns):
        taken.append(column)
        total += high
        empty = 1 - total / (room_pt * columns)
        yield SheetSpan(start, start + len(taken), tuple(taken)), (0, 1, 0, 0, round(empty**2, 6))
    if not taken and room_pt > 0 and start < len(measures):
        sheets = max(ceil(measures[start].full_pt / (room_pt * columns)), 1)
        yield SheetSpan(start, start + 1, (0,), divided=True), (0, sheets, 0, 0, 0.0)


def _change(borders: Sequence[Border], at: int) -> Cost:
    if at >= len(borders):
        return _NOTHING
    border = borders[at]
    return (int(border.busy), 0, int(border.parts_section), border.poor, 0.0)


def _plus(*costs: Cost) -> Cost:
    return reduce(
        lambda a, b: (a[0] + b[0], a[1] + b[1], a[2] + b[2], a[3] + b[3], a[4] + b[4]), costs
    )
