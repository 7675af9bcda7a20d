"""The board from above as shapes and words: one drawing for cards, plan, felt map and editor.

Nothing here knows what draws it: whoever does gives a view, sizes and a way to measure
words, and gets elements (``exports/paper/drawing.py``) that a PDF, Qt and pixels can show.
Where things stand is worked out in ``layout.py``.
"""

from functools import partial
from math import hypot

from tapscore.board.bodies import Body, outward
from tapscore.exports import marks
from tapscore.exports.board.labels import Box, LabelMark
from tapscore.exports.board.layout import LEADING, BoardLayout, Thing
from tapscore.exports.paper.drawing import Element, Panel, StraightLine, TextRun, shape
from tapscore.exports.paper.inks import INK, MUTED, TEAL, WHITE, Ink

_STRIP_MM = 30.0


def target(
    x: float, y: float, size: float, *, ink: Ink = INK, dotted: bool = True
) -> list[Element]:
    """Draw the sign of a spot: a ring with a point in it (``dotted``)."""
    rings = ((WHITE, 0.42), (ink, 0.35), (WHITE, 0.24), (ink, 0.12))
    return [
        shape(each, partial(marks.ellipse, x=x, y=y, rx=size * r, ry=size * r))
        for each, r in rings[: 4 if dotted else 3]
    ]


class BoardDrawing(BoardLayout):
    """Draws the parts of one board in one view, from the ground up."""

    def sheet(self, *, radius: float, edge: float, fill: Ink | None = WHITE) -> list[Element]:
        """Draw the sheet itself."""
        view = self.view
        return [Panel(view.left, view.top, view.width, view.height, radius, fill, INK, edge)]

    def strips(self) -> list[Element]:
        """Draw what holds each side: a line for a stiff strip, a broken one for a soft one."""
        board, view = self.board, self.view
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
                made.append(StraightLine(x0, y0, x1, y1, MUTED, self.look.line))
        return made

    def bodies(self) -> list[Element]:
        """Draw outlines of pupils, those of them that the picture has room for."""
        made: list[Element] = []
        for body in self.bodies_shown():
            if self._has_room(body):
                made += self._body(body)
        return made

    def places(self) -> list[Element]:
        """Draw a ring and letter for each place; the ring alone where they are too close."""
        size, points = self.look.sign, self.place_points()
        radius = size * 0.58
        drawn: list[Element] = []
        for i, (x, y) in enumerate(points):
            place = self.board.places[i]
            near = min(
                (hypot(x - ox, y - oy) for j, (ox, oy) in enumerate(points) if j != i),
                default=radius * 3,
            )
            room = near >= radius * 1.9
            ring = radius if room else max(near * 0.45, 2.0)
            edge = max(size * 0.06, 1.2)
            ink = TEAL if place.name == self.mine else MUTED
            drawn.append(Panel(x - ring, y - ring, 2 * ring, 2 * ring, ring, WHITE, ink, edge))
            if room:
                wide = self.look.measure(place.name, size, True)
                letter = TextRun(x - wide / 2, y + size * 0.34, place.name, size, INK, True, wide)
                drawn.append(letter)
        return drawn

    def spots(self) -> list[Element]:
        """Draw the spots; quietly those that are not tapped now."""
        drawn: list[Element] = []
        for spot in self.board.spots:
            now = self.tapped is None or bool(self.tapped.get(spot.name))
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
        at = self.board.way_out
        if at is None:
            return []
        side = outward(self.board, at)
        x, y = self.view.at(at)
        tip_x, tip_y = self.outside(at, side, self.arrow_length)
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

    def labels(self, *, plates: bool = False, extra: tuple[LabelMark, ...] = ()) -> list[Element]:
        """Draw all names; on a plate of the ground's colour where something lies under them.

        ``extra`` marks without labels are kept clear as well.
        """
        drawn: list[Element] = []
        for thing, box in zip(self.things, self.label_boxes(extra), strict=True):
            if box is None:
                continue
            if plates:
                drawn.append(Panel(*box, self.look.label * 0.2, WHITE))
            quiet = thing.kind == "spot" and self.tapped is not None
            ink = MUTED if quiet and not (self.tapped or {}).get(thing.name) else INK
            drawn += self._written(thing, box, ink)
        return drawn

    def _written(self, thing: Thing, box: Box, ink: Ink) -> list[Element]:
        left, top, wide, _ = box
        size, bold = self.look.label, self.is_bold(thing)
        if thing.kind == "seat":
            ink = TEAL
        made: list[Element] = []
        for number, line in enumerate(self.name_lines(thing)):
            width = self.look.measure(line, size, bold)
            x, y = left + (wide - width) / 2, top + size * (0.92 + LEADING * number)
            made.append(TextRun(x, y, line, size, ink, bold, width))
        return made

    def _has_room(self, body: Body) -> bool:
        left, top, wide, high = self.bounds
        boxes = (self.bar_box(body, i) for i in range(len(body.bars)))
        return all(
            left <= x and top <= y and x + w <= left + wide and y + h <= top + high
            for x, y, w, h in boxes
        )

    def _body(self, body: Body) -> list[Element]:
        ink, thick = MUTED, self.look.line
        if body.place.name == self.mine:
            ink, thick = TEAL, self.look.line * 2
        made: list[Element] = []
        for inset, fill in ((0.0, ink), (thick, WHITE)):
            for number in range(len(body.bars)):
                x, y, wide, high = self.bar_box(body, number, inset)
                if wide > 0 and high > 0:
                    made.append(Panel(x, y, wide, high, min(wide, high) / 2, fill))
        if body.head is not None:
            x, y, wide, high = self.bar_box(body, 0)
            made.append(Panel(x, y, wide, high, wide / 2, WHITE, ink, thick))
        return made
