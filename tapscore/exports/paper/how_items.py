"""How a line is tapped: each thing with its sign and its word."""

from collections.abc import Sequence
from functools import partial

from attrs import frozen

from tapscore.exports import marks
from tapscore.exports.board.drawing import target
from tapscore.exports.paper.bands import Item
from tapscore.exports.paper.drawing import Shape, shape
from tapscore.exports.paper.inks import INK, PLUM
from tapscore.exports.paper.text_flow import printable
from tapscore.model.loudness import Loudness
from tapscore.rhythm.describe import Description
from tapscore.rhythm.performance import PerformedTap, Segment
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term


@frozen
class Usual:
    """What holds for most of somebody's lines, and need not be said at each."""

    stroke: str = ""
    spot: str = ""
    loudness: str = ""


def how_items(
    found: Description,
    segment: Segment,
    taps: Sequence[PerformedTap],
    size: float,
    *,
    unless: Usual | None = None,
) -> list[Item]:
    """Stroke, loudness, tempo and spot, each with its sign and its word.

    What is as usual is left out, if ``unless`` says what is.
    """
    usual = unless or Usual()
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
    items: list[Item] = []
    if found.stroke.words != usual.stroke:
        items.append(Item(printable(found.stroke.words), sign=drawn, signs=len(strokes)))
    if found.spot.words and found.spot.words != usual.spot:
        ring = tuple(target(size * 0.5, size * 0.58, size))
        items.append(Item(printable(found.spot.words), sign=ring, signs=1))
    elif usual.spot and not found.spot.words:
        items.append(Item(say("anywhere on the board")))
    loudness = printable(found.loudness.words)
    if loudness == usual.loudness:
        pass
    elif found.swell:
        hairpin = _small_hairpin(segment.manner.loudness, size)
        items.append(Item(loudness, PLUM, True, (hairpin,), 1))
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
        items.append(Item(term(found.tempo), PLUM, True, (shape(PLUM, ticks),), 1))
    elif found.tempo:
        items.append(Item(term(found.tempo)))
    return items


def _small_hairpin(levels: Sequence[Loudness], size: float) -> Shape:
    points = [
        (size * i / (len(levels) - 1), size * (0.08 + 0.62 * level / 4))
        for i, level in enumerate(levels)
    ]
    hairpin = partial(marks.hairpin, points=points, foot=size * 0.9, thinnest=size * 0.06)
    return shape(PLUM, hairpin)
