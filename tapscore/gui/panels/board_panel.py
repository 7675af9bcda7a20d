"""The board from above, to scale, with the taps of the current line."""

from collections import Counter
from fractions import Fraction
from typing import Protocol

from attrs import evolve
from PySide6.QtCore import QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from tapscore.board.bodies import outward
from tapscore.exports.board.drawing import BoardDrawing
from tapscore.exports.board.layout import Look, Thing, things_of
from tapscore.exports.board.view import View
from tapscore.exports.paper.drawing import Element
from tapscore.gui.painting import paint_elements, text_width
from tapscore.gui.palettes import LIGHT, Inks
from tapscore.model.board import Board, Point
from tapscore.model.edits import moved_on_board
from tapscore.rhythm.describe import written_taps
from tapscore.screen.rows import Row
from tapscore.wording.catalogue import say

MARGIN = 34
STEP_MM = 20
LABEL_PX, SIGN_PX = 14.0, 20.0
MOST_BESIDE = 0.24
"""Share of the width that names beside the sheet may take."""
_MOVES = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, 1),
    Qt.Key.Key_Down: (0, -1),
}


class Underlay(Protocol):
    """Something painted on the sheet under everything else."""

    def paint(self, painter: QPainter, frame: QRectF, inks: Inks) -> None:
        """Paint it into the sheet's frame."""


