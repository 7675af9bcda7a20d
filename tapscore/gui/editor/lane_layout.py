"""Where the syllables and marks of a line stand on the screen.  No Qt here.

Steps are equally wide unless the words below need more room; a line too long for the
window goes on in a further strip, broken at a bar line where there is one.
"""

from collections.abc import Callable

from attrs import evolve, frozen

from tapscore.model.lane import Mark
from tapscore.model.metre import Metre
from tapscore.model.story import Line
from tapscore.model.words import Syllable
from tapscore.rhythm.columns import Column, columns

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
    column: Column
    syllable: Syllable | None
    held: bool = False
    """Whether it lasts longer than its own step."""

    @property
    def event(self) -> int | None:
        """Its number among taps and syllables; None for a rest or a hold."""
        return self.column.event


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


def lay_out(
    line: Line, metre: Metre, measure: Measure, spacing: Spacing, width: float
) -> LaneLayout:
    """Place everything of a line within ``width`` pixels."""
    if line.lane is None:
        return _words_alone(line, metre, measure, spacing, width)
    cells = tuple(each for each in columns(line, metre) if each.onset_beats is not None)
    syllables = line.syllables
    xs = _positions(cells, syllables, measure, spacing)
    return LaneLayout(_strips(cells, xs, syllables, spacing, width))


def _positions(
    cells: tuple[Column, ...],
    syllables: tuple[Syllable, ...],
    measure: Measure,
    spacing: Spacing,
) -> list[float]:
    """Left edge of every cell, and of the end."""
    xs: list[float] = []
    x = 0.0
    last_said: int | None = None
    needed = 0.0
    for index, column in enumerate(cells):
        if column.strong and index:
            x += spacing.bar_gap
        said = column.syllable
        if said is not None:
            if last_said is not None and x < needed:
                _spread(xs, last_said, needed - x)
                x = needed
            last_said = index
            if said < len(syllables):
                syllable = syllables[said]
                gap = spacing.word_gap if syllable.ends_word else spacing.syllable_gap
                needed = x + measure(syllable.text) + gap
        xs.append(x)
        x += spacing.step * max(1 / column.parts, 0.6)
    xs.append(max(x, needed))
    return xs


def _spread(xs: list[float], after: int, extra: float) -> None:
    count = len(xs) - after
    for i in range(after + 1, len(xs)):
        xs[i] += extra * (i - after) / count


def _strips(
    cells: tuple[Column, ...],
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


def _break_after(cells: tuple[Column, ...], xs: list[float], start: int, width: float) -> int:
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
    cells: tuple[Column, ...],
    xs: list[float],
    syllables: tuple[Syllable, ...],
    spacing: Spacing,
    start: int,
    end: int,
) -> Strip:
    placed: list[PlacedCell] = []
    bars: list[float] = []
    for index in range(start, end):
        column = cells[index]
        x = xs[index] - xs[start]
        if column.strong:
            bars.append(x - spacing.bar_gap / 2 if index > start else x - 2)
        held = index + 1
        while held < end and cells[held].cell.mark is Mark.HOLD:
            held += 1
        said = column.syllable
        syllable = syllables[said] if said is not None and said < len(syllables) else None
        placed.append(PlacedCell(x, xs[held] - xs[start], column, syllable, held > index + 1))
    return Strip(tuple(placed), tuple(bars), xs[end] - xs[start])


def _words_alone(
    line: Line, metre: Metre, measure: Measure, spacing: Spacing, width: float
) -> LaneLayout:
    strips: list[Strip] = []
    cells: list[PlacedCell] = []
    x = 0.0
    for column, syllable in zip(columns(line, metre), line.syllables, strict=True):
        advance = measure(syllable.text) + (
            spacing.word_gap if syllable.ends_word else spacing.syllable_gap
        )
        if cells and x + advance > width:
            strips.append(Strip(tuple(cells), (), x))
            cells, x = [], 0.0
        cells.append(PlacedCell(x, x + advance, evolve(column, event=None), syllable))
        x += advance
    strips.append(Strip(tuple(cells), (), x))
    return LaneLayout(tuple(strips))
