"""Where everything of a board stands in a picture: marks, bodies, and room for names.

Nothing here draws; the editor asks it what was clicked.
"""

from collections.abc import Callable, Mapping

from attrs import frozen

from tapscore.board.bodies import CHAIR_MM, HEADINGS, Body, body_of, outward
from tapscore.exports.board.labels import Box, LabelMark, placed_labels
from tapscore.exports.board.view import View
from tapscore.model.board import Board, Point
from tapscore.wording.catalogue import say

LEADING = 1.2
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
    way_out = () if board.way_out is None else (Thing("way out", say("way out"), board.way_out),)
    return (
        *(Thing("spot", spot.name, spot.at) for spot in board.spots),
        *(Thing("place", place.name, place.at) for place in board.places),
        *(Thing("seat", seat.name, seat.at) for seat in board.seats),
        *way_out,
    )


def nearest_side(board: Board, seat: Point | None) -> str:
    """The side of the board a seat is at; south for none."""
    return "south" if seat is None else outward(board, seat)


class BoardLayout:
    """Places the parts of one board in one view."""

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
        self.board = view.board
        self.sitting, self.tapped, self.mine = sitting or {}, tapped, mine

    @property
    def things(self) -> tuple[Thing, ...]:
        """What is drawn and can be named."""
        return things_of(self.board)

    def label(self, thing: Thing) -> str:
        """The name that stands beside a thing; nothing for a place, whose letter is in it."""
        if thing.kind == "place":
            return ""
        if thing.kind == "seat":
            return self.sitting.get(thing.name, thing.name)
        if thing.kind == "way out":
            sides = self.board.sides if self.look.chairs else None
            word = sides and sides.word(outward(self.board, thing.at))
            return say("way out ({side})", side=word) if word else say("way out")
        taps = (self.tapped or {}).get(thing.name, 0)
        return f"{thing.name} ({taps})" if taps else thing.name

    def box_of(self, thing: Thing) -> Box:
        """What a thing's mark covers."""
        sign = self.look.sign
        x, y = self.view.at(thing.at)
        if thing.kind == "seat":
            side = outward(self.board, thing.at)
            size = CHAIR_MM * self.view.scale if self.look.chairs else sign * 0.8
            x, y = self.outside(thing.at, side, size / 2 + self.look.line * 2)
            return x - size / 2, y - size / 2, size, size
        if thing.kind == "way out":
            side = outward(self.board, thing.at)
            ends = (x, y), self.outside(thing.at, side, self.arrow_length)
            (x0, x1), (y0, y1) = (sorted(values) for values in zip(*ends, strict=True))
            half = sign * 0.4
            return x0 - half, y0 - half, x1 - x0 + 2 * half, y1 - y0 + 2 * half
        half = sign * 0.42
        if thing.kind == "place":
            x, y = self._kept_in(x, y)
            half = sign * 0.58
        return x - half, y - half, 2 * half, 2 * half

    def label_boxes(self, extra: tuple[LabelMark, ...] = ()) -> tuple[Box | None, ...]:
        """Where the name of each thing goes; None for a place."""
        made = []
        for thing in self.things:
            box, lines = self.box_of(thing), self.name_lines(thing)
            if not lines:
                made.append(LabelMark(box, self.bounds))
                continue
            wide = max(
                self.look.measure(line, self.look.label, self.is_bold(thing)) for line in lines
            )
            high = self.look.label * LEADING * len(lines)
            sides, near = self._sides(thing, box), self.look.label * 0.25
            if wide > box[2] - near:
                sides = sides.replace("over ", "")
            bounds = self._sheet_inside() if thing.kind == "spot" else self.bounds
            if bounds[2] < wide + near or bounds[3] < high:
                bounds = self.bounds
            made.append(LabelMark(box, bounds, wide + near, high, sides, near))
        lying = [
            self.bar_box(body, i) for body in self.bodies_shown() for i in range(len(body.bars))
        ]
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

    def is_bold(self, thing: Thing) -> bool:
        """Whether a thing's name is bold: the way out, and a seat somebody is on."""
        return thing.kind == "way out" or (thing.kind == "seat" and thing.name in self.sitting)

    def name_lines(self, thing: Thing) -> list[str]:
        """The name in lines no wider than a chair, or than it takes anyway."""
        text = self.look.clean(self.label(thing))
        size, bold = self.look.label, self.is_bold(thing)
        most = self.bounds[2] - self.look.label
        if thing.kind == "seat" and self.look.chairs:
            most = min(
                max(self.box_of(thing)[2] - self.look.label * 0.5, self.look.label * 6), most
            )
        elif (
            not self.look.chairs
            and thing.kind in ("seat", "way out")
            and outward(self.board, thing.at) in ("west", "east")
        ):
            # Beside the sheet there is little room: a line for each word.
            widest = max((self.look.measure(w, size, bold) for w in text.split()), default=0.0)
            most = min(widest, most)

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

    @property
    def arrow_length(self) -> float:
        """How long the arrow of the way out is."""
        return self.look.sign * 2.2

    def outside(self, at: Point, side: str, by: float) -> tuple[float, float]:
        """A point so far (in the picture) outside the sheet's edge, straight out from another.

        One that is farther out already stays where it is.
        """
        board = self.board
        x, y = float(at.x_mm), float(at.y_mm)
        far = by / self.view.scale
        dx, dy = HEADINGS[side]
        wide, deep = float(board.width_mm), float(board.depth_mm)
        past = {"west": -x, "east": x - wide, "south": -y, "north": y - deep}[side]
        more = max(far - past, 0.0)
        return self.view.at_mm(x + dx * more, y + dy * more)

    def place_points(self) -> list[tuple[float, float]]:
        """Where letters stand, moved so far that they stay in the picture."""
        return [self._kept_in(*self.view.at(place.at)) for place in self.board.places]

    def _kept_in(self, x: float, y: float) -> tuple[float, float]:
        left, top, wide, high = self.bounds
        half = self.look.sign * 0.58 + 1
        x = max(min(x, left + wide - half), left + half)
        return x, max(min(y, top + high - half), top + half)

    def bodies_shown(self) -> tuple[Body, ...]:
        """The pupils' bodies, one for each place."""
        return tuple(body_of(place, self.board) for place in self.board.places)

    def bar_box(self, body: Body, number: int, inset: float = 0.0) -> Box:
        """What one bar of a body covers, less ``inset`` all round."""
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
