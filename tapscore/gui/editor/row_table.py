"""The table of rows: which is current, which are chosen or folded, how high each is."""

from collections.abc import Sequence

from PySide6.QtCore import (
    QItemSelection,
    QItemSelectionModel,
    QItemSelectionRange,
    Qt,
)
from PySide6.QtGui import (
    QResizeEvent,
    QShowEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QTableView,
    QWidget,
)

from tapscore.gui.editor.editing import StoryEditing
from tapscore.gui.editor.story_delegate import StoryDelegate
from tapscore.gui.editor.story_rows import StoryRows
from tapscore.gui.palettes import Inks
from tapscore.model.finding import StoryPath
from tapscore.screen.rows import Row, items_inside
from tapscore.wording.catalogue import say


class RowTable(QTableView):
    """Rows one below the other, each as high as its content needs."""

    def __init__(
        self, rows: StoryRows, editing: StoryEditing, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._rows = rows
        self._editing = editing
        self._fitted = False
        self.delegate = StoryDelegate(self)
        self.setModel(rows)
        self.setItemDelegate(self.delegate)
        self.setAccessibleName(say("Story"))
        self.setAccessibleDescription(
            say(
                "Lines with their rhythm. Up and down for lines, left and right for "
                "the taps of a line."
            )
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
        rows.rowsInserted.connect(lambda _, first, last: self._fit_rows(first, last))
        self._chosen: tuple[tuple[Row, ...], tuple[Row, ...]] | None = None
        """All rows, and those chosen among them, until others are chosen."""

    @property
    def current_row(self) -> Row | None:
        """The row the cursor is in."""
        return self._rows.row_at(self.currentIndex())

    @property
    def chosen_rows(self) -> tuple[Row, ...]:
        """Every selected row, top to bottom; with a folded heading all that is below it.

        A refrain's line counts once, wherever it is shown, and not where its return is chosen.
        """
        if self._chosen is not None and self._chosen[0] is self._rows.rows:
            return self._chosen[1]
        numbers = sorted(
            number
            for part in self.selectionModel().selection().toList()
            for number in range(part.top(), part.bottom() + 1)
        )
        rows = [self._rows.rows[number] for number in numbers]
        chosen: dict[StoryPath, Row] = {}
        for row in rows:
            chosen.setdefault(row.path, row)
            if row.folded is not None:
                chosen |= {each.path: each for each in items_inside(self._editing.story, row)}
        found = tuple(row for row in chosen.values() if row.within not in chosen)
        self._chosen = self._rows.rows, found
        return found

    @property
    def selected_rows(self) -> tuple[Row, ...]:
        """The same; the current one if none is selected."""
        current = self.current_row
        return self.chosen_rows or ((current,) if current else ())

    def set_look(self, inks: Inks, scale: float) -> None:
        """Paint with other inks or at another text size."""
        self.delegate.inks = inks
        self.delegate.scale = scale
        self.fit_all()
        self.viewport().update()

    def fit_all(self) -> None:
        """Give every row the height its content needs; a hidden list gets it when it is shown."""
        self._fitted = self.isVisible()
        if self._fitted:
            self._fit_rows(0, self._rows.rowCount() - 1)

    def go_to(self, path: StoryPath, *, edit: bool = False, focus: bool = True) -> None:
        """Move to the row that shows ``path``; ``edit`` opens its words.

        Without ``focus`` the row is only shown, and the keys stay where they are.
        """
        number = self._rows.row_of(path, self.row_near)
        if number is not None and self._hides(number, path):
            self._rows.fold(self._rows.rows[number], shown=True)
            number = self._rows.row_of(path, self.row_near)
        if number is None:
            return
        index = self._rows.index(number, 0)
        self.selectionModel().setCurrentIndex(
            index, QItemSelectionModel.SelectionFlag.ClearAndSelect
        )
        self.scrollTo(index)
        if focus:
            self.setFocus()
        if edit:
            self.edit(index)

    def choose(self, paths: Sequence[StoryPath]) -> None:
        """Select the rows that show these paths; the first is current."""
        if not paths:
            return
        self.go_to(paths[0])
        near, chosen = self.row_near, QItemSelection()
        for path in paths:
            number = self._rows.row_of(path, near)
            if number is not None:
                index = self._rows.index(number, 0)
                chosen.append(QItemSelectionRange(index, index))
        # In one go: everything that follows the choice follows it once.
        self.selectionModel().select(chosen, QItemSelectionModel.SelectionFlag.Select)

    @property
    def first_chosen(self) -> int:
        """Number of the first row chosen, or of the current one."""
        numbers = [part.top() for part in self.selectionModel().selection().toList()]
        return max(min(numbers, default=self.currentIndex().row()), 0)

    def fold(self, *, shown: bool) -> bool:
        """Fold what is below the current row, or show it; False where there is nothing to."""
        row = self.current_row
        return row is not None and self._rows.fold(row, shown=shown)

    def rest_at(self, number: int) -> None:
        """Let a row be current and none selected: what was there is gone."""
        number = min(max(number, 0), self._rows.rowCount() - 1)
        index = self._rows.index(number, 0)
        self.selectionModel().clearSelection()
        self.selectionModel().setCurrentIndex(index, QItemSelectionModel.SelectionFlag.NoUpdate)
        self.scrollTo(index)

    def selectionChanged(  # noqa: N802
        self, selected: QItemSelection, deselected: QItemSelection
    ) -> None:
        """Qt: other rows are chosen."""
        self._chosen = None
        super().selectionChanged(selected, deselected)

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802
        """Qt: rows get their height now."""
        super().showEvent(event)
        if not self._fitted:
            self.fit_all()

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Qt: lines may need another number of strips."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            self.fit_all()

    @property
    def row_near(self) -> int | None:
        """Where to stay near: the current row, if that shows a refrain's line at its return."""
        row = self.current_row
        return self.currentIndex().row() if row is not None and row.within is not None else None

    def _hides(self, number: int, path: StoryPath) -> bool:
        row = self._rows.rows[number]
        return row.folded is not None and len(row.path) < len(path)

    def _fit_rows(self, first: int, last: int) -> None:
        for number in range(first, last + 1):
            height = self.sizeHintForRow(number)
            if self.rowHeight(number) != height:
                self.setRowHeight(number, height)
