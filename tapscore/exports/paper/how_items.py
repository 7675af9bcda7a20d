"""How a line is tapped: each thing with its sign and its word."""

from collections.abc import Sequence
from functools import partial

from tapscore.exports import marks
from tapscore.exports.board.drawing import target
from tapscore.exports.paper.bands import Item
from tapscore.exports.paper.drawing import Shape, shape
from tapscore.exports.paper.inks import INK, PLUM
from tapscore.exports.paper.text_flow import printable
from tapscore.model.loudness import Loudness
from tapscore.rhythm.describe import Description
from tapscore.rhythm.performance import PerformedTap, Segment


def how_items(
    found: Description, segment: Segment, taps: Sequence[PerformedTap], size: float
) -> list[Item]:
    """Stroke, loudness, tempo and spot, each with its sign and its word."""
    strokes = tuple(dict.fromkeys(tap.stroke for tap in taps))
    drawn = tuple(
        shape(
            INK,
            partial(
                marks.tap_mark,
                stroke=stroke,
                x=size * (0.5 + 1.1 * i),
                y=size * 0.58,
                size=size * 0.9,
            ),
        )
        for i, stroke in enumerate(strokes)
    )
    items = [Item(printable(found.stroke.words), sign=drawn, signs=len(strokes))]
    if found.spot.words:
        ring = tuple(target(size * 0.5, size * 0.58, size))
        items.append(Item(printable(found.spot.words), sign=ring, signs=1))
    loudness = printable(found.loudness.words)
    if found.swell:
        wedge = _small_wedge(segment.manner.loudness, size)
        items.append(Item(loudness, PLUM, True, (wedge,), 1))
    else:
        items.append(Item(loudness))
    if found.tempo in ("slowing", "quickening"):
        ticks = partial(
            marks.tempo_ticks,
            x0=0.0,
            x1=size * 0.95,
            y=size * 0.42,
            height=size * 0.4,
            slowing=found.tempo == "slowing",
        )
        items.append(Item(found.tempo, PLUM, True, (shape(PLUM, ticks),), 1))
    elif found.tempo:
        items.append(Item(found.tempo))
    return items


def _small_wedge(levels: Sequence[Loudness], size: float) -> Shape:
    points = [
        (size * i / (len(levels) - 1), size * (0.08 + 0.62 * level / 4))
        for i, level in enumerate(levels)
    ]
    wedge = partial(marks.swell_wedge, points=points, foot=size * 0.9, thinnest=size * 0.06)
    return shape(PLUM, wedge)
