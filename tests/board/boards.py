"""Boards and plates that several tests use."""

from fractions import Fraction
from math import pi

import numpy as np
from attrs import evolve
from numpy.typing import NDArray

from tapscore.board.default_board import DEFAULT_BOARD
from tapscore.board.edges import Edges
from tapscore.board.plate import solve
from tapscore.board.plywood import describe
from tapscore.board.pupils import Patch, patches_on
from tapscore.board.stiffness import Plate, isotropic
from tapscore.model.board import HEADINGS, Board, Named, Place, Point, Sheet, Strips

BIRCH: Plate = describe(DEFAULT_BOARD).plate
UNIT: Plate = isotropic(1, 1, 1, 0.3, 1)
"""A square plate whose natural angular frequency is lambda^2 itself."""


def at(x_mm: float, y_mm: float) -> Point:
    return Point(Fraction(x_mm), Fraction(y_mm))


def patches_at(*places: Place, board: Board = DEFAULT_BOARD) -> tuple[Patch, ...]:
    """What lies under pupils on a board."""
    return patches_on(evolve(board, places=places))


TWO_PLACES = Board(
    Fraction(1200),
    Fraction(900),
    Sheet("birch", Fraction(4), 3, "long"),
    Fraction(20),
    spots=(Named("middle", at(600, 450)), Named("near left", at(200, 150))),
    seats=(Named("south", at(600, 0)),),
    places=(Place("A", at(350, 500)), Place("B", at(850, 500))),
)


def first_values(edges: Edges, count: int, polynomials: int = 20) -> NDArray[np.float64]:
    """The first lambda^2 of a unit plate, rigid movements left out."""
    hz = solve(UNIT, edges, 400 / (2 * pi), (polynomials, polynomials)).sorted_hz
    values = 2 * pi * hz
    return np.asarray(values[values > 0.1][:count])


_MIRRORED = {"east": "west", "west": "east"}
_TURNED = {"north": "west", "west": "south", "south": "east", "east": "north"}


def moved(board: Board, how: str) -> Board:
    """The whole scene mirrored left to right, or turned a quarter to the left."""

    def point(p: Point) -> Point:
        if how == "mirror":
            return Point(board.width_mm - p.x_mm, p.y_mm)
        return Point(board.depth_mm - p.y_mm, p.x_mm)

    ways = _MIRRORED if how == "mirror" else _TURNED
    strips = board.strips or Strips()
    sides = {ways.get(side, side): getattr(strips, side) for side in HEADINGS}
    size = (board.width_mm, board.depth_mm)
    width, depth = size if how == "mirror" else size[::-1]
    return evolve(
        board,
        width_mm=width,
        depth_mm=depth,
        spots=tuple(evolve(spot, at=point(spot.at)) for spot in board.spots),
        seats=tuple(evolve(seat, at=point(seat.at)) for seat in board.seats),
        places=tuple(
            evolve(p, at=point(p.at), head=ways.get(p.head, p.head) if p.head else None)
            for p in board.places
        ),
        strips=Strips(**sides),
        way_out=point(board.way_out) if board.way_out else None,
    )
