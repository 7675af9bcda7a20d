"""A line's words and taps in columns: every tap straight under its syllable."""

from collections.abc import Callable, Sequence
from fractions import Fraction

from attrs import evolve, frozen

from tapscore.exports.paper import fonts
from tapscore.exports.paper.text_flow import divide, printable
from tapscore.exports.paper.text_width import width_pt
from tapscore.model.words import Syllable, printed_words
from tapscore.rhythm.columns import columns as in_time
from tapscore.rhythm.performance import Segment

DOT_EM = 0.26
"""Room for the dot between syllables, in sizes of the words."""
SPACE_EM = 0.36
MARK_GAP_EM = 0.16
JOINER = "\N{ZERO WIDTH JOINER}"


@frozen
class PrintedColumn:
    """One syllable, tap or both."""

    text: str
    """As printed; empty for a tap alone."""
    spoken: str | None
    """The whole word on its first syllable, nothing on its others; None for a tap alone."""
    word: int | None
    ends_word: bool
    event: int | None
    """Which event of the lane; None for a syllable the lane has no room for."""
    onset_beats: Fraction | None
    bar: int | None
    caption: bool = False
    """Whether the words stand whole above the row, and this only says where the tap falls."""


@frozen
class PlacedColumn:
    """A column with its place in a row, in points from the row's left end."""

    column: PrintedColumn
    x: float
    width: float
    text_width: float
    dot_after: float | None
    """Where the dot to the next syllable stands."""

    @property
    def centre(self) -> float:
        """Middle of the column, where its tap stands."""
        return self.x + self.width / 2

    @property
    def right(self) -> float:
        """Right end of the column."""
        return self.x + self.width


@frozen
class PrintedRow:
    """As much of a line as fits the width."""

    columns: tuple[PlacedColumn, ...]
    width: float


def columns(segment: Segment, keep: Callable[[int], bool]) -> tuple[PrintedColumn, ...]:
    """Columns of a line in order of time: each syllable, and each tap alone that ``keep`` wants.

    Syllables that the lane has no room for follow at the end, so that no word is lost.  If
    words run from right to left, syllables are captions: see ``whole_words``.
    """
    line = segment.line
    if line is None:
        return ()
    spoken: list[str] = []
    for word in printed_words(line.syllables):
        whole = "".join(syllable.text for syllable in word)
        spoken += [printable(whole)] + [""] * (len(word) - 1)
    written = line.syllables
    caption = fonts.right_to_left(line.words)
    found: list[PrintedColumn] = []
    for each in in_time(line, segment.metre):
        event, at = each.event, each.syllable
        if at is not None and at < len(written):
            said = written[at]
            text, whole = _syllable(written, at), spoken[at]
            found.append(
                PrintedColumn(
                    text,
                    whole,
                    said.word,
                    said.ends_word,
                    event,
                    each.onset_beats,
                    each.bar,
                    caption,
                )
            )
        elif event is not None and each.cell.mark.tapped and keep(event):
            found.append(PrintedColumn("", None, None, True, event, each.onset_beats, each.bar))
    return tuple(found)


def _syllable(written: Sequence[Syllable], at: int) -> str:
    """A syllable as printed; its letters are joined to those of the next one in the word."""
    syllable = written[at]
    text = printable(syllable.text)
    if not fonts.right_to_left(text):
        return text
    begins = at == 0 or written[at - 1].ends_word
    return ("" if begins else JOINER) + text + ("" if syllable.ends_word else JOINER)


