"""The board that stands in where a story describes none; say so wherever it is used."""

from fractions import Fraction

from attrs import evolve

from tapscore.board.edges import SIMPLE, all_sides
from tapscore.model.board import Board, Named, Place, Point, Sheet
from tapscore.wording.catalogue import say

DEFAULT_EDGES = all_sides(SIMPLE)
"""A stiff strip under each side."""

DEFAULT_BOARD = Board(
    width_mm=Fraction(1200),
    depth_mm=Fraction(1200),
    sheet=Sheet("birch", Fraction(4), 3, "long"),
    gap_mm=Fraction(20),
)

DEFAULT_BOARD_SENTENCE = say(
    "The story describes no board: a birch sheet of 120 by 120 cm, 4 mm thick, on a strip "
    "under each side is used instead."
)


SOUNDING_BOARD = evolve(
    DEFAULT_BOARD,
    places=(
        Place("A", Point(Fraction(400), Fraction(600))),
        Place("B", Point(Fraction(800), Fraction(600))),
    ),
)
"""What is heard where a story describes no board: as above, with two pupils on it."""

SOUNDING_BOARD_SENTENCE = say(
    "The story describes no board: the taps sound as on a birch sheet of 120 by 120 cm, 4 mm "
    "thick, with two pupils on it."
)

_MIDDLE = Fraction(600)

USUAL_BOARD = evolve(
    DEFAULT_BOARD,
    sheet=Sheet(thickness_mm=Fraction(4), grain="not known"),
    spots=(Named("middle", Point(_MIDDLE, _MIDDLE)),),
    seats=(
        Named("north", Point(_MIDDLE, DEFAULT_BOARD.depth_mm)),
        Named("east", Point(DEFAULT_BOARD.width_mm, _MIDDLE)),
        Named("south", Point(_MIDDLE, Fraction(0))),
        Named("west", Point(Fraction(0), _MIDDLE)),
    ),
)
"""What she begins with who describes hers: as large, its wood not said, a seat at each side."""
