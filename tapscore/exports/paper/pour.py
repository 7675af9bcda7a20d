"""Bands shared over as many sides as they need; nothing is lost and nothing made smaller."""

from collections.abc import Callable, Sequence

from attrs import evolve

from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.drawing import Element, Panel, TaggedBlock, TextRun, extent, moved


def pour(
    bands: Sequence[Band],
    room: Callable[[int], float],
    last_room: Callable[[int], float],
) -> list[list[Band]]:
    """Share bands over sides.

    ``room`` and ``last_room`` give the height there is on a side (from 0), when it goes on
    and when it is the last.  A band higher than a side is divided between lines of text.
    """
    sides: list[list[Band]] = []
    rest = list(bands)
    while True:
        number = len(sides)
        if number and rest and rest[0].again is not None:
            rest.insert(0, rest[0].again)
        if not rest or _height(rest) <= last_room(number) + 0.01:
            sides.append(rest)
            return sides
        if rest[0].height > room(number):
            rest[:1] = divided(rest[0], room(number))
        taken = _fitting(rest, room(number))
        if taken == len(rest) and taken > 1:
            taken = _whole(rest, taken - 1)
        sides.append(rest[:taken])
        rest = rest[taken:]


def divided(band: Band, room: float) -> list[Band]:
    """Cut a band between two of its lines of text so that the first part fits ``room``.

    A band that has no place to cut is given back whole.
    """
    feet = sorted(
        {round(extent(e)[3], 3) for block in band.blocks for e in block.elements if _text(e)}
    )
    fitting = [foot for foot in feet if foot <= room]
    if not fitting or fitting[-1] == feet[-1]:
        return [band]
    cut = fitting[-1]
    above: list[TaggedBlock] = []
    below: list[TaggedBlock] = []
    for block in band.blocks:
        upper, lower = _cut(block.elements, cut)
        if upper:
            above.append(evolve(block, elements=tuple(upper)))
        if lower:
            below.append(evolve(block, elements=tuple(lower)))
    first = evolve(band, blocks=tuple(above), height=cut)
    return [first, evolve(band, blocks=tuple(below), height=band.height - cut, bookmark=None)]


def _text(element: Element) -> bool:
    return isinstance(element, TextRun)


def _cut(elements: Sequence[Element], cut: float) -> tuple[list[Element], list[Element]]:
    upper: list[Element] = []
    lower: list[Element] = []
    for element in elements:
        _, top, _, foot = extent(element)
        if isinstance(element, Panel) and top < cut < foot:
            upper.append(evolve(element, height_pt=cut - element.y))
            rest = element.y + element.height_pt - cut
            lower.append(evolve(element, y=element.edge_pt / 2, height_pt=rest))
        elif (foot if _text(element) else top) <= cut + 0.01:
            upper.append(element)
        else:
            lower.append(moved(element, 0, -cut))
    return upper, lower


def _fitting(bands: Sequence[Band], room: float) -> int:
    height = 0.0
    for index, band in enumerate(bands):
        height += (band.space_before if index else 0.0) + band.height
        if height > room + 0.01:
            return _whole(bands, index)
    return len(bands)


def _whole(bands: Sequence[Band], taken: int) -> int:
    """As many bands or fewer, so that none is parted from the one it belongs above."""
    kept = taken
    while kept > 1 and bands[kept - 1].with_next:
        kept -= 1
    parted = kept < 1 or bands[kept - 1].with_next
    return max(taken if parted else kept, 1)


def _height(bands: Sequence[Band]) -> float:
    return sum(b.height + (b.space_before if i else 0.0) for i, b in enumerate(bands))
