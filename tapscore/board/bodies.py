"""Bodies seen from above: a pupil on the board, an adult's reach and hand.  One definition.

A body is a few bars with round ends (a head is a bar of no length), so that distances are
distances between straight lines.  Points are millimetres on the board, x to the east, y to
the north.  Checks, board model, pictures and editor all ask here.

Statures and masses are medians, girls and boys together: WHO Child Growth Standards (2006)
at three, UK 1990 growth reference from four on.  The other lengths are means of both sexes
in Snyder et al., "Anthropometry of Infants, Children, and Youths to Age 18 for Product
Safety Design" (University of Michigan, 1977); its group of 2.0 to 3.5 years stands for
three.  How a child lies or sits is common practice, no source: lying stretched out with the
arms at the sides, sitting as wide as the shoulders.
"""

from math import hypot

from attrs import frozen

from tapscore.model.board import Board, Place, Point

XY = tuple[float, float]

USUAL_AGE = 5
"""Years, where the story does not say how old the oldest pupil is."""
REACH_MM = 750.0
"""How far a sitting adult reaches from her seat at the edge: about 650 mm for a small woman
(from memory of anthropometric tables), and 100 mm of leaning: a house rule."""
HAND_MM = 90.0
"""Width of a hand and forearm on their way: from memory of anthropometric tables."""
CHAIR_MM = 450.0
"""An adult's chair or cushion: common practice, no source."""
WAY_MM = 900.0
"""Clear width of a way out for a wheelchair (Approved Document M: 900 mm is a usual
corridor's least for wheelchair users; from memory)."""

HEADINGS: dict[str, XY] = {
    "north": (0.0, 1.0),
    "east": (1.0, 0.0),
    "south": (0.0, -1.0),
    "west": (-1.0, 0.0),
}
"""Which way each word of the compass goes."""


@frozen
class Build:
    """Lengths (mm) of a child of some age, and mass (kg)."""

    stature_mm: float
    head_mm: float
    """From the crown to the chin."""
    neck_mm: float
    """From the crown to the upper end of the breastbone."""
    shoulders_mm: float
    hips_mm: float
    legs_mm: float
    """From the hip joint to the sole."""
    arm_mm: float
    """From the shoulder to the fingertips."""
    mass_kg: float


BUILDS = {
    3: Build(956, 173, 210, 244, 180, 426, 429, 14.1),
    4: Build(1020, 179, 230, 257, 187, 469, 470, 16.4),
    5: Build(1092, 179, 240, 268, 196, 516, 504, 18.5),
    6: Build(1156, 184, 240, 281, 202, 563, 535, 20.6),
    7: Build(1216, 187, 248, 295, 214, 603, 566, 23.0),
}
"""By age in years."""


@frozen
class Bar:
    """A straight piece of a body with round ends."""

    part: str
    """``"head"``, ``"body"`` or ``"legs"``."""
    start: XY
    end: XY
    radius_mm: float


@frozen
class Body:
    """A pupil at a place, seen from above."""

    place: Place
    build: Build
    bars: tuple[Bar, ...]
    """The head first, if it lies on the board and the story says where it points."""
    along: XY
    """The way the head points, or the way a pupil lies; east for one who sits."""

    @property
    def head(self) -> Bar | None:
        """The head, where it lies on the board and is known."""
        return next((bar for bar in self.bars if bar.part == "head"), None)

    @property
    def box(self) -> tuple[float, float, float, float]:
        """West, south, east and north end (mm)."""
        xs = [x + s * bar.radius_mm for bar in self.bars for x, _ in _ends(bar) for s in (-1, 1)]
        ys = [y + s * bar.radius_mm for bar in self.bars for _, y in _ends(bar) for s in (-1, 1)]
        return min(xs), min(ys), max(xs), max(ys)

    def outline(self, steps: int = 48) -> tuple[XY, ...]:
        """Points of the outline of everything together, once round."""
        (ax, ay), (cx, cy) = self.along, _xy(self.place.at)
        far = [
            ((x - cx) * ax + (y - cy) * ay, bar.radius_mm)
            for bar in self.bars
            for x, y in _ends(bar)
        ]
        low, high = min(t - r for t, r in far), max(t + r for t, r in far)
        side = []
        for i in range(steps + 1):
            t = low + (high - low) * i / steps
            middle = (cx + t * ax, cy + t * ay)
            half = max(_half_width(bar, middle) for bar in self.bars)
            side.append((t, half))
        left = [(cx + t * ax - w * ay, cy + t * ay + w * ax) for t, w in side]
        right = [(cx + t * ax + w * ay, cy + t * ay - w * ax) for t, w in reversed(side)]
        return (*left, *right)

    def distance_mm(self, point: Point, part: str | None = None) -> float:
        """From the body, or a part of it, to a point; below zero inside it."""
        at = _xy(point)
        bars = [bar for bar in self.bars if part in (None, bar.part)]
        return min(_between(bar.start, bar.end, at, at) - bar.radius_mm for bar in bars)

    def reaches(self, point: Point) -> bool:
        """Whether an arm reaches a point from where a pupil lies or sits, without moving on.

        Either end may be the upper one where nobody says how a pupil lies.
        """
        trunk = next(bar for bar in self.bars if bar.part == "body")
        ends = {trunk.start} if self.head else {trunk.start, trunk.end}
        away = min(hypot(x - float(point.x_mm), y - float(point.y_mm)) for x, y in ends)
        return away <= trunk.radius_mm + self.build.arm_mm

    def clear_mm(self, start: Point, end: Point) -> tuple[float, str]:
        """Least distance to the straight way from one point to another, and from which part."""
        one, two = _xy(start), _xy(end)
        return min(
            (_between(bar.start, bar.end, one, two) - bar.radius_mm, bar.part) for bar in self.bars
        )

    def apart_mm(self, other: "Body") -> float:
        """Least distance to another body; below zero where they overlap."""
        return min(
            _between(a.start, a.end, b.start, b.end) - a.radius_mm - b.radius_mm
            for a in self.bars
            for b in other.bars
        )

    def past_edge_mm(self, board: Board) -> dict[str, float]:
        """How far each part that sticks out goes past the edge of the sheet."""
        wide, deep = float(board.width_mm), float(board.depth_mm)
        past: dict[str, float] = {}
        for bar in self.bars:
            r = bar.radius_mm
            out = max(max(r - x, x + r - wide, r - y, y + r - deep) for x, y in _ends(bar))
            if out > 0:
                past[bar.part] = max(out, past.get(bar.part, 0.0))
        return past


