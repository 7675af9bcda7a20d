"""How points of the board become points of a picture, and back."""

from attrs import frozen

from tapscore.board.bodies import XY
from tapscore.model.board import Board, Point


@frozen
class View:
    """The board in a picture whose y counts down, turned so that one side is at the bottom."""

    board: Board
    left: float
    top: float
    scale: float
    """Units of the picture to a millimetre."""
    bottom: str = "south"

    @property
    def width(self) -> float:
        """Of the sheet in the picture."""
        return self.scale * self._sides_mm[0]

    @property
    def height(self) -> float:
        """Of the sheet in the picture."""
        return self.scale * self._sides_mm[1]

    @property
    def right(self) -> float:
        """The sheet's right edge."""
        return self.left + self.width

    @property
    def foot(self) -> float:
        """The sheet's lower edge."""
        return self.top + self.height

    @property
    def _sides_mm(self) -> tuple[float, float]:
        sides = float(self.board.width_mm), float(self.board.depth_mm)
        return sides[::-1] if self.bottom in ("east", "west") else sides

    def at(self, point: Point) -> XY:
        """Where a point of the board is."""
        return self.at_mm(float(point.x_mm), float(point.y_mm))

    def at_mm(self, x: float, y: float) -> XY:
        """Where a point is, in millimetres from the board's south-west corner."""
        wide, deep = float(self.board.width_mm), float(self.board.depth_mm)
        across, down = {
            "south": (x, deep - y),
            "north": (wide - x, y),
            "east": (y, x),
            "west": (deep - y, wide - x),
        }[self.bottom]
        return self.left + across * self.scale, self.top + down * self.scale

    def back_mm(self, x: float, y: float) -> XY:
        """The millimetres of the board that a point of the picture shows."""
        across, down = (x - self.left) / self.scale, (y - self.top) / self.scale
        wide, deep = float(self.board.width_mm), float(self.board.depth_mm)
        return {
            "south": (across, deep - down),
            "north": (wide - across, down),
            "east": (down, across),
            "west": (wide - down, deep - across),
        }[self.bottom]

    def step(self, right: int, up: int) -> tuple[int, int]:
        """Which way on the board (x, y) a step in the picture goes."""
        origin, there = self.back_mm(0, 0), self.back_mm(right, -up)
        x, y = ((b - a) * self.scale for a, b in zip(origin, there, strict=True))
        return round(x), round(y)
