"""What stands on and round a board, added and taken away; ``kind`` is spot, seat or place."""

from fractions import Fraction
from typing import Any

from attrs import evolve

from tapscore.model.board import Board, Named, Place, Point

KINDS = ("spot", "seat", "place")
_APART_MM = 150


def resized(board: Board, width_mm: Fraction, depth_mm: Fraction) -> Board:
    """The board at another size; what stands on it keeps its share of the way across."""
    across, down = width_mm / board.width_mm, depth_mm / board.depth_mm

    def moved(point: Point) -> Point:
        return Point(Fraction(round(point.x_mm * across)), Fraction(round(point.y_mm * down)))

    return evolve(
        board,
        width_mm=width_mm,
        depth_mm=depth_mm,
        spots=tuple(Named(spot.name, moved(spot.at)) for spot in board.spots),
        seats=tuple(Named(seat.name, moved(seat.at)) for seat in board.seats),
        places=tuple(evolve(place, at=moved(place.at)) for place in board.places),
        way_out=None if board.way_out is None else moved(board.way_out),
    )


def names(board: Board | None, kind: str) -> tuple[str, ...]:
    """The names of all of one kind."""
    return tuple(each.name for each in _all(board, kind)) if board is not None else ()


def found(board: Board | None, kind: str, name: str) -> Named | Place | None:
    """One of them; None where there is none of that name."""
    if board is None:
        return None
    return next((each for each in _all(board, kind) if each.name == name), None)


def added(board: Board, kind: str, name: str) -> Board:
    """The board with one more, where there is room: seats at the edge, others inside."""
    made = (Place if kind == "place" else Named)(name, _free(board, kind))
    return _with(board, kind, (*_all(board, kind), made))


def put(board: Board, kind: str, thing: Named | Place) -> Board:
    """The board with the one of that name changed."""
    things = tuple(thing if e.name == thing.name else e for e in _all(board, kind))
    return _with(board, kind, things)


def without(board: Board, kind: str, name: str) -> Board:
    """The board without one of them."""
    return _with(board, kind, tuple(each for each in _all(board, kind) if each.name != name))


def _all(board: Board, kind: str) -> tuple[Named | Place, ...]:
    if kind not in KINDS:
        raise KeyError(kind)
    listed: tuple[Named | Place, ...] = getattr(board, f"{kind}s")
    return listed


def _with(board: Board, kind: str, things: tuple[Named | Place, ...]) -> Board:
    changes: dict[str, Any] = {f"{kind}s": things}
    return evolve(board, **changes)


def _free(board: Board, kind: str) -> Point:
    wide, deep = board.width_mm, board.depth_mm
    if kind == "seat":
        eighths = [(x, y) for x in (4, 2, 6) for y in (8, 0)] + [(x, 4) for x in (8, 0)]
    else:
        eighths = [(4, 4), *((x, y) for y in (6, 2, 4) for x in (2, 6))]
    points = [
        Point(Fraction(round(wide * x / 80) * 10), Fraction(round(deep * y / 80) * 10))
        for x, y in eighths
    ]
    taken = [each.at for each in _all(board, kind)]
    free = (p for p in points if all(p.distance_mm(at) >= _APART_MM for at in taken))
    return next(free, points[0])
