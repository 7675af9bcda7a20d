"""What of a row is under the mouse: a tap, an empty step, a wedge, something to tell."""

from PySide6.QtCore import (
    QPoint,
    QPointF,
    QRectF,
    Qt,
)
from PySide6.QtGui import (
    QMouseEvent,
)
from PySide6.QtWidgets import (
    QTableView,
)

from tapscore.gui.editor.row_geometry import RowSizes, fold_box, line_layout, strip_high, words_top
from tapscore.gui.editor.row_tips import tip
from tapscore.gui.editor.story_delegate import StoryDelegate
from tapscore.gui.editor.story_rows import StoryRows
from tapscore.model.lane_edits import CellPlace, event_places
from tapscore.screen.rows import Row, tap_text


class RowPointing:
    """Finds what lies at a point of one view."""

    def __init__(self, view: QTableView, rows: StoryRows, delegate: StoryDelegate) -> None:
        self._view = view
        self._rows = rows
        self._delegate = delegate

    def tip_at(self, at: QPoint) -> str:
        """What is at a point of the view, in words."""
        index = self._view.indexAt(at)
        row = self._rows.row_at(index)
        if row is None:
            return ""
        found = self.mark_at(QPointF(at))
        if found is not None and found[1] is not None:
            return tap_text(row, found[1])
        rect, scale = QRectF(self._view.visualRect(index)), self._delegate.scale
        return tip(self._rows, index, row, rect, QPointF(at), scale)

    def mark_at(self, position: QPointF) -> tuple[int, int | None, CellPlace] | None:
        """Row number, mark (None beside a mark) and place of the cell at a point."""
        index = self._view.indexAt(position.toPoint())
        row = self._rows.row_at(index)
        if row is None or row.line is None or row.line.lane is None:
            return None
        rect = self._view.visualRect(index)
        sizes = RowSizes(self._delegate.scale)
        layout = line_layout(row.line, row.metre, self._delegate.scale, rect.width())
        top = rect.top() + words_top(row, self._delegate.scale, rect.width())
        high = strip_high(row, sizes)
        swell = sizes.label_px * 0.8 if len(row.manner.loudness) > 1 else 0.0
        for strip in layout.strips:
            if top + sizes.words_high <= position.y() <= top + high:
                x = position.x() - rect.left() - sizes.gutter - sizes.words_px * 0.45
                if not strip.cells:
                    return None
                cell = min(strip.cells, key=lambda c: abs(c.x - x))
                return index.row(), cell.event, cell.column.place
            top += high + swell
        return None

    def on_fold(self, event: QMouseEvent) -> bool:
        """Whether a press is on the wedge that folds a heading."""
        index = self._view.indexAt(event.position().toPoint())
        row = self._rows.row_at(index)
        if row is None or row.fold is None or event.button() != Qt.MouseButton.LeftButton:
            return False
        rect = QRectF(self._view.visualRect(index))
        return fold_box(rect, row, RowSizes(self._delegate.scale)).contains(event.position())


def steps_between(row: Row, mark: int, target: CellPlace) -> int:
    """Steps of the grid from a mark of a line to a place in it; negative towards its start."""
    if row.line is None or row.line.lane is None:
        return 0
    lane = row.line.lane
    order = [(b, s) for b, bar in enumerate(lane.all_bars) for s in range(len(bar))]
    start = event_places(lane)[mark]
    return order.index((target.bar, target.step)) - order.index((start.bar, start.step))
