"""The board from above as shapes and words: one drawing for cards, plan, felt map and editor.

Nothing here knows what draws it: whoever does gives a view, sizes and a way to measure
words, and gets elements (``exports/paper/drawing.py``) that a PDF, Qt and pixels can show.
What each mark stands for is told beside it, so that the editor finds what was clicked.
"""

from collections.abc import Callable, Mapping
from functools import partial
from math import hypot

from attrs import frozen

from tapscore.board.bodies import CHAIR_MM, HEADINGS, Body, body_of, outward
from tapscore.exports import marks
from tapscore.exports.board.labels import Box, Mark, placed_labels
from tapscore.exports.board.view import View
from tapscore.exports.paper.drawing import Element, Panel, Rule, Text, shape
from tapscore.exports.paper.inks import INK, MUTED, TEAL, WHITE, Ink
from tapscore.model.board import Board, Point

LEADING = 1.2
_STRIP_MM = 30.0
Measure = Callable[[str, float, bool], float]
"""Width of a text of some size, bold or not."""


@frozen
class Look:
    """Sizes in the picture's units, and how words are measured."""

    label: float
    """Size of the names."""
    sign: float
    """Size of a place's letter; a spot's sign goes with it."""
    measure: Measure
    clean: Callable[[str], str] = str
    """What of a text can be shown."""
    line: float = 1.4
    """How thick outlines are."""
    chairs: bool = False
    """Whether chairs are drawn to scale, or seats as small squares."""


@frozen
class Thing:
    """A spot, place or seat, or the way out: what can be moved and named."""

    kind: str
    name: str
    at: Point


def things_of(board: Board) -> tuple[Thing, ...]:
    """Everything on and round a board, in the order that keys go through it."""
    way_out = () if board.way_out is None else (Thing("way out", "way out", board.way_out),)
    return (
        *(Thing("spot", spot.name, spot.at) for spot in board.spots),
        *(Thing("place", place.name, place.at) for place in board.places),
        *(Thing("seat", seat.name, seat.at) for seat in board.seats),
        *way_out,
    )


def nearest_side(board: Board, seat: Point | None) -> str:
    """The side of the board a seat is at; south for none."""
    return "south" if seat is None else outward(board, seat)


def target(
    x: float, y: float, size: float, *, ink: Ink = INK, dotted: bool = True
) -> list[Element]:
    """Draw the sign of a spot: a ring with a point in it (``dotted``)."""
    rings = ((WHITE, 0.42), (ink, 0.35), (WHITE, 0.24), (ink, 0.12))
    return [
        shape(each, partial(marks.ellipse, x=x, y=y, rx=size * r, ry=size * r))
        for each, r in rings[: 4 if dotted else 3]
    ]


