"""Where labels go beside their marks on the board, so that none lies on another."""

from collections.abc import Iterator, Sequence

from attrs import frozen
from PySide6.QtCore import QPointF, QRectF

_NEAR = 3.0
_STEPS = (0, 1, -1, 2, -2)


@frozen
class Mark:
    """Something on the board with its label's size (0 by 0 for none)."""

    at: QPointF
    half: float
    """Half the mark's own width."""
    bounds: QRectF
    """Where its label must stay."""
    width: float = 0.0
    height: float = 0.0
    sides: str = "right left below above"
    """Where the label may go, best first."""


def placed_labels(marks: Sequence[Mark]) -> tuple[QRectF, ...]:
    """A box for each mark's label, clear of marks and labels where there is room.

    Where there is none, the box that covers least is taken.
    """
    taken = [QRectF(m.at.x() - m.half, m.at.y() - m.half, 2 * m.half, 2 * m.half) for m in marks]
    boxes = []
    for mark in marks:
        if not mark.width:
            boxes.append(QRectF())
            continue
        best, least = QRectF(), float("inf")
        for box in _boxes(mark):
            covered = sum(_common(box, other) for other in taken)
            if covered < least:
                best, least = box, covered
            if not covered:
                break
        boxes.append(best)
        taken.append(best)
    return tuple(boxes)


def _boxes(mark: Mark) -> Iterator[QRectF]:
    """Boxes beside a mark, nearest first, all inside its bounds."""
    bounds = mark.bounds
    wide, high = mark.width, mark.height
    for step in _STEPS:
        for side in mark.sides.split():
            along_x = step * (wide / 2 + mark.half) if side in ("above", "below") else 0.0
            along_y = step * high if side in ("left", "right") else 0.0
            x = {
                "right": mark.at.x() + mark.half + _NEAR,
                "left": mark.at.x() - mark.half - _NEAR - wide,
            }.get(side, mark.at.x() - wide / 2 + along_x)
            y = {
                "above": mark.at.y() - mark.half - high,
                "below": mark.at.y() + mark.half,
            }.get(side, mark.at.y() - high / 2 + along_y)
            x = min(max(x, bounds.left()), bounds.right() - wide)
            y = min(max(y, bounds.top()), bounds.bottom() - high)
            yield QRectF(x, y, wide, high)


def _common(one: QRectF, other: QRectF) -> float:
    both = one.intersected(other)
    return both.width() * both.height() if not both.isEmpty() else 0.0
