"""The list of rows: moving about, typing, and dragging taps along the grid."""

from PySide6.QtCore import QItemSelectionModel, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import (
    QAccessible,
    QAccessibleAnnouncementEvent,
    QKeyEvent,
    QMouseEvent,
    QResizeEvent,
)
from PySide6.QtWidgets import QAbstractItemView, QTableView, QWidget

from tapscore.gui.editor.editing import StoryEditing
from tapscore.gui.editor.row_geometry import Sizes, line_layout, strip_high, words_top
from tapscore.gui.editor.story_delegate import StoryDelegate
from tapscore.gui.editor.story_rows import StoryRows
from tapscore.gui.palettes import Inks
from tapscore.model.finding import StoryPath
from tapscore.model.lane import lane_events
from tapscore.model.lane_edits import CellPlace, event_places
from tapscore.screen.rows import Row, RowKind, tap_text


class StoryView(QTableView):
    """Shows the rows of one document; the current row may have a cursor on one of its marks."""

    cursor_moved = Signal()
    """The current row, or the mark in it, is another one."""
    details_wanted = Signal()

    def __init__(
        self, rows: StoryRows, editing: StoryEditing, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._rows = rows
        self._editing = editing
        self.delegate = StoryDelegate(self)
        self.setModel(rows)
        self.setItemDelegate(self.delegate)
        self.setAccessibleName("Story")
        self.setAccessibleDescription(
            "Lines with their rhythm. Up and down for lines, left and right for the taps of a line."
        )
        self.horizontalHeader().hide()
        self.horizontalHeader().setStretchLastSection(True)
        self.verticalHeader().hide()
        self.setShowGrid(False)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.EditKeyPressed
            | QAbstractItemView.EditTrigger.DoubleClicked
        )
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setTabKeyNavigation(False)
        self.delegate.words_typed.connect(self._words_typed)
        rows.dataChanged.connect(self._refit)
        rows.rowsInserted.connect(lambda _, first, last: self._fit_rows(first, last))
        self._dragged: tuple[int, int] | None = None

    @property
    def current_row(self) -> Row | None:
        """The row the cursor is in."""
        return self._rows.row_at(self.currentIndex())

    @property
    def cursor_event(self) -> int | None:
        """The mark the cursor is on, counted within its line."""
        return self.delegate.cursor_event

    @property
    def selected_rows(self) -> tuple[Row, ...]:
        """Every selected row, top to bottom; the current one if none is."""
        numbers = sorted(index.row() for index in self.selectionModel().selectedRows())
        rows = tuple(self._rows.rows[number] for number in numbers)
        current = self.current_row
        return rows or ((current,) if current else ())

    def set_look(self, inks: Inks, scale: float) -> None:
        """Paint with other inks or at another text size."""
        self.delegate.inks = inks
        self.delegate.scale = scale
        self.fit_all()
        self.viewport().update()

    def fit_all(self) -> None:
        """Give every row the height its content needs."""
        self._fit_rows(0, self._rows.rowCount() - 1)

    def go_to(self, path: StoryPath, *, edit: bool = False) -> None:
        """Move to the row that shows ``path``; ``edit`` opens its words."""
        number = self._rows.row_of(path)
        if number is None:
            return
        index = self._rows.index(number, 0)
        self.selectionModel().setCurrentIndex(
            index, QItemSelectionModel.SelectionFlag.ClearAndSelect
        )
        self.scrollTo(index)
        self.setFocus()
        if edit:
            self.edit(index)

    def open_current(self) -> None:
        """Type the words of the current line; the details of what has no words."""
        index = self.currentIndex()
        if self._rows.flags(index) & Qt.ItemFlag.ItemIsEditable:
            if self.state() != QAbstractItemView.State.EditingState:
                self.edit(index)
        else:
            self.details_wanted.emit()

    def move_cursor_to(self, event: int | None) -> None:
        """Put the cursor on a mark of the current line, or on the line as a whole."""
        row = self.current_row
        count = _event_count(row)
        self.delegate.cursor_event = None if event is None or not count else event % count
        self.update(self.currentIndex())
        if row is not None and self.delegate.cursor_event is not None:
            words = tap_text(row, self.delegate.cursor_event)
            QAccessible.updateAccessibility(QAccessibleAnnouncementEvent(self, words))
        self.cursor_moved.emit()

    def currentChanged(  # noqa: N802
        self,
        current: QModelIndex | QPersistentModelIndex,
        previous: QModelIndex | QPersistentModelIndex,
    ) -> None:
        """Qt: another row is current."""
        super().currentChanged(current, previous)
        if current.row() != previous.row():
            self.delegate.cursor_event = None
        self.cursor_moved.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Qt: left and right go along the marks, everything else as usual."""
        if event.modifiers() in (
            Qt.KeyboardModifier.NoModifier,
            Qt.KeyboardModifier.KeypadModifier,
        ):
            steps = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(Qt.Key(event.key()))
            if steps is not None:
                self._step_cursor(steps)
                return
            if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
                self.open_current()
                return
            if event.key() == Qt.Key.Key_Escape and self.cursor_event is not None:
                self.move_cursor_to(None)
                return
        super().keyPressEvent(event)

    def keyboardSearch(self, search: str) -> None:  # noqa: N802
        """Qt: letters are commands here, not a search."""

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Qt: a press on a mark takes hold of it."""
        super().mousePressEvent(event)
        found = self._mark_at(event)
        self._dragged = None
        if found is not None and event.button() == Qt.MouseButton.LeftButton:
            number, mark, _ = found
            self.move_cursor_to(mark)
            self._dragged = None if mark is None else (number, mark)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Qt: nothing is selected while a mark is held."""
        if self._dragged is None:
            super().mouseMoveEvent(event)
        else:
            self.setCursor(Qt.CursorShape.SizeHorCursor)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Qt: a held mark is let go; one step on the undo stack."""
        dragged, self._dragged = self._dragged, None
        self.unsetCursor()
        super().mouseReleaseEvent(event)
        found = self._mark_at(event)
        row = self.current_row
        if dragged is None or found is None or row is None or found[0] != dragged[0]:
            return
        steps = self._steps_between(row, dragged[1], found[2])
        if steps:
            self._editing.move_tap(row, dragged[1], steps)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Qt: twice on an empty step adds a tap there; elsewhere it opens the words."""
        found = self._mark_at(event)
        row = self.current_row
        if found is not None and found[1] is None and row is not None:
            self._editing.add_tap(row, found[2])
        elif found is None:
            super().mouseDoubleClickEvent(event)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Qt: lines may need another number of strips."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.fit_all()

    def _step_cursor(self, steps: int) -> None:
        count = _event_count(self.current_row)
        if not count:
            return
        at = self.cursor_event
        start = 0 if steps > 0 else count - 1
        self.move_cursor_to(start if at is None else min(max(at + steps, 0), count - 1))

    def _words_typed(self, before: Row, words: str) -> None:
        row = self.current_row
        if row is not None and row.path == before.path:
            self._editing.type_words(before, words)

    def _refit(self, first: QModelIndex, last: QModelIndex) -> None:
        self._fit_rows(first.row(), last.row())
        if self.delegate.cursor_event is not None:
            count = _event_count(self.current_row)
            self.delegate.cursor_event = (
                min(self.delegate.cursor_event, count - 1) if count else None
            )

    def _fit_rows(self, first: int, last: int) -> None:
        for number in range(first, last + 1):
            height = self.sizeHintForRow(number)
            if self.rowHeight(number) != height:
                self.setRowHeight(number, height)

    def _mark_at(self, event: QMouseEvent) -> tuple[int, int | None, CellPlace] | None:
        """Row number, mark (None beside a mark) and place of the cell under the mouse."""
        position = event.position()
        index = self.indexAt(position.toPoint())
        row = self._rows.row_at(index)
        if row is None or row.line is None or row.line.lane is None:
            return None
        rect = self.visualRect(index)
        sizes = Sizes(self.delegate.scale)
        layout = line_layout(row.line, row.metre, self.delegate.scale, rect.width())
        top = rect.top() + words_top(row, self.delegate.scale, rect.width())
        high = strip_high(row, sizes)
        swell = sizes.label_px * 0.8 if len(row.manner.loudness) > 1 else 0.0
        for strip in layout.strips:
            if top + sizes.words_high <= position.y() <= top + high:
                x = position.x() - rect.left() - sizes.gutter - sizes.words_px * 0.45
                if not strip.cells:
                    return None
                cell = min(strip.cells, key=lambda c: abs(c.x - x))
                return index.row(), cell.event, cell.place
            top += high + swell
        return None

    def _steps_between(self, row: Row, mark: int, target: CellPlace) -> int:
        if row.line is None or row.line.lane is None:
            return 0
        lane = row.line.lane
        order = [(b, s) for b, bar in enumerate(lane.all_bars) for s in range(len(bar))]
        start = event_places(lane)[mark]
        return order.index((target.bar, target.step)) - order.index((start.bar, start.step))


def _event_count(row: Row | None) -> int:
    if row is None or row.kind is not RowKind.LINE or row.line is None or row.line.lane is None:
        return 0
    return len(lane_events(row.line.lane, row.metre))
