"""The board from above, to scale, with the taps of the current line."""

from typing import Protocol

from attrs import frozen
from PySide6.QtCore import QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import QColor, QFontMetricsF, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QWidget

from tapscore.gui.fonts import font
from tapscore.gui.palettes import LIGHT, Inks
from tapscore.gui.panels.board_labels import Mark, placed_labels
from tapscore.model.board import Board, Point
from tapscore.screen.rows import Row

MARGIN = 34
STEP_MM = 20
_HALF = {"spot": 9.0, "place": 14.0, "seat": 8.0}
"""Half the width of each mark, in pixels."""


class Underlay(Protocol):
    """Something painted on the sheet under everything else."""

    def paint(self, painter: QPainter, frame: QRectF, inks: Inks) -> None:
        """Paint it into the sheet's frame."""


@frozen
class Thing:
    """A spot, seat or place that can be moved."""

    kind: str
    name: str
    at: Point


class BoardPanel(QWidget):
    """Shows the board; spots, seats and places move with the mouse or the arrow keys."""

    moved = Signal(object, object)
    """A thing, and the point (mm) it was moved to."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._board: Board | None = None
        self._roles: dict[str, str] = {}
        self._tapped: dict[str, int] = {}
        self._chosen = 0
        self._dragging: Point | None = None
        self.inks: Inks = LIGHT
        self.underlay: Underlay | None = None
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(240, 200)
        self.setAccessibleName("Board")

    def sizeHint(self) -> QSize:  # noqa: N802
        """Qt: room for a board of the usual shape."""
        return QSize(320, 260)

    @property
    def things(self) -> tuple[Thing, ...]:
        """Everything on and round the board, in the order the keys go through it."""
        board = self._board
        if board is None:
            return ()
        return (
            *(Thing("spot", spot.name, spot.at) for spot in board.spots),
            *(Thing("place", place.name, place.at) for place in board.places),
            *(Thing("seat", seat.name, seat.at) for seat in board.seats),
        )

    def show_board(self, board: Board | None, roles: dict[str, str]) -> None:
        """Show a board; ``roles`` says who sits on which seat."""
        self._board, self._roles = board, roles
        self._chosen = min(self._chosen, max(len(self.things) - 1, 0))
        self._describe()
        self.update()

    def show_row(self, row: Row | None) -> None:
        """Mark the spots that a line taps."""
        self._tapped = _tapped_spots(row)
        self._describe()
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Qt: plus and minus choose a thing, arrows move it by two centimetres."""
        moves = {
            Qt.Key.Key_Left: (-1, 0),
            Qt.Key.Key_Right: (1, 0),
            Qt.Key.Key_Up: (0, 1),
            Qt.Key.Key_Down: (0, -1),
        }
        things = self.things
        key = Qt.Key(event.key())
        if things and key in moves:
            thing = things[self._chosen]
            dx, dy = moves[key]
            self._move(thing, Point(thing.at.x_mm + dx * STEP_MM, thing.at.y_mm + dy * STEP_MM))
        elif things and key in (Qt.Key.Key_Plus, Qt.Key.Key_Minus):
            by = 1 if key == Qt.Key.Key_Plus else -1
            self._chosen = (self._chosen + by) % len(things)
            self._describe()
            self.update()
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Qt: take hold of what is near."""
        self.setFocus()
        near = [
            (
                (self._to_screen(t.at) - event.position()).manhattanLength(),
                number,
            )
            for number, t in enumerate(self.things)
        ]
        if near and min(near)[0] < 28:
            self._chosen = min(near)[1]
            self._dragging = self.things[self._chosen].at
            self._describe()
            self.update()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Qt: show where it would go."""
        if self._dragging is not None:
            self._dragging = self._to_board(event.position())
            self.update()

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Qt: put it there; one step on the undo stack."""
        del event
        point, self._dragging = self._dragging, None
        if point is not None and self.things:
            self._move(self.things[self._chosen], point)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Qt: paint the board."""
        del event
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.fillRect(self.rect(), QColor(self.inks.paper))
        if self._board is None:
            painter.setPen(QColor(self.inks.muted))
            painter.setFont(font(15))
            painter.drawText(
                QRectF(self.rect()).adjusted(16, 16, -16, -16),
                int(Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignCenter),
                "The board is not described yet. Say how large it is under Story.",
            )
            return
        if self.underlay is not None:
            self.underlay.paint(painter, self.frame(), self.inks)
        painter.setPen(QPen(QColor(self.inks.ink), 2))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(self.frame(), 6, 6)
        for number, (thing, label) in enumerate(zip(self.things, self._labels(), strict=True)):
            self._paint_thing(painter, thing, number == self._chosen)
            if not label.isEmpty():
                if self.underlay is not None:
                    painter.fillRect(label.adjusted(-2, 1, 2, -1), QColor(self.inks.paper))
                quiet = thing.kind == "spot" and not self._tapped.get(thing.name)
                painter.setPen(QColor(self.inks.muted if quiet else self.inks.ink))
                painter.setFont(font(13))
                painter.drawText(label, Qt.AlignmentFlag.AlignCenter, self._label(thing))

    def _paint_thing(self, painter: QPainter, thing: Thing, chosen: bool) -> None:
        at = self._where(thing)
        ink, muted = QColor(self.inks.ink), QColor(self.inks.muted)
        ground = Qt.BrushStyle.NoBrush if self.underlay is None else QColor(self.inks.paper)
        painter.setBrush(ground)
        if thing.kind == "place":
            painter.setPen(QPen(muted, 1.5))
            painter.drawEllipse(at, 13, 13)
            painter.setPen(ink)
            painter.setFont(font(14, bold=True))
            box = QRectF(at.x() - 13, at.y() - 13, 26, 26)
            painter.drawText(box, Qt.AlignmentFlag.AlignCenter, thing.name)
        elif thing.kind == "spot":
            taps = self._tapped.get(thing.name, 0)
            painter.setPen(QPen(ink, 2 if taps else 1.2))
            painter.drawEllipse(at, 8, 8)
            if taps:
                painter.setBrush(ink)
                painter.drawEllipse(at, 4, 4)
        else:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(QColor(self.inks.teal))
            painter.drawRect(QRectF(at.x() - 7, at.y() - 7, 14, 14))
        if chosen and self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(QColor(self.inks.teal), 2.5))
            painter.drawRoundedRect(QRectF(at.x() - 17, at.y() - 17, 34, 34), 5, 5)

    def taken(self) -> tuple[tuple[float, float, float, float], ...]:
        """Boxes (left, top, width, height) of all marks and labels, counted from the frame's."""
        left, top = self.frame().left(), self.frame().top()
        boxes = [box for box in self._labels() if not box.isEmpty()]
        for thing in self.things:
            at, half = self._where(thing), _HALF[thing.kind]
            boxes.append(QRectF(at.x() - half, at.y() - half, 2 * half, 2 * half))
        return tuple((b.x() - left, b.y() - top, b.width(), b.height()) for b in boxes)

    def _where(self, thing: Thing) -> QPointF:
        """Where a thing is on the screen, or is being dragged to."""
        dragged = self._dragging is not None and thing == self.things[self._chosen]
        return self._to_screen(self._dragging if dragged and self._dragging else thing.at)

    def _label(self, thing: Thing) -> str:
        if thing.kind == "seat":
            return self._roles.get(thing.name, thing.name)
        taps = self._tapped.get(thing.name, 0)
        return f"{thing.name} ({taps})" if taps else thing.name

    def _labels(self) -> tuple[QRectF, ...]:
        """Where each thing's label goes; nowhere for a place, which has its letter in it."""
        metrics = QFontMetricsF(font(13))
        frame = self.frame()
        inside, around = frame.adjusted(4, 2, -4, -2), QRectF(self.rect()).adjusted(2, 0, -2, 0)
        marks = []
        for thing in self.things:
            at, half = self._where(thing), _HALF[thing.kind]
            if thing.kind == "place":
                marks.append(Mark(at, half, inside))
                continue
            width = metrics.horizontalAdvance(self._label(thing)) + 2
            sides, bounds = "right left below above", inside
            if thing.kind == "seat":
                bounds = around
                outer = "below" if at.y() > frame.center().y() else "above"
                sides = f"{outer} right left"
                if abs(at.x() - frame.left()) < half:
                    sides = "right"
                elif abs(at.x() - frame.right()) < half:
                    sides = "left"
            marks.append(Mark(at, half, bounds, width, metrics.height(), sides))
        return placed_labels(marks)

    def _move(self, thing: Thing, point: Point) -> None:
        board = self._board
        assert board is not None
        x = min(max(point.x_mm, type(point.x_mm)(0)), board.width_mm)
        y = min(max(point.y_mm, type(point.y_mm)(0)), board.depth_mm)
        if Point(x, y) != thing.at:
            self.moved.emit(thing, Point(x, y))

    def _describe(self) -> None:
        things = self.things
        if not things:
            self.setAccessibleDescription("The board is not described yet.")
            return
        thing = things[self._chosen]
        x, y = float(thing.at.x_mm / 10), float(thing.at.y_mm / 10)
        taps = ", ".join(f"{count} taps at {spot}" for spot, count in self._tapped.items())
        self.setAccessibleDescription(
            f"{thing.kind} {thing.name}, {x:g} centimetres from the west and {y:g} from the "
            f"south. Plus for the next, arrows to move. {taps}"
        )

    def _scale(self) -> float:
        assert self._board is not None
        across = (self.width() - 2 * MARGIN) / float(self._board.width_mm)
        down = (self.height() - 2 * MARGIN) / float(self._board.depth_mm)
        return max(min(across, down), 0.01)

    def frame(self) -> QRectF:
        """The sheet on the screen; only where a board is described."""
        assert self._board is not None
        scale = self._scale()
        width, depth = float(self._board.width_mm) * scale, float(self._board.depth_mm) * scale
        return QRectF((self.width() - width) / 2, (self.height() - depth) / 2, width, depth)

    def _to_screen(self, point: Point) -> QPointF:
        frame, scale = self.frame(), self._scale()
        return QPointF(
            frame.left() + float(point.x_mm) * scale, frame.bottom() - float(point.y_mm) * scale
        )

    def _to_board(self, position: QPointF) -> Point:
        from fractions import Fraction

        frame, scale = self.frame(), self._scale()
        x = round((position.x() - frame.left()) / scale / 10) * 10
        y = round((frame.bottom() - position.y()) / scale / 10) * 10
        return Point(Fraction(x), Fraction(y))


def _tapped_spots(row: Row | None) -> dict[str, int]:
    if row is None or row.line is None or row.line.lane is None:
        return {}
    counts: dict[str, int] = {}
    for bar in row.line.lane.all_bars:
        for step in bar:
            for cell in step:
                if cell.mark.tapped:
                    own = cell.detail.spot if cell.detail else None
                    spot = own or row.manner.spot
                    if spot:
                        counts[spot] = counts.get(spot, 0) + 1
    return counts
