"""The board from above, small: its spots, one adult's seat, the places as letters."""

from collections.abc import Collection

from attrs import evolve, frozen

from tapscore.board.facade import places_on
from tapscore.exports.board.drawing import BoardDrawing
from tapscore.exports.board.layout import Look, nearest_side
from tapscore.exports.board.view import View
from tapscore.exports.paper.drawing import Element, Panel, TaggedBlock, TextRun, moved_block
from tapscore.exports.paper.inks import TEAL, WHITE
from tapscore.exports.paper.text_flow import own
from tapscore.exports.paper.text_width import paper_width, width_pt
from tapscore.model.board import Board, Named
from tapscore.wording.catalogue import say


@frozen
class Picture:
    """The picture drawn from (0, 0)."""

    block: TaggedBlock
    width_pt: float
    height_pt: float
    key: str
    """What its letters and rings are, for a sentence."""


def board_picture(
    board: Board,
    *,
    spots: Collection[str],
    seat: str | None,
    most: tuple[float, float],
    label: float,
) -> Picture:
    """Draw the board no larger than ``most`` (points), turned so that the seat is nearest.

    ``spots`` are the ones to tap now.  Letters of the places are ``label`` points; places
    too close together for letters of that size keep their ring alone.
    """
    at_seat = board.seat(seat) if seat is not None else None
    shown = tuple(Named(name, at) for name in spots if (at := board.spot(name)) is not None)
    board = evolve(board, spots=shown, places=places_on(board))
    unit = View(board, 0, 0, 1, nearest_side(board, at_seat))
    strip = label * 1.16 if at_seat is not None else label * 0.1
    edge = max(label * 0.09, 1.2)
    scale = min((most[0] - edge) / unit.width, (most[1] - strip - edge) / unit.height)
    view = evolve(unit, scale=scale)
    wide, deep = view.width, view.height
    drawing = BoardDrawing(view, Look(label, label, paper_width), bounds=_ANYWHERE)
    elements: list[Element] = drawing.sheet(radius=label * 0.22, edge=edge)
    elements += [*drawing.places(), *drawing.spots()]
    said = [say("The board from above.")]
    if at_seat:
        said = [say("The board from above, your seat nearest.")]
    if board.places:
        said.append(say("Places: {names:list}.", names=tuple(place.name for place in board.places)))
    said += [say("A ring at {spot}.", spot=spot.name) for spot in shown]
    spare = 0.0
    """How far the tab with the seat stands out on either side of a small board."""
    if at_seat is not None:
        name = say("you")
        you = width_pt(name, label, bold=True)
        tab = you + label * 0.6
        spare = max(tab - wide, 0.0) / 2
        middle = min(max(view.at(at_seat)[0], tab / 2 - spare), wide - tab / 2 + spare)
        elements.append(Panel(middle - tab / 2, deep, tab, strip, label * 0.2, TEAL))
        elements.append(
            TextRun(middle - you / 2, deep + label * 0.82, name, label, WHITE, True, you)
        )
    block = TaggedBlock("Figure", tuple(elements), " ".join(said))
    across = [own(spot.name) for spot in sorted(shown, key=lambda spot: view.at(spot.at)[0])]
    keys = [say("letters are pupils")] if board.places else []
    if across:
        keys.append(
            say("the ring is {spots:and}", spots=tuple(across))
            if len(across) == 1
            else say("the rings are, from the left, {spots:and}", spots=tuple(across))
        )
    whole = moved_block(block, edge / 2 + spare, edge / 2)
    return Picture(whole, wide + 2 * spare + edge, deep + strip + edge, ", ".join(keys))


_ANYWHERE = (-1e6, -1e6, 2e6, 2e6)
