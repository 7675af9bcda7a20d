"""Lines lifted with the mouse at their number, and let go elsewhere; by keyboard: Alt+Up."""

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication, QTableView

from tapscore.gui.editor.row_geometry import RowSizes, fold_box
from tapscore.gui.editor.story_delegate import StoryDelegate
from tapscore.gui.editor.story_rows import ROW_ROLE
from tapscore.screen.rows import Row

_SCROLL_PX = 24
"""So near to the view's edge it scrolls."""


class LineLifting:
    """What the mouse does at the left of the rows of one view."""

    def __init__(self, view: QTableView) -> None:
        self._view = view
        self._from: QPoint | None = None
        self._gap: int | None = None
        """Number of the row above which lifted lines would go."""

    def pressed(self, event: QMouseEvent) -> bool:
        """Take hold of the row's number; True where the view has nothing more to do."""
        self._from = self._gap = None
        index = self._view.indexAt(event.position().toPoint())
        row: Row | None = index.data(ROW_ROLE) if index.isValid() else None
        if row is None or row.item is None or row.within is not None:
            return False
        if event.button() != Qt.MouseButton.LeftButton or event.modifiers():
            return False
        sizes, rect = self._sizes, self._view.visualRect(index)
        if event.position().x() - rect.left() > sizes.gutter - 10:
            return False
        if row.fold is not None and fold_box(rect.toRectF(), row, sizes).contains(event.position()):
            return False
        self._from = event.position().toPoint()
        if not self._view.selectionModel().isSelected(index):
            self._view.setCurrentIndex(index)
        self._view.setFocus()
        return True

    def moved(self, event: QMouseEvent) -> bool:
        """Show where the lines would go; True while some are lifted."""
        if self._from is None:
            return False
        at = event.position().toPoint()
        far = (at - self._from).manhattanLength() >= QApplication.startDragDistance()
        if far or self._gap is not None:
            self._view.setCursor(Qt.CursorShape.ClosedHandCursor)
            self._gap = self._gap_at(at.y())
            self._scroll(at.y())
            self._view.viewport().update()
        return True

    def let_go(self) -> tuple[tuple[Row, ...], Row | None] | None:
        """The rows to be moved and the row they go below; None where nothing was lifted."""
        gap = self._gap
        self._from = self._gap = None
        self._view.viewport().update()
        if gap is None:
            return None
        model, numbers = (
            self._view.model(),
            sorted(index.row() for index in self._view.selectionModel().selectedRows()),
        )
        rows = [model.index(number, 0).data(ROW_ROLE) for number in numbers]
        lifted = tuple(row for row in rows if row.item is not None and row.within is None)
        before: list[Row] = [model.index(number, 0).data(ROW_ROLE) for number in range(gap)]
        # Below a return with its lines: below the return.
        above = next((row for row in reversed(before) if row.within is None), None)
        return (lifted, above) if lifted else None

    def line_y(self) -> int | None:
        """Where the line is that shows the place, in the view; None while nothing is lifted."""
        if self._gap is None:
            return None
        last = self._view.model().rowCount() - 1
        if self._gap > last:
            return self._view.rowViewportPosition(last) + self._view.rowHeight(last)
        return self._view.rowViewportPosition(self._gap)

    def _gap_at(self, y: int) -> int:
        view = self._view
        number = view.rowAt(y)
        if number < 0:
            return view.model().rowCount()
        below = y > view.rowViewportPosition(number) + view.rowHeight(number) / 2
        return max(number + below, 1)

    def _scroll(self, y: int) -> None:
        bar = self._view.verticalScrollBar()
        if y < _SCROLL_PX:
            bar.setValue(bar.value() - _SCROLL_PX)
        elif y > self._view.viewport().height() - _SCROLL_PX:
            bar.setValue(bar.value() + _SCROLL_PX)

    @property
    def _sizes(self) -> RowSizes:
        delegate = self._view.itemDelegate()
        return RowSizes(delegate.scale if isinstance(delegate, StoryDelegate) else 1.0)
