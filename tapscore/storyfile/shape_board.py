"""Shape of the board's part of the story file."""

from fractions import Fraction
from typing import Any

from tapscore.model.board import (
    GRAINS,
    HEADINGS,
    STRIP_KINDS,
    Board,
    Named,
    Place,
    Point,
    Sheet,
    Sides,
    Strips,
)
from tapscore.model.finding import StoryPath
from tapscore.storyfile import nodes
from tapscore.storyfile.kinds import (
    Doc,
    Kind,
    Reading,
    choice,
    named,
    number,
    path_name,
    text,
    whole,
    yes_no,
)
from tapscore.storyfile.records import Field, Record
from tapscore.wording.catalogue import say


def _point(low_cm: int, what: str, example: str) -> Kind[Point]:
    centimetres = number(low_cm, 500, example.strip("[]").split(",")[0], "centimetres")

    def read(reading: Reading, node: nodes.Node, path: StoryPath) -> Point | None:
        if not isinstance(node, nodes.Sequence) or len(node.items) != 2:
            about = {"name": path_name(path), "what": what, "example": example}
            reading.report("wrong-kind", node.span, path, case="point", **about)
            return None
        x, y = (centimetres.read(reading, n, (*path, i)) for i, n in enumerate(node.items))
        return None if x is None or y is None else Point(10 * x, 10 * y)

    def write(point: Point) -> Doc:
        return [centimetres.write(n / 10) for n in (point.x_mm, point.y_mm)]

    schema = {"type": "array", "items": centimetres.schema, "minItems": 2, "maxItems": 2}
    return Kind(read, write, schema, example)


_point_cm = _point(0, say("centimetres from the west and from the south edge"), "[60, 45]")
_size_cm = _point(10, say("width and depth in centimetres"), "[120, 90]")
_named_points: Kind[tuple[Named, ...]] = named(
    Kind(
        lambda reading, node, path: (
            None if (at := _point_cm.read(reading, node, path)) is None else Named("", at)
        ),
        lambda each: _point_cm.write(each.at),
        _point_cm.schema,
    ),
    "{middle: [60, 45]}",
)

_stiffness = number(Fraction(1, 100), 100_000, "64", say("newton metres"))
_SHEET = Record(
    Sheet,
    (
        Field("wood", "wood", text("birch")),
        Field("thickness_mm", "thickness_mm", number(Fraction(1, 2), 30, "4", say("millimetres"))),
        Field("plies", "plies", whole(1, 25, "3", say("layers"))),
        Field("grain", "grain", choice(GRAINS)),
        Field("stiffness_long_nm", "stiffness_long_nm", _stiffness),
        Field("stiffness_short_nm", "stiffness_short_nm", _stiffness),
        Field("mass_kg", "mass_kg", number(Fraction(1, 10), 200, "3.2", say("kilograms"))),
    ),
    what=say("the sheet"),
)
_STRIPS = Record(
    Strips,
    tuple(
        Field(side, side, choice(STRIP_KINDS), default="simple")
        for side in ("west", "east", "south", "north")
    ),
    what=say("the strips under the sides"),
)
_SIDES = Record(
    Sides,
    tuple(Field(side, side, text("window")) for side in ("north", "east", "south", "west")),
    what=say("what the room calls each side of the board"),
)
_PLACE = Record(
    lambda at, lying=False, head=None, partner=None: Place("", at, lying, head, partner),
    (
        Field("at", "at", _point_cm, required=True),
        Field("lying", "lying", yes_no, default=False),
        Field("head", "head", choice(HEADINGS)),
        Field("with", "partner", text("partner"), about=say("The role that is with this pupil.")),
    ),
    what=say("a pupil's place"),
)


def _make_board(size: Point, **rest: Any) -> Board:
    return Board(width_mm=size.x_mm, depth_mm=size.y_mm, **rest)


_BOARD = Record(
    _make_board,
    (
        Field(
            "size_cm",
            "size",
            _size_cm,
            required=True,
            about=say("Width and depth of the sheet."),
            value_of=lambda board: Point(board.width_mm, board.depth_mm),
        ),
        Field("sheet", "sheet", _SHEET.kind()),
        Field("strips", "strips", _STRIPS.kind()),
        Field("gap_mm", "gap_mm", number(0, 500, "20", say("millimetres"))),
        Field("spots", "spots", _named_points),
        Field("seats", "seats", _named_points),
        Field(
            "places",
            "places",
            named(
                _PLACE.kind(),
                "{A: {at: [45, 50]}}",
            ),
        ),
        Field(
            "sides",
            "sides",
            _SIDES.kind(),
            about=say("What the room calls a side, such as door or window."),
        ),
        Field(
            "way out", "way_out", _point_cm, about=say("Where at the edge one leaves the board.")
        ),
        Field(
            "oldest pupil",
            "oldest_years",
            whole(3, 7, "5", say("years")),
            about=say("Age of the oldest pupil on the board: how large bodies are taken to be."),
        ),
        Field("picture", "picture", text("room.jpg"), about=say("A file beside the story.")),
    ),
    what=say("the board"),
)

board: Kind[Board] = _BOARD.kind()
BOARD_RECORDS: dict[type, Record] = {
    Board: _BOARD,
    Sheet: _SHEET,
    Sides: _SIDES,
    Strips: _STRIPS,
    Place: _PLACE,
}
"""The records of the board, by what they make."""
