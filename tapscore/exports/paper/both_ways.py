"""Lines with letters that run from right to left, set in the order they are read."""

from collections.abc import Sequence

from attrs import evolve

from tapscore.exports.paper.drawing import FROM_LEFT, FROM_RIGHT, TextRun
from tapscore.exports.paper.inks import Ink
from tapscore.exports.paper.shaping import run_width_em
from tapscore.exports.paper.text_flow import disowned
from tapscore.exports.paper.writing_direction import Stretch, stretches

Look = tuple[str, bool, Ink]
"""Text, whether it is bold, and its ink."""


def both_ways(
    lines: Sequence[Sequence[Look]],
    size_pt: float,
    *,
    from_right: bool,
    base_lines: Sequence[float],
) -> tuple[tuple[TextRun, ...], float]:
    """Place the runs of every line; gives them as they are read, and the widest line's width.

    ``lines`` are broken already, their texts in the order they are written; ``base_lines``
    are their heights.  Lines ``from_right`` end together at the right.
    """
    set_lines: list[tuple[list[TextRun], float]] = []
    before = ""
    for number, (line, y) in enumerate(zip(lines, base_lines, strict=True)):
        made, width = _line(line, size_pt, y, from_right=from_right, before=before)
        if number < len(lines) - 1:
            made[-1] = _parted(made[-1])
        set_lines.append((made, width))
        before += "".join(text for text, _, _ in line)
    widest = max(width for _, width in set_lines)
    return (
        tuple(
            evolve(text, x=text.x + (widest - width)) if from_right else text
            for made, width in set_lines
            for text in made
        ),
        widest,
    )


def _parted(text: TextRun) -> TextRun:
    """The last run of a line, with a space to the next one for whoever reads it."""
    if text.way == FROM_LEFT:
        return evolve(text, text=f"{text.text} ")
    return evolve(text, spoken=f"{text.spoken} ")


def _line(
    line: Sequence[Look], size_pt: float, y: float, *, from_right: bool, before: str
) -> tuple[list[TextRun], float]:
    whole = "".join(text for text, _, _ in line)
    looks: list[tuple[int, int, Look]] = []
    at = 0
    for look in line:
        looks.append((at, at + len(look[0]), look))
        at += len(look[0])
    made: list[tuple[int, TextRun]] = []
    x = 0.0
    for stretch in stretches(whole, from_right=from_right, before=before):
        for start, end, (_, bold, ink) in _parts(stretch, looks):
            text = disowned(whole[start:end])
            if not text:
                continue
            wide = size_pt * run_width_em(text, bold, from_right=stretch.from_right)
            spoken, way = (text, FROM_RIGHT) if stretch.from_right else (None, FROM_LEFT)
            made.append((start, TextRun(x, y, text, size_pt, ink, bold, wide, spoken, way)))
            x += wide
    return [text for _, text in sorted(made, key=lambda item: item[0])], x


def _parts(stretch: Stretch, looks: Sequence[tuple[int, int, Look]]) -> list[tuple[int, int, Look]]:
    """A stretch cut where the look changes, from the left."""
    cut = [
        (max(stretch.start, start), min(stretch.end, end), look)
        for start, end, look in looks
        if max(stretch.start, start) < min(stretch.end, end)
    ]
    return cut[::-1] if stretch.from_right else cut