def build_of(board: Board) -> Build:
    """The lengths that pupils on a board are taken to have: those of the oldest one."""
    return BUILDS[board.oldest_years or USUAL_AGE]


def body_of(place: Place, board: Board) -> Body:
    """The body of a pupil at a place, on the board or beside it.

    One who lies, nobody says which way, is taken to lie along the longer side, as wide as
    the shoulders throughout.
    """
    build = build_of(board)
    x, y = _xy(place.at)
    if not place.lying:
        return Body(place, build, (Bar("body", (x, y), (x, y), build.shoulders_mm / 2),), (1, 0))
    longer = "east" if board.width_mm >= board.depth_mm else "north"
    ax, ay = HEADINGS[place.head or longer]
    half, shoulder, hip = build.stature_mm / 2, build.shoulders_mm / 2, build.hips_mm / 2

    def bar(part: str, upper: float, lower: float, radius: float) -> Bar:
        ends = ((x + t * ax, y + t * ay) for t in (upper, lower))
        return Bar(part, next(ends), next(ends), radius)

    if place.head is None:
        return Body(
            place, build, (bar("body", half - shoulder, shoulder - half, shoulder),), (ax, ay)
        )
    middle_of_head = half - build.head_mm / 2
    bars = (
        bar("head", middle_of_head, middle_of_head, build.head_mm / 2),
        bar("body", half - build.neck_mm - shoulder, build.legs_mm - half, shoulder),
        bar("legs", build.legs_mm - half, hip - half, hip),
    )
    return Body(place, build, bars, (ax, ay))


def bodies_on(board: Board | None) -> tuple[Body, ...]:
    """Bodies of the pupils on the board, not beside it."""
    if board is None:
        return ()
    return tuple(body_of(place, board) for place in board.places if board.contains(place.at))


def outward(board: Board, at: Point) -> str:
    """The side (north, east, south or west) that a seat or the way out is at."""
    x, y = float(at.x_mm / board.width_mm), float(at.y_mm / board.depth_mm)
    away = {"north": 1 - y, "south": y, "west": x, "east": 1 - x}
    return min(away, key=lambda side: away[side])


def _xy(point: Point) -> XY:
    return float(point.x_mm), float(point.y_mm)


def _ends(bar: Bar) -> tuple[XY, XY]:
    return bar.start, bar.end


def _half_width(bar: Bar, middle: XY) -> float:
    """Half the width of a bar across the axis of its body, at a point of that axis."""
    away = _between(bar.start, bar.end, middle, middle)
    inside = bar.radius_mm * bar.radius_mm - away * away
    return float(inside**0.5) if inside > 0 else 0.0


def _between(a: XY, b: XY, c: XY, d: XY) -> float:
    """Least distance between two straight lines from point to point."""
    if _cross(a, b, c, d):
        return 0.0
    return min(_to_line(a, c, d), _to_line(b, c, d), _to_line(c, a, b), _to_line(d, a, b))


def _cross(a: XY, b: XY, c: XY, d: XY) -> bool:
    return _turn(a, b, c) * _turn(a, b, d) < 0 and _turn(c, d, a) * _turn(c, d, b) < 0


def _turn(a: XY, b: XY, c: XY) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _to_line(p: XY, a: XY, b: XY) -> float:
    dx, dy = b[0] - a[0], b[1] - a[1]
    long = dx * dx + dy * dy
    share = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / long if long else 0.0
    share = min(max(share, 0.0), 1.0)
    return hypot(p[0] - a[0] - share * dx, p[1] - a[1] - share * dy)
