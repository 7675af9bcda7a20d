"""Where the syllables and marks of a line stand on the screen.  No Qt here.

Steps are equally wide unless the words below need more room; a line too long for the
window goes on in a further strip, broken at a bar line where there is one.
"""

from collections.abc import Callable
from functools import lru_cache

from attrs import frozen

from tapscore.model.lane import Cell, Lane, Mark
from tapscore.model.lane_edits import CellPlace
from tapscore.model.metre import Metre
from tapscore.model.story import Line
from tapscore.model.words import Syllable

Measure = Callable[[str], float]


@frozen
class Spacing:
    """Widths in pixels at the text size in use."""

    step: float
    """Least width of a step."""
    word_gap: float
    syllable_gap: float
    bar_gap: float
    """Room in front of a bar line's first mark."""


@frozen
class PlacedCell:
    """A cell of the lane, with what is written above it."""

    x: float
    end_x: float
    """Where its last held step ends."""
    place: CellPlace
    cell: Cell
    event: int | None
    """Its number among taps and syllables; None for a rest or a hold."""
    syllable: Syllable | None
    on_beat: bool
    strong: bool
    """Whether a bar begins with it."""
    held: bool = False
    """Whether it lasts longer than its own step."""


@frozen
class Strip:
    """One row of words over marks."""

    cells: tuple[PlacedCell, ...]
    bar_xs: tuple[float, ...]
    width: float


@frozen
class LaneLayout:
    """The strips of a line, top to bottom."""

    strips: tuple[Strip, ...]


@frozen
class _Flat:
    place: CellPlace
    cell: Cell
    share: float
    on_beat: bool
    strong: bool


def lay_out(
    line: Line, metre: Metre, measure: Measure, spacing: Spacing, width: float
) -> LaneLayout:
    """Place everything of a line within ``width`` pixels."""
    if line.lane is None:
        return _words_alone(line, measure, spacing, width)
    cells = _flat_cells(line.lane, metre)
    syllables = line.syllables
    xs = _positions(cells, syllables, measure, spacing)
    return LaneLayout(_strips(cells, xs, syllables, spacing, width))


@lru_cache(maxsize=1024)
def _flat_cells(lane: Lane, metre: Metre) -> tuple[_Flat, ...]:
    flat: list[_Flat] = []
    for b, bar in enumerate(lane.all_bars):
        back = metre.steps - len(bar) if lane.pickup and b == 0 else 0
        for s, step in enumerate(bar):
            for p, cell in enumerate(step):
                position = back + s
                on_beat = p == 0 and position % metre.steps_per_beat == 0
                strong = p == 0 and s == 0 and not (lane.pickup and b == 0)
                flat.append(_Flat(CellPlace(b, s, p), cell, 1 / len(step), on_beat, strong))
    return tuple(flat)


def _positions(
    cells: tuple[_Flat, ...],
    syllables: tuple[Syllable, ...],
    measure: Measure,
    spacing: Spacing,
) -> list[float]:
    """Left edge of every cell, and of the end."""
    xs: list[float] = []
    x = 0.0
    said = 0
    last_said: int | None = None
    needed = 0.0
    for index, flat in enumerate(cells):
        if flat.strong and index:
            x += spacing.bar_gap
        if flat.cell.mark.said:
            if last_said is not None and x < needed:
                _spread(xs, last_said, needed - x)
                x = needed
            last_said = index
            if said < len(syllables):
                syllable = syllables[said]
                gap = spacing.word_gap if syllable.ends_word else spacing.syllable_gap
                needed = x + measure(syllable.text) + gap
            said += 1
        xs.append(x)
        x += spacing.step * max(flat.share, 0.6)
    xs.append(max(x, needed))
    return xs


def _spread(xs: list[float], after: int, extra: float) -> None:
    count = len(xs) - after
    for i in range(after + 1, len(xs)):
        xs[i] += extra * (i - after) / count


def _strips(
    cells: tuple[_Flat, ...],
    xs: list[float],
    syllables: tuple[Syllable, ...],
    spacing: Spacing,
    width: float,
) -> tuple[Strip, ...]:
    strips: list[Strip] = []
    start = 0
    while start < len(cells):
        end = _break_after(cells, xs, start, width)
        strips.append(_strip(cells, xs, syllables, spacing, start, end))
        start = end
    return tuple(strips)


def _break_after(cells: tuple[_Flat, ...], xs: list[float], start: int, width: float) -> int:
    fits = start + 1
    bar = None
    for index in range(start + 1, len(cells) + 1):
        if xs[index] - xs[start] > width:
            break
        fits = index
        if index < len(cells) and cells[index].strong:
            bar = index
    if fits == len(cells):
        return fits
    return bar or fits


def _strip(
    cells: tuple[_Flat, ...],
    xs: list[float],
    syllables: tuple[Syllable, ...],
    spacing: Spacing,
    start: int,
    end: int,
) -> Strip:
    said = sum(flat.cell.mark.said for flat in cells[:start])
    event = sum(flat.cell.mark not in (Mark.REST, Mark.HOLD) for flat in cells[:start])
    placed: list[PlacedCell] = []
    bars: list[float] = []
    for index in range(start, end):
        flat = cells[index]
        mark = flat.cell.mark
        x = xs[index] - xs[start]
        if flat.strong:
            bars.append(x - spacing.bar_gap / 2 if index > start else x - 2)
        held = index + 1
        while held < end and cells[held].cell.mark is Mark.HOLD:
            held += 1
        is_event = mark not in (Mark.REST, Mark.HOLD)
        syllable = syllables[said] if mark.said and said < len(syllables) else None
        placed.append(
            PlacedCell(
                x,
                xs[held] - xs[start],
                flat.place,
                flat.cell,
                event if is_event else None,
                syllable,
                flat.on_beat,
                flat.strong,
                held > index + 1,
            )
        )
        said += mark.said
        event += is_event
    return Strip(tuple(placed), tuple(bars), xs[end] - xs[start])


def _words_alone(line: Line, measure: Measure, spacing: Spacing, width: float) -> LaneLayout:
    strips: list[Strip] = []
    cells: list[PlacedCell] = []
    x = 0.0
    for number, syllable in enumerate(line.syllables):
        advance = measure(syllable.text) + (
            spacing.word_gap if syllable.ends_word else spacing.syllable_gap
        )
        if cells and x + advance > width:
            strips.append(Strip(tuple(cells), (), x))
            cells, x = [], 0.0
        cell = Cell(Mark.SYLLABLE_ALONE)
        place = CellPlace(0, number, 0)
        cells.append(PlacedCell(x, x + advance, place, cell, None, syllable, False, False))
        x += advance
    strips.append(Strip(tuple(cells), (), x))
    return LaneLayout(tuple(strips))
