"""Rows of words with tap marks beneath, as blocks of a page."""

from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import partial

from attrs import frozen

from tapscore.exports import marks
from tapscore.exports.marks import PathSink
from tapscore.exports.paper.drawing import Element, StraightLine, TaggedBlock, TextRun, shape
from tapscore.exports.paper.inks import INK, MUTED, PLUM
from tapscore.exports.paper.lane_columns import JOINER, PlacedColumn, PrintedRow
from tapscore.rhythm.performance import PerformedTap, Segment
from tapscore.wording.catalogue import say

WORDS_EM = 1.0
"""Height of a line of words, in sizes: base line at 0.78, then the letters' tails."""
BASE_EM = 0.78
ACCENT_EM = 0.66
"""Room for the wedge of an accent, in units of the marks."""
HOLD_STEPS = Fraction(3, 2)
"""A tap held longer than this many lane steps has a tail."""


@frozen
class Drawn:
    """Blocks drawn from (0, 0), and the height they take."""

    blocks: tuple[TaggedBlock, ...]
    height: float


def draw_words(row: PrintedRow, size_pt: float) -> Drawn:
    """Draw the words of a row, a dot between the syllables of a word.

    Captions are mere decoration: their words stand whole elsewhere.
    """
    base = size_pt * BASE_EM
    texts: list[Element] = []
    dots: list[Element] = []
    for placed in row.columns:
        column = placed.column
        if column.text:
            x = placed.x + (placed.width - placed.text_width) / 2
            texts.append(
                TextRun(
                    x,
                    base,
                    column.text,
                    size_pt,
                    INK,
                    True,
                    placed.text_width,
                    column.spoken if column.spoken != column.text else None,
                )
            )
        if placed.dot_after is not None:
            radius = size_pt * 0.068
            dot = partial(
                marks.ellipse, x=placed.dot_after, y=base - size_pt * 0.26, rx=radius, ry=radius
            )
            dots.append(shape(MUTED, dot))
    caption = any(placed.column.caption for placed in row.columns)
    blocks = [TaggedBlock("Artifact" if caption else "P", tuple(texts))]
    if dots:
        blocks.append(TaggedBlock("Artifact", tuple(dots)))
    return Drawn(tuple(blocks), size_pt * WORDS_EM)


def draw_marks(
    row: PrintedRow,
    following: PrintedRow | None,
    segment: Segment,
    taps: Mapping[int, PerformedTap],
    unit: float,
    *,
    alt: str,
    signs: bool = True,
    swell: Mapping[int, PerformedTap] | None = None,
) -> Drawn:
    """Draw one adult's taps under a row: bar lines, marks, accents, tails and, if ``signs``,
    the hairpin of a swell and the ticks of a changing tempo.

    ``taps`` are by event of the line's lane.  ``following`` is the row that goes on after.
    The hairpin goes by the taps of ``swell``, or those drawn; one tap by itself has none.
    """
    here = _in_row(row, taps)
    tallest = max((marks.mark_size(float(tap.level), unit) for _, tap in here), default=0.0)
    tallest = max(tallest, marks.mark_size(2, unit)) if here else unit * 0.5
    accents = any(tap.accent for _, tap in here)
    middle = tallest / 2 + (unit * 0.28 if accents else 0.0)
    height = middle + tallest / 2
    figures: list[Element] = []
    for placed, tap in here:
        size = marks.mark_size(float(tap.level), unit)
        draw = partial(
            marks.whole_tap,
            stroke=tap.stroke,
            x=placed.centre,
            y=middle,
            size=size,
            unit=unit,
            accent=tap.accent,
            tail=_tail_end(row, following, placed, tap, segment),
        )
        figures.append(shape(INK, draw))
    blocks = [TaggedBlock("Artifact", tuple(_bar_lines(row, height, unit)))]
    if signs and here:
        swell = taps if swell is None else swell
        swelling = _in_row(row, swell) if len(swell) > 1 else []
        signed, height = _signs(row, swelling, segment, height, unit)
        figures += signed
    if figures:
        blocks.append(TaggedBlock("Figure", tuple(figures), alt))
    return Drawn(tuple(b for b in blocks if b.elements), height)


