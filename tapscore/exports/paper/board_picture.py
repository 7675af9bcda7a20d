"""The board from above, small: its spots, one adult's seat, the places as letters."""

from collections.abc import Collection
from functools import partial
from math import hypot

from attrs import frozen

from tapscore.exports import marks
from tapscore.exports.paper.drawing import Block, Element, Panel, Text, moved_block, shape
from tapscore.exports.paper.inks import INK, MUTED, TEAL, WHITE
from tapscore.exports.paper.text_width import width_pt
from tapscore.model.board import Board, Point


@frozen
class Picture:
    """The picture drawn from (0, 0)."""

    block: Block
    width_pt: float
    height_pt: float


def board_picture(
    board: Board,
    *,
    spots: Collection[str],
    seat: str | None,
    most: tuple[float, float],
    label: float,
) -> Picture:
    """Draw the board no larger than ``most`` (points), turned so that the seat is nearest.

    ``spots`` are the ones to tap now.  Letters of the places are ``label`` points; places
    too close together for letters of that size keep their ring alone.
    """
    at_seat = board.seat(seat) if seat is not None else None
    turn = _Turn(board, _side(board, at_seat))
    you = width_pt("you", label, bold=True)
    strip = label * 1.16 if at_seat is not None else label * 0.1
    edge = max(label * 0.09, 1.2)
    scale = min((most[0] - edge) / turn.width_mm, (most[1] - strip - edge) / turn.depth_mm)
    wide, deep = turn.width_mm * scale, turn.depth_mm * scale
    elements: list[Element] = [
        Panel(0, 0, wide, deep, label * 0.22, WHITE, INK, edge),
    ]
    said = ["The board from above" + (", your seat nearest" if at_seat else "") + "."]
    elements += _places(board, turn, scale, label)
    if board.places:
        said.append("Places: " + ", ".join(place.name for place in board.places) + ".")
    for name in spots:
        point = board.spot(name)
        if point is None:
            continue
        x, y = turn.at(point)
        elements += target(x * scale, y * scale, label)
        said.append(f"Tap at {name}.")
    if at_seat is not None:
        tab = you + label * 0.6
        middle = min(max(turn.at(at_seat)[0] * scale, tab / 2), max(wide - tab / 2, tab / 2))
        left = middle - tab / 2
        elements.append(Panel(left, deep, tab, strip, label * 0.2, TEAL))
        elements.append(Text(middle - you / 2, deep + label * 0.82, "you", label, WHITE, True, you))
    block = Block("Figure", tuple(elements), " ".join(said))
    return Picture(moved_block(block, edge / 2, edge / 2), wide + edge, deep + strip + edge)


class _Turn:
    """Board coordinates turned by quarter turns so that one side is at the bottom."""

    def __init__(self, board: Board, side: str) -> None:
        self._side = side
        self._width, self._depth = float(board.width_mm), float(board.depth_mm)
        sideways = side in ("east", "west")
        self.width_mm = self._depth if sideways else self._width
        self.depth_mm = self._width if sideways else self._depth

    def at(self, point: Point) -> tuple[float, float]:
        """Millimetres from the picture's top left corner."""
        x, y = float(point.x_mm), float(point.y_mm)
        if self._side == "north":
            return self._width - x, y
        if self._side == "east":
            return y, x
        if self._side == "west":
            return self._depth - y, self._width - x
        return x, self._depth - y


def _side(board: Board, seat: Point | None) -> str:
    """The side of the board a seat is at; south for none."""
    if seat is None:
        return "south"
    x, y = float(seat.x_mm / board.width_mm), float(seat.y_mm / board.depth_mm)
    distances = {"south": y, "north": 1 - y, "west": x, "east": 1 - x}
    return min(distances, key=lambda side: distances[side])


def _places(board: Board, turn: _Turn, scale: float, label: float) -> list[Element]:
    points = [tuple(v * scale for v in turn.at(place.at)) for place in board.places]
    radius = label * 0.58
    drawn: list[Element] = []
    for i, (x, y) in enumerate(points):
        near = min(
            (hypot(x - ox, y - oy) for j, (ox, oy) in enumerate(points) if j != i),
            default=radius * 3,
        )
        room = near >= radius * 1.9
        ring = radius if room else max(near * 0.45, 2.0)
        edge = max(label * 0.06, 1.2)
        drawn.append(Panel(x - ring, y - ring, 2 * ring, 2 * ring, ring, WHITE, MUTED, edge))
        if room:
            name = board.places[i].name
            wide = width_pt(name, label, bold=True)
            drawn.append(Text(x - wide / 2, y + label * 0.34, name, label, INK, True, wide))
    return drawn


def target(x: float, y: float, label: float) -> list[Element]:
    """Draw the sign of a spot: a ring with a point in it."""
    return [
        shape(ink, partial(marks.ellipse, x=x, y=y, rx=label * r, ry=label * r))
        for ink, r in ((WHITE, 0.42), (INK, 0.35), (WHITE, 0.24), (INK, 0.12))
    ]