class BoardDrawing:
    """Draws the parts of one board in one view, from the ground up."""

    def __init__(
        self,
        view: View,
        look: Look,
        *,
        bounds: Box,
        sitting: Mapping[str, str] | None = None,
        tapped: Mapping[str, int] | None = None,
        mine: str | None = None,
    ) -> None:
        """``bounds`` is where all must stay; ``sitting`` says who is on a seat.

        ``tapped`` counts the taps on each spot; None shows all spots alike.  The place
        ``mine`` is told from the others.
        """
        self.view, self.look, self.bounds = view, look, bounds
        self._board = view.board
        self._sitting, self._tapped, self._mine = sitting or {}, tapped, mine

    @property
    def things(self) -> tuple[Thing, ...]:
        """What is drawn and can be named."""
        return things_of(self._board)

    def sheet(self, *, radius: float, edge: float, fill: Ink | None = WHITE) -> list[Element]:
        """Draw the sheet itself."""
        view = self.view
        return [Panel(view.left, view.top, view.width, view.height, radius, fill, INK, edge)]

    def strips(self) -> list[Element]:
        """Draw what holds each side: a line for a stiff strip, a broken one for a soft one."""
        board, view = self._board, self.view
        if board.strips is None:
            return []
        wide, deep, in_mm = float(board.width_mm), float(board.depth_mm), _STRIP_MM
        ends = {
            "west": ((in_mm, in_mm), (in_mm, deep - in_mm)),
            "east": ((wide - in_mm, in_mm), (wide - in_mm, deep - in_mm)),
            "south": ((in_mm, in_mm), (wide - in_mm, in_mm)),
            "north": ((in_mm, deep - in_mm), (wide - in_mm, deep - in_mm)),
        }
        made: list[Element] = []
        for side, (start, end) in ends.items():
            held = getattr(board.strips, side)
            pieces = {"free": 0, "elastic": 9, "simple": 1}[held]
            for i in range(0, pieces, 2):
                low, high = i / pieces, (i + 1) / pieces
                (x0, y0), (x1, y1) = (
                    view.at_mm(*(a + s * (b - a) for a, b in zip(start, end, strict=True)))
                    for s in (low, high)
                )
                made.append(Rule(x0, y0, x1, y1, MUTED, self.look.line))
        return made

    def bodies(self) -> list[Element]:
        """Draw outlines of pupils, those of them that the picture has room for."""
        made: list[Element] = []
        for body in self._bodies():
            if self._has_room(body):
                made += self._body(body)
        return made

    def places(self) -> list[Element]:
        """Draw a ring and letter for each place; the ring alone where they are too close."""
        size, points = self.look.sign, self._place_points()
        radius = size * 0.58
        drawn: list[Element] = []
        for i, (x, y) in enumerate(points):
            place = self._board.places[i]
            near = min(
                (hypot(x - ox, y - oy) for j, (ox, oy) in enumerate(points) if j != i),
                default=radius * 3,
            )
            room = near >= radius * 1.9
            ring = radius if room else max(near * 0.45, 2.0)
            edge = max(size * 0.06, 1.2)
            ink = TEAL if place.name == self._mine else MUTED
            drawn.append(Panel(x - ring, y - ring, 2 * ring, 2 * ring, ring, WHITE, ink, edge))
            if room:
                wide = self.look.measure(place.name, size, True)
                letter = Text(x - wide / 2, y + size * 0.34, place.name, size, INK, True, wide)
                drawn.append(letter)
        return drawn

    def spots(self) -> list[Element]:
        """Draw the spots; quietly those that are not tapped now."""
        drawn: list[Element] = []
        for spot in self._board.spots:
            now = self._tapped is None or bool(self._tapped.get(spot.name))
            at, ink = self.view.at(spot.at), INK if now else MUTED
            drawn += target(*at, self.look.sign, ink=ink, dotted=now)
        return drawn

    def seats(self) -> list[Element]:
        """Draw chairs, or a square for each seat."""
        radius = self.look.sign * 0.3
        fill, edge = (WHITE, TEAL) if self.look.chairs else (TEAL, None)
        thick = self.look.line if edge else 0.0
        boxes = [self.box_of(thing) for thing in self.things if thing.kind == "seat"]
        return [Panel(*box, radius, fill, edge, thick) for box in boxes]

    def way_out(self) -> list[Element]:
        """Draw an arrow from the board to where one leaves."""
        at = self._board.way_out
        if at is None:
            return []
        side = outward(self._board, at)
        x, y = self.view.at(at)
        tip_x, tip_y = self._out(at, side, self._arrow())
        along = hypot(tip_x - x, tip_y - y) or 1.0
        dx, dy = (tip_x - x) / along, (tip_y - y) / along
        half, head = along * 0.16, along * 0.4
        neck_x, neck_y = tip_x - head * dx, tip_y - head * dy
        points = [
            (x - half * dy, y + half * dx),
            (neck_x - half * dy, neck_y + half * dx),
            (neck_x - 2.4 * half * dy, neck_y + 2.4 * half * dx),
            (tip_x, tip_y),
            (neck_x + 2.4 * half * dy, neck_y - 2.4 * half * dx),
            (neck_x + half * dy, neck_y - half * dx),
            (x + half * dy, y - half * dx),
        ]
        return [shape(INK, partial(marks.polygon, points=points))]

    def label(self, thing: Thing) -> str:
        """The name that stands beside a thing; nothing for a place, whose letter is in it."""
        if thing.kind == "place":
            return ""
        if thing.kind == "seat":
            return self._sitting.get(thing.name, thing.name)
        if thing.kind == "way out":
            sides = self._board.sides if self.look.chairs else None
            word = sides and sides.word(outward(self._board, thing.at))
            return f"way out ({word})" if word else "way out"
        taps = (self._tapped or {}).get(thing.name, 0)
        return f"{thing.name} ({taps})" if taps else thing.name

    def box_of(self, thing: Thing) -> Box:
        """What a thing's mark covers."""
        sign = self.look.sign
        x, y = self.view.at(thing.at)
        if thing.kind == "seat":
            side = outward(self._board, thing.at)
            size = CHAIR_MM * self.view.scale if self.look.chairs else sign * 0.8
            x, y = self._out(thing.at, side, size / 2 + self.look.line * 2)
            return x - size / 2, y - size / 2, size, size
        if thing.kind == "way out":
            ends = (x, y), self._out(thing.at, outward(self._board, thing.at), self._arrow())
            (x0, x1), (y0, y1) = (sorted(values) for values in zip(*ends, strict=True))
            half = sign * 0.4
            return x0 - half, y0 - half, x1 - x0 + 2 * half, y1 - y0 + 2 * half
        half = sign * 0.42
        if thing.kind == "place":
            x, y = self._kept_in(x, y)
            half = sign * 0.58
        return x - half, y - half, 2 * half, 2 * half

    def labels(self, *, plates: bool = False, extra: tuple[Mark, ...] = ()) -> list[Element]:
        """Draw all names; on a plate of the ground's colour where something lies under them.

        ``extra`` marks without labels are kept clear as well.
        """
        drawn: list[Element] = []
        for thing, box in zip(self.things, self.label_boxes(extra), strict=True):
            if box is None:
                continue
            if plates:
                drawn.append(Panel(*box, self.look.label * 0.2, WHITE))
            quiet = thing.kind == "spot" and self._tapped is not None
            ink = MUTED if quiet and not (self._tapped or {}).get(thing.name) else INK
            drawn += self._written(thing, box, ink)
        return drawn

    def label_boxes(self, extra: tuple[Mark, ...] = ()) -> tuple[Box | None, ...]:
        """Where the name of each thing goes; None for a place."""
        made = []
        for thing in self.things:
            box, lines = self.box_of(thing), self._lines(thing)
            if not lines:
                made.append(Mark(box, self.bounds))
                continue
            wide = max(
                self.look.measure(line, self.look.label, self._bold(thing)) for line in lines
            )
            high = self.look.label * LEADING * len(lines)
            sides, near = self._sides(thing, box), self.look.label * 0.25
            if wide > box[2] - near:
                sides = sides.replace("over ", "")
            bounds = self._sheet_inside() if thing.kind == "spot" else self.bounds
            if bounds[2] < wide + near or bounds[3] < high:
                bounds = self.bounds
            made.append(Mark(box, bounds, wide + near, high, sides, near))
        lying = [self._bar_box(body, i) for body in self._bodies() for i in range(len(body.bars))]
        clear = [*((box, 1.0) for box in self._edges()), *((box, 0.1) for box in lying)]
        return placed_labels([*made, *extra], clear)[: len(made)]

    def _sheet_inside(self) -> Box:
        view, line = self.view, self.look.line
        wide, high = view.width - 2 * line, view.height - 2 * line
        return view.left + line, view.top + line, wide, high

    def _edges(self) -> tuple[Box, ...]:
        """The sheet's sides, which a name had better not cross."""
        view, line = self.view, self.look.line
        return (
            (view.left, view.top, view.width, line),
            (view.left, view.foot - line, view.width, line),
            (view.left, view.top, line, view.height),
            (view.right - line, view.top, line, view.height),
        )

    def _written(self, thing: Thing, box: Box, ink: Ink) -> list[Element]:
        left, top, wide, _ = box
        size, bold = self.look.label, self._bold(thing)
        if thing.kind == "seat":
            ink = TEAL
        made: list[Element] = []
        for number, line in enumerate(self._lines(thing)):
            width = self.look.measure(line, size, bold)
            x, y = left + (wide - width) / 2, top + size * (0.92 + LEADING * number)
            made.append(Text(x, y, line, size, ink, bold, width))
        return made

    def _bold(self, thing: Thing) -> bool:
        return thing.kind == "way out" or (thing.kind == "seat" and thing.name in self._sitting)

    def _lines(self, thing: Thing) -> list[str]:
        """The name in lines no wider than a chair, or than it takes anyway."""
        text = self.look.clean(self.label(thing))
        most = self.bounds[2] - self.look.label
        if thing.kind == "seat" and self.look.chairs:
            most = min(
                max(self.box_of(thing)[2] - self.look.label * 0.5, self.look.label * 6), most
            )
        size, bold = self.look.label, self._bold(thing)

        def fits(bit: str) -> bool:
            return self.look.measure(bit, size, bold) <= most

        lines = [""] if text else []
        for word in text.split():
            for piece in _pieces(word, fits):
                longer = f"{lines[-1]} {piece}".strip()
                if lines[-1] and not fits(longer):
                    lines.append(piece)
                else:
                    lines[-1] = longer
        return lines

    def _sides(self, thing: Thing, box: Box) -> str:
        if thing.kind == "spot":
            return "below right left above" if self.look.chairs else "right left below above"
        x, y = box[0] + box[2] / 2, box[1] + box[3] / 2
        view = self.view
        away = {
            "left": x - view.left,
            "right": view.right - x,
            "above": y - view.top,
            "below": view.foot - y,
        }
        outer = min(away, key=lambda side: away[side])
        across = {
            "left": "above below",
            "right": "above below",
            "above": "right left",
            "below": "right left",
        }
        first = "over " if self.look.chairs and thing.kind == "seat" else ""
        inner = {"left": "right", "right": "left", "above": "below", "below": "above"}[outer]
        return f"{first}{outer} {across[outer]} {inner}"

    def _arrow(self) -> float:
        return self.look.sign * 2.2

    def _out(self, at: Point, side: str, by: float) -> tuple[float, float]:
        """A point so far (in the picture) outside the sheet's edge, straight out from another.

        One that is farther out already stays where it is.
        """
        board = self._board
        x, y = float(at.x_mm), float(at.y_mm)
        far = by / self.view.scale
        dx, dy = HEADINGS[side]
        wide, deep = float(board.width_mm), float(board.depth_mm)
        past = {"west": -x, "east": x - wide, "south": -y, "north": y - deep}[side]
        more = max(far - past, 0.0)
        return self.view.at_mm(x + dx * more, y + dy * more)

    def _place_points(self) -> list[tuple[float, float]]:
        """Where letters stand, moved so far that they stay in the picture."""
        return [self._kept_in(*self.view.at(place.at)) for place in self._board.places]

    def _kept_in(self, x: float, y: float) -> tuple[float, float]:
        left, top, wide, high = self.bounds
        half = self.look.sign * 0.58 + 1
        x = max(min(x, left + wide - half), left + half)
        return x, max(min(y, top + high - half), top + half)

    def _bodies(self) -> tuple[Body, ...]:
        return tuple(body_of(place, self._board) for place in self._board.places)

    def _has_room(self, body: Body) -> bool:
        left, top, wide, high = self.bounds
        boxes = (self._bar_box(body, i) for i in range(len(body.bars)))
        return all(
            left <= x and top <= y and x + w <= left + wide and y + h <= top + high
            for x, y, w, h in boxes
        )

    def _body(self, body: Body) -> list[Element]:
        ink, thick = MUTED, self.look.line
        if body.place.name == self._mine:
            ink, thick = TEAL, self.look.line * 2
        made: list[Element] = []
        for inset, fill in ((0.0, ink), (thick, WHITE)):
            for number in range(len(body.bars)):
                x, y, wide, high = self._bar_box(body, number, inset)
                if wide > 0 and high > 0:
                    made.append(Panel(x, y, wide, high, min(wide, high) / 2, fill))
        if body.head is not None:
            x, y, wide, high = self._bar_box(body, 0)
            made.append(Panel(x, y, wide, high, wide / 2, WHITE, ink, thick))
        return made

    def _bar_box(self, body: Body, number: int, inset: float = 0.0) -> Box:
        bar = body.bars[number]
        (x0, y0), (x1, y1) = self.view.at_mm(*bar.start), self.view.at_mm(*bar.end)
        radius = bar.radius_mm * self.view.scale - inset
        left, right = sorted((x0, x1))
        top, foot = sorted((y0, y1))
        return left - radius, top - radius, right - left + 2 * radius, foot - top + 2 * radius


def _pieces(word: str, fits: Callable[[str], bool]) -> list[str]:
    """A word, cut only if it doesn't fit by itself."""
    pieces = [""]
    for character in word:
        if pieces[-1] and not fits(pieces[-1] + character):
            pieces.append("")
        pieces[-1] += character
    return pieces