def rows(
    wanted: Sequence[PrintedColumn],
    mark_width: Callable[[PrintedColumn], float],
    *,
    size_pt: float,
    width: float,
    first_width: float | None = None,
) -> tuple[PrintedRow, ...]:
    """Fill rows with columns: broken between words, and within one only if it is too wide.

    ``mark_width`` gives the width of the widest tap mark of a column.  The first row may
    be narrower than the others.
    """
    done: list[PrintedRow] = []
    full_width = width
    width = full_width if first_width is None else first_width
    row: list[PlacedColumn] = []
    x = 0.0
    gap = SPACE_EM * size_pt
    for unit in _units(wanted):
        placed = _unit(unit, mark_width, size_pt)
        wide = placed[-1].right
        if row and x + gap + wide > width + 0.01:
            done.append(PrintedRow(tuple(row), x))
            row, x = [], 0.0
            width = full_width
        if wide > width:
            broken = _broken(unit, mark_width, size_pt, width)
            done += [PrintedRow(tuple(piece), piece[-1].right) for piece in broken[:-1]]
            placed = broken[-1]
            wide = placed[-1].right
            width = full_width if len(broken) > 1 else width
        start = x + gap if row else 0.0
        row += [_shifted(column, start) for column in placed]
        x = start + wide
    if row:
        done.append(PrintedRow(tuple(row), x))
    return tuple(done)


def _units(wanted: Sequence[PrintedColumn]) -> list[list[PrintedColumn]]:
    """Columns that belong to one word, taps inside it included; other taps by themselves."""
    units: list[list[PrintedColumn]] = []
    open_word: int | None = None
    for column in wanted:
        if units and open_word is not None and column.word in (None, open_word):
            units[-1].append(column)
        else:
            units.append([column])
        if column.word is not None:
            open_word = None if column.ends_word else column.word
    return units


def _unit(
    unit: Sequence[PrintedColumn],
    mark_width: Callable[[PrintedColumn], float],
    size_pt: float,
) -> list[PlacedColumn]:
    placed: list[PlacedColumn] = []
    x = 0.0
    for index, column in enumerate(unit):
        text = width_pt(column.text, size_pt, bold=True)
        mark = mark_width(column)
        wide = max(text, mark + MARK_GAP_EM * size_pt if mark else 0.0)
        last = index == len(unit) - 1
        dotted = not last and column.text and not column.text.endswith("-")
        dot = x + wide + DOT_EM * size_pt / 2 if dotted else None
        placed.append(PlacedColumn(column, x, wide, text, dot))
        x += wide + DOT_EM * size_pt
    return placed


def _broken(
    unit: Sequence[PrintedColumn],
    mark_width: Callable[[PrintedColumn], float],
    size_pt: float,
    width: float,
) -> list[list[PlacedColumn]]:
    """A word too wide for a row, over several: broken at syllables, with a hyphen."""
    hyphen = width_pt("-", size_pt, bold=True)
    small: list[PrintedColumn] = []
    for column in unit:
        bits = divide(column.text, size_pt, width - hyphen, bold=True)
        if len(bits) < 2:
            small.append(column)
            continue
        for number, bit in enumerate(bits):
            last = number == len(bits) - 1
            small.append(
                evolve(
                    column,
                    text=bit,
                    spoken=column.spoken if number == 0 else "",
                    ends_word=column.ends_word and last,
                    event=column.event if number == 0 else None,
                )
            )
    lines: list[list[PrintedColumn]] = [[]]
    for column in small:
        tried = [*lines[-1], column]
        if lines[-1] and _unit(tried, mark_width, size_pt)[-1].right + hyphen > width:
            _hyphenate(lines[-1])
            lines.append([column])
        else:
            lines[-1] = tried
    return [_unit(line, mark_width, size_pt) for line in lines]


def _hyphenate(line: list[PrintedColumn]) -> None:
    """Put a hyphen after the last syllable of a broken row, if it has none."""
    for index in range(len(line) - 1, -1, -1):
        text = line[index].text
        if text:
            if not text.endswith("-"):
                line[index] = evolve(line[index], text=text + "-")
            return


def _shifted(placed: PlacedColumn, by: float) -> PlacedColumn:
    dot = None if placed.dot_after is None else placed.dot_after + by
    return evolve(placed, x=placed.x + by, dot_after=dot)
