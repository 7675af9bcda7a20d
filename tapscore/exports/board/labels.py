"""Where names go beside their marks, so that none lies on another or leaves the picture.

The widths come from whoever draws, so that this serves paper and screen.
"""

from collections.abc import Iterator, Sequence
from itertools import chain
from math import hypot

from attrs import frozen

Box = tuple[float, float, float, float]
"""Left, top, width and height."""
_STEPS = (0, 1, -1, 2, -2)
_RINGS = 4
_FARTHEST = 2 * _RINGS + 2
"""Farther than any place beside a mark."""
_OVER = 50.0
"""How much worse a name on another is than one farther from its mark."""


@frozen
class LabelMark:
    """Something in the picture with its label's size (0 by 0 for none)."""

    box: Box
    bounds: Box
    """Where its label must stay."""
    width: float = 0.0
    height: float = 0.0
    sides: str = "right left below above"
    """Where the label may go, best first; ``over`` is on the mark itself."""
    near: float = 3.0
    """Between mark and label."""


def placed_labels(
    marks: Sequence[LabelMark], keep_clear: Sequence[tuple[Box, float]] = ()
) -> tuple[Box | None, ...]:
    """A box for each mark's label, clear of marks and labels if there is room.

    Boxes of ``keep_clear`` have a weight: how much it matters that no label lies on them.
    The label goes where it covers least and is not far away.  Whatever the room, a label no
    larger than its bounds stays inside them.
    """
    own = [mark.box for mark in marks]
    written: list[Box] = []
    boxes: list[Box | None] = []
    for number, mark in enumerate(marks):
        if not mark.width:
            boxes.append(None)
            continue
        others = [*own[:number], *own[number + 1 :], *written]
        best: Box | None = None
        least = float("inf")
        for box, over, far in chain(_boxes(mark), _anywhere(mark)):
            if least < _OVER and far >= _FARTHEST:
                break  # clear of all, or as good as
            cost = far * mark.height
            if cost >= least:
                continue
            taken = others if over else [*others, mark.box]
            cost += _OVER * sum(common(box, other) for other in taken)
            cost += sum(weight * common(box, other) for other, weight in keep_clear)
            if cost < least:
                best, least = box, cost
            if not cost:
                break
        assert best is not None
        boxes.append(best)
        written.append(best)
    return tuple(boxes)


def common(one: Box, other: Box) -> float:
    """Area that two boxes share."""
    wide = min(one[0] + one[2], other[0] + other[2]) - max(one[0], other[0])
    high = min(one[1] + one[3], other[1] + other[3]) - max(one[1], other[1])
    return wide * high if wide > 0 and high > 0 else 0.0


def _boxes(mark: LabelMark) -> Iterator[tuple[Box, bool, float]]:
    """Boxes beside a mark, all inside its bounds; whether on it, and how far from it."""
    left, top, mark_wide, mark_high = mark.box
    middle_x, middle_y = left + mark_wide / 2, top + mark_high / 2
    wide, high = mark.width, mark.height
    for ring in range(_RINGS):
        for step in _STEPS:
            for side in mark.sides.split():
                if side == "over":
                    if ring == step == 0:
                        x, y = middle_x - wide / 2, middle_y - high / 2
                        yield _inside(mark, x, y), True, 0
                    continue
                across, down = ring * wide / 2, ring * high
                along_x = step * (wide / 2 + mark_wide / 2) if side in ("above", "below") else 0.0
                along_y = step * high if side in ("left", "right") else 0.0
                x = {
                    "right": left + mark_wide + mark.near + across,
                    "left": left - mark.near - wide - across,
                }.get(side, middle_x - wide / 2 + along_x)
                y = {
                    "above": top - high - down,
                    "below": top + mark_high + down,
                }.get(side, middle_y - high / 2 + along_y)
                yield _inside(mark, x, y), False, 2 * ring + abs(step)


def _anywhere(mark: LabelMark) -> Iterator[tuple[Box, bool, float]]:
    """Boxes over all its bounds in rows, for a mark in a crowd: the nearest first."""
    left, top, room, tall = mark.bounds
    wide, high = mark.width, mark.height
    across = range(max(int((room - wide) / (wide / 4)), 0) + 1)
    down = range(max(int((tall - high) / (high / 2)), 0) + 1)
    made = [(left + wide / 4 * i, top + high / 2 * j) for i in across for j in down]
    centre_x, centre_y = mark.box[0] + mark.box[2] / 2, mark.box[1] + mark.box[3] / 2

    def away(at: tuple[float, float]) -> float:
        return hypot(at[0] + wide / 2 - centre_x, at[1] + high / 2 - centre_y)

    for at in sorted(made, key=away):
        yield _inside(mark, *at), False, _FARTHEST + away(at) / high


def _inside(mark: LabelMark, x: float, y: float) -> Box:
    left, top, wide, high = mark.bounds
    x = max(min(x, left + wide - mark.width), left)
    return x, max(min(y, top + high - mark.height), top), mark.width, mark.height
