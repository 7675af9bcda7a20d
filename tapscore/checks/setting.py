"""What holds for the whole story, apart from its lines."""

from fractions import Fraction

from attrs import frozen

from tapscore.model.board import Board, Point
from tapscore.model.comfort import Comfort
from tapscore.model.story import Prop, Role, Spoken, Story

_KEPT = 32
_interned: dict["Setting", "Setting"] = {}


@frozen(cache_hash=True)
class Setting:
    """Board, adults, props and comfort: all that a rule about one line may look at besides it."""

    comfort: Comfort
    board: Board | None
    roles: tuple[Role, ...]
    props: tuple[Prop, ...]
    pupils: int
    language: str | None
    glossary: tuple[Spoken, ...] = ()
    """How the story's own words divide."""

    @property
    def role_names(self) -> tuple[str, ...]:
        """Every role; a story without roles has a leader alone."""
        return tuple(role.name for role in self.roles) or ("leader",)

    def seat(self, role: str) -> Point | None:
        """Where a role sits; None where that is not said."""
        seat = next((each.seat for each in self.roles if each.name == role), None)
        return self.board.seat(seat) if self.board and seat is not None else None

    def spot(self, name: str | None) -> Point | None:
        """Where a spot is; None where that is not said."""
        return self.board.spot(name) if self.board and name is not None else None

    def prop(self, name: str) -> Prop | None:
        """The prop of that name."""
        return next((prop for prop in self.props if prop.name == name), None)

    def bringer(self, prop_name: str) -> str:
        """The role that brings, offers and takes away a prop."""
        prop = self.prop(prop_name)
        if prop and prop.by:
            return prop.by
        names = self.role_names
        return "prop handler" if "prop handler" in names else names[0]


def setting_of(story: Story) -> Setting:
    """A story's setting; equal settings are one object, so that lines are found again fast."""
    setting = Setting(
        story.comfort or Comfort(),
        story.board,
        story.roles,
        story.props,
        story.pupil_count,
        story.language,
        story.glossary,
    )
    known = _interned.get(setting)
    if known is not None:
        return known
    if len(_interned) >= _KEPT:
        _interned.clear()
    _interned[setting] = setting
    return setting


def distance_cm(one: Point, other: Point) -> float:
    """Distance on the board in centimetres."""
    x, y = float(one.x_mm - other.x_mm), float(one.y_mm - other.y_mm)
    return float((x * x + y * y) ** 0.5) / 10


def point_beside(at: Point, heading: str, by_mm: Fraction) -> Point:
    """A point so far to the north, east, south or west of another."""
    x, y = {"north": (0, 1), "east": (1, 0), "south": (0, -1), "west": (-1, 0)}[heading]
    return Point(at.x_mm + x * by_mm, at.y_mm + y * by_mm)
