"""The board seen from above: south-west corner at (0, 0), x to the east, y to the north."""

from fractions import Fraction
from math import hypot

from attrs import field, frozen

from tapscore.model.origin import Origin


@frozen
class Point:
    """A point on or beside the board."""

    x_mm: Fraction
    y_mm: Fraction

    def distance_mm(self, other: "Point") -> float:
        """How far it is to another point."""
        return hypot(float(self.x_mm - other.x_mm), float(self.y_mm - other.y_mm))


@frozen
class Named:
    """A point with a name: a spot to tap or a seat."""

    name: str
    at: Point
    origin: Origin | None = field(default=None, eq=False, repr=False, kw_only=True)


@frozen
class Sheet:
    """The plywood; None where the teacher has not said."""

    wood: str | None = None
    thickness_mm: Fraction | None = None
    plies: int | None = None
    grain: str | None = None
    """``"long"`` (along the longer side), ``"short"`` or ``"not known"``."""
    stiffness_long_nm: Fraction | None = None
    """Bending stiffness along the longer side (N m), measured on two battens."""
    stiffness_short_nm: Fraction | None = None
    mass_kg: Fraction | None = None
    """Weighed."""


@frozen
class Strips:
    """How each side is held: ``"simple"`` (on a stiff strip), ``"elastic"`` or ``"free"``."""

    west: str = "simple"
    east: str = "simple"
    south: str = "simple"
    north: str = "simple"


@frozen
class Sides:
    """What the room calls each side of the board: door, window; None where it says nothing."""

    north: str | None = None
    east: str | None = None
    south: str | None = None
    west: str | None = None

    def word(self, side: str) -> str | None:
        """The room's word for a side."""
        found: str | None = getattr(self, side)
        return found


@frozen
class Place:
    """Where a pupil is: a capital letter, never a name."""

    name: str
    at: Point
    lying: bool = False
    head: str | None = None
    """Which way the head points, when lying: north, east, south or west."""
    partner: str | None = None
    """The role that is with this pupil, and taps only with a free hand."""
    origin: Origin | None = field(default=None, eq=False, repr=False, kw_only=True)


@frozen
class Board:
    """The sheet with its spots, seats and places; every point in millimetres."""

    width_mm: Fraction
    depth_mm: Fraction
    sheet: Sheet | None = None
    gap_mm: Fraction | None = None
    spots: tuple[Named, ...] = ()
    seats: tuple[Named, ...] = ()
    places: tuple[Place, ...] = ()
    strips: Strips | None = None
    """None where the teacher has not said: a stiff strip under each side."""
    sides: Sides | None = None
    way_out: Point | None = None
    """Where at the edge one leaves, for the door."""
    oldest_years: int | None = None
    """Age of the oldest pupil on it, from three to seven."""
    picture: str | None = None
    """Name of a picture file beside the story: the room as it is set up, or a drawn plan."""

    def spot(self, name: str) -> Point | None:
        """Where a spot is; None if the board has none of that name."""
        return next((spot.at for spot in self.spots if spot.name == name), None)

    def seat(self, name: str) -> Point | None:
        """Where a seat is; None if the board has none of that name."""
        return next((seat.at for seat in self.seats if seat.name == name), None)

    def contains(self, point: Point) -> bool:
        """Whether a point lies on the sheet, its edge included."""
        return 0 <= point.x_mm <= self.width_mm and 0 <= point.y_mm <= self.depth_mm


GRAINS = ("long", "short", "not known")
STRIP_KINDS = ("simple", "elastic", "free")
HEADINGS = ("north", "east", "south", "west")