class BoardPanel(QWidget):
    """Shows the board; whatever is on it moves with the mouse or the arrow keys."""

    moved = Signal(object, object)
    """A thing, and the point (mm) it was moved to."""
    chosen = Signal(object)
    """A thing that was chosen, by key or mouse."""
    spot_wanted = Signal(str)
    """The spot at which the lines chosen are to be tapped."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._board: Board | None = None
        self._sitting: dict[str, str] = {}
        self._tapped: dict[str, int] = {}
        self._chosen = 0
        self._dragging: Point | None = None
        self._scale = 1.0
        self._kept: tuple[object, list[Element]] | None = None
        self.inks: Inks = LIGHT
        self.underlay: Underlay | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(240, 200)
        self.setAccessibleName(say("Board"))

    def sizeHint(self) -> QSize:  # noqa: N802
        """Qt: room for a board of the usual shape."""
        return QSize(320, 260)

    @property
    def things(self) -> tuple[Thing, ...]:
        """Everything on and round the board, in the order the keys go through it."""
        return things_of(self._board) if self._board else ()

    def show_board(self, board: Board | None, sitting: dict[str, str]) -> None:
        """Show a board; ``sitting`` says who is on which seat.

        What is chosen stays chosen if it is still there: arrow keys move that and nothing else.
        """
        if (board, sitting) == (self._board, self._sitting):
            return
        before = self.things[self._chosen : self._chosen + 1]
        self._board, self._sitting = board, sitting
        kept = _number_of(before, self.things)
        if kept is None:  # gone, or called otherwise
            kept = min(self._chosen, max(len(self.things) - 1, 0))
        self._chosen = kept
        self._describe()
        self.update()

    def show_row(self, row: Row | None) -> None:
        """Mark the spots that a line taps."""
        tapped = _tapped_spots(row)
        if tapped == self._tapped:
            return
        self._tapped = tapped
        self._describe()
        self.update()

    def set_scale(self, scale: float) -> None:
        """Show names and signs at another size; 1 is the usual one."""
        self._scale = scale
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Qt: plus and minus choose a thing, arrows move it by 2 cm, Enter taps there."""
        things = self.things
        key = Qt.Key(event.key())
        if things and key in _MOVES:
            thing = things[self._chosen]
            dx, dy = self._view().step(*_MOVES[key])
            self._move(thing, Point(thing.at.x_mm + dx * STEP_MM, thing.at.y_mm + dy * STEP_MM))
        elif things and key in (Qt.Key.Key_Plus, Qt.Key.Key_Minus):
            by = 1 if key == Qt.Key.Key_Plus else -1
            self._chosen = (self._chosen + by) % len(things)
            self.chosen.emit(things[self._chosen])
            self._describe()
            self.update()
        elif things and key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._want_spot()
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Qt: take hold of what is near."""
        self.setFocus()
        if not self.things:
            return
        drawing = self._drawing()
        near = [
            ((QRectF(*drawing.box_of(t)).center() - event.position()).manhattanLength(), number)
            for number, t in enumerate(self.things)
        ]
        if min(near)[0] < 28 * self._scale:
            self._chosen = min(near)[1]
            self._dragging = self.things[self._chosen].at
            self.chosen.emit(self.things[self._chosen])
            self._describe()
            self.update()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Qt: show where it would go."""
        if self._dragging is not None:
            x, y = self._view().back_mm(event.position().x(), event.position().y())
            self._dragging = Point(*(Fraction(round(mm / 10) * 10) for mm in (x, y)))
            self.update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Qt: put it there; one step on the undo stack."""
        del event
        point, self._dragging = self._dragging, None
        if point is None or not self.things:
            return
        thing = self.things[self._chosen]
        if point == thing.at:
            self._want_spot()
        else:
            self._move(thing, point)

    def _want_spot(self) -> None:
        thing = self.things[self._chosen]
        if thing.kind == "spot":
            self.spot_wanted.emit(thing.name)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Qt: paint the board."""
        del event
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), QColor(self.inks.paper))
        if self._board is None:
            return
        if self.underlay is not None:
            self.underlay.paint(painter, self.frame(), self.inks)
        drawing = self._drawing()
        paint_elements(painter, self._elements(drawing), self.inks)
        if self.hasFocus() and drawing.things:
            box = QRectF(*drawing.box_of(drawing.things[self._chosen])).adjusted(-4, -4, 4, 4)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(self.inks.teal), 2.5))
            painter.drawRoundedRect(box, 5, 5)

    def _elements(self, drawing: BoardDrawing) -> list[Element]:
        """What is drawn, kept until something else is: finding room for names takes a while."""
        said = tuple(self._sitting.items()), tuple(self._tapped.items())
        key = (drawing.view, drawing.look, drawing.bounds, *said, self.underlay is not None)
        if self._kept is None or self._kept[0] != key:
            parts = (
                drawing.sheet(radius=6, edge=2, fill=None),
                drawing.strips(),
                drawing.bodies(),
                drawing.way_out(),
                drawing.seats(),
                drawing.places(),
                drawing.spots(),
                drawing.labels(plates=self.underlay is not None),
            )
            self._kept = key, [element for part in parts for element in part]
        return self._kept[1]

    def taken(self) -> tuple[tuple[float, float, float, float], ...]:
        """Boxes (left, top, width, height) of all marks and labels, counted from the frame's."""
        drawing, frame = self._drawing(), self.frame()
        boxes = [box for box in drawing.label_boxes() if box is not None]
        boxes += [drawing.box_of(thing) for thing in drawing.things]
        return tuple((x - frame.left(), y - frame.top(), w, h) for x, y, w, h in boxes)

    def frame(self) -> QRectF:
        """The sheet on the screen; only where a board is described."""
        view = self._view()
        return QRectF(view.left, view.top, view.width, view.height)

    def _view(self) -> View:
        board = self._board
        assert board is not None
        margin = MARGIN * self._scale
        view = View(board, 0, 0, 1.0)
        # What stands beside the sheet is in the picture, too.
        points = [(0.0, 0.0), (view.width, view.height), *(view.at(t.at) for t in self.things)]
        (left, right), (top, foot) = ((min(axis), max(axis)) for axis in zip(*points, strict=True))
        beside = [self._room_beside(side) for side in ("west", "east")]
        west = east = margin
        scale = (self.height() - 2 * margin) / (foot - top)
        for _ in range(3):
            # What stands beside the sheet already leaves room for the names there.
            west = max(margin, beside[0] + left * scale)
            east = max(margin, beside[1] - (right - view.width) * scale)
            scale = min(scale, (self.width() - west - east) / (right - left))
        scale = max(scale, 0.01)
        free = self.width() - west - east - (right - left) * scale
        return evolve(
            view,
            left=west + free / 2 - left * scale,
            top=(self.height() - (top + foot) * scale) / 2,
            scale=scale,
        )

    def _room_beside(self, side: str) -> float:
        """Room for the names of who sits at a side, a word a line, as far as there is any."""
        board = self._board
        assert board is not None
        size = LABEL_PX * self._scale
        words = [
            word
            for seat in board.seats
            if outward(board, seat.at) == side
            for word in self._sitting.get(seat.name, seat.name).split()
        ]
        widest = max((text_width(word, size, True) for word in words), default=0.0)
        return min(widest + SIGN_PX * self._scale + size, self.width() * MOST_BESIDE)

    def _drawing(self) -> BoardDrawing:
        """The board as it is, or as it would be with what is being dragged."""
        view = self._view()
        if self._dragging is not None and self.things:
            thing = self.things[self._chosen]
            view = evolve(
                view, board=moved_on_board(view.board, thing.kind, thing.name, self._dragging)
            )
        look = Look(LABEL_PX * self._scale, SIGN_PX * self._scale, text_width)
        bounds = (2.0, 2.0, self.width() - 4.0, self.height() - 4.0)
        return BoardDrawing(view, look, bounds=bounds, sitting=self._sitting, tapped=self._tapped)

    def _move(self, thing: Thing, point: Point) -> None:
        board = self._board
        assert board is not None
        # On to the sheet; what stands beside it already may stay there.
        x = min(max(point.x_mm, Fraction(0)), max(board.width_mm, thing.at.x_mm))
        y = min(max(point.y_mm, Fraction(0)), max(board.depth_mm, thing.at.y_mm))
        if Point(x, y) != thing.at:
            self.moved.emit(thing, Point(x, y))

    def _describe(self) -> None:
        things = self.things
        if not things:
            self.setAccessibleDescription(say("Nothing is on the board yet."))
            return
        thing = things[self._chosen]
        x, y = float(thing.at.x_mm / 10), float(thing.at.y_mm / 10)
        taps = ", ".join(
            say("{count:1 tap|# taps} at {spot}", count=count, spot=spot)
            for spot, count in self._tapped.items()
        )
        named = thing.name
        if thing.name != thing.kind:
            named = say(
                "{kind:spot=spot {name}|seat=seat {name}|place=place {name}|*={kind} {name}}",
                kind=thing.kind,
                name=thing.name,
            )
        self.setAccessibleDescription(
            say(
                "{named}, {x:g} centimetres from the west and {y:g} from the south. Plus "
                "for the next, arrows to move, Enter to tap at a spot. {taps}",
                named=named,
                x=x,
                y=y,
                taps=taps,
            )
        )


def _number_of(wanted: tuple[Thing, ...], things: tuple[Thing, ...]) -> int | None:
    """Which thing is the one wanted, wherever it lies now."""
    keys = [(each.kind, each.name) for each in wanted]
    return next((n for n, each in enumerate(things) if (each.kind, each.name) in keys), None)


def _tapped_spots(row: Row | None) -> dict[str, int]:
    """How many taps of a line are at each spot; where two adults tap one apart, at both."""
    if row is None or row.line is None or row.line.lane is None:
        return {}
    taps = {(tap.event, tap.spot): None for tap in written_taps(row.line, row.manner)}
    return dict(Counter(spot for _, spot in taps if spot))