def _in_row(
    row: PrintedRow, taps: Mapping[int, PerformedTap]
) -> list[tuple[PlacedColumn, PerformedTap]]:
    return [
        (placed, taps[placed.column.event])
        for placed in row.columns
        if placed.column.event is not None and placed.column.event in taps
    ]


TAPS = say("Taps.")
"""How the description of a row's taps begins."""


def taps_alt(row: PrintedRow, taps: Mapping[int, PerformedTap]) -> str:
    """Describe the taps of a row, for a reader that cannot see them."""
    said = []
    for placed in row.columns:
        tap = taps.get(placed.column.event) if placed.column.event is not None else None
        if tap is None:
            continue
        name = placed.column.text.strip(JOINER) or say("a tap by itself")
        said.append(
            say(
                "{syllable}: {loudness}, {stroke}{accent:no=|yes=, accent}",
                syllable=name,
                loudness=tap.loudness.shown,
                stroke=tap.stroke.shown,
                accent="yes" if tap.accent else "no",
            )
        )
    return f"{TAPS} {'; '.join(said)}" if said else say("No taps.")


def tap_width(tap: PerformedTap, unit: float) -> float:
    """How wide a tap's mark is, the wedge of its accent included."""
    return max(marks.mark_size(float(tap.level), unit), unit * ACCENT_EM if tap.accent else 0.0)


def _bar_lines(row: PrintedRow, height: float, unit: float) -> list[Element]:
    lines: list[Element] = []
    for left, right in zip(row.columns, row.columns[1:], strict=False):
        one, two = left.column.bar, right.column.bar
        if one is None or two is None or one == two:
            continue
        x = (left.right + right.x) / 2
        lines.append(StraightLine(x, 0.0, x, height, MUTED, max(unit * 0.04, 1.0)))
    return lines


def _tail_end(
    row: PrintedRow,
    following: PrintedRow | None,
    placed: PlacedColumn,
    tap: PerformedTap,
    segment: Segment,
) -> float | None:
    """Where the tail of a held tap ends, or None for a tap that is not held."""
    if tap.length_beats <= HOLD_STEPS / segment.metre.steps_per_beat:
        return None
    onset = placed.column.onset_beats
    if onset is None:
        return None
    end = onset + tap.length_beats
    before = placed
    for column in row.columns:
        start = column.column.onset_beats
        if start is None or start <= onset:
            continue
        if start >= end:
            share = float((end - _onset(before)) / (start - _onset(before)))
            edge = min(column.x, column.centre)
            return before.centre + min(share, 1.0) * (edge - before.centre) * 0.92
        before = column
    goes_on = following is not None and any(
        c.column.onset_beats is not None and c.column.onset_beats < end for c in following.columns
    )
    return row.columns[-1].right if goes_on or before is not placed else placed.right


def _onset(placed: PlacedColumn) -> Fraction:
    return placed.column.onset_beats or Fraction(0)


def _signs(
    row: PrintedRow,
    swelling: Sequence[tuple[PlacedColumn, PerformedTap]],
    segment: Segment,
    height: float,
    unit: float,
) -> tuple[list[Element], float]:
    drawn: list[Element] = []
    tempo = segment.manner.tempo
    gap = unit * 0.16
    if len(segment.manner.loudness) > 1 and swelling:
        points = [(p.centre, unit * 0.5 * marks.hairpin_share(float(t.level))) for p, t in swelling]
        points = [(row.columns[0].x, points[0][1]), *points, (row.width, points[-1][1])]
        foot = height + gap + max(high for _, high in points)
        hairpin = partial(marks.hairpin, points=points, foot=foot, thinnest=unit * 0.05)
        drawn.append(shape(PLUM, hairpin))
        height = foot
    if tempo.change_word:
        tall = unit * 0.26
        slowing = tempo.change_word == "slowing"
        y = height + unit * 0.1

        def ticks(sink: PathSink) -> None:
            marks.tempo_ticks(sink, row.columns[0].x, row.width, y, tall, slowing=slowing)

        drawn.append(shape(PLUM, ticks))
        height = y + tall
    return drawn, height
