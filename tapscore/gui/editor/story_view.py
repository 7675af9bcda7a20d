"""The rows of a story under hands: moving about, typing, and dragging taps along the grid."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import (
    QEvent,
    QModelIndex,
    QPersistentModelIndex,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QColor,
    QContextMenuEvent,
    QHelpEvent,
    QInputMethodEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
)
from PySide6.QtWidgets import (
    QAbstractItemDelegate,
    QAbstractItemView,
    QApplication,
    QToolTip,
    QWidget,
)

from tapscore.gui.aloud import say_aloud
from tapscore.gui.editor.editing import StoryEditing
from tapscore.gui.editor.line_lifting import LineLifting
from tapscore.gui.editor.row_pointing import RowPointing, steps_between
from tapscore.gui.editor.row_table import RowTable
from tapscore.gui.editor.story_rows import StoryRows
from tapscore.model.lane import lane_events
from tapscore.model.words import split_words
from tapscore.screen.rows import Row, RowKind, tap_text
from tapscore.wording.catalogue import say


class StoryView(RowTable):
    """Shows the rows of one document; the current row may have a cursor on one of its marks."""

    cursor_moved = Signal()
    """The current row, or the mark in it, is another one."""
    details_wanted = Signal()
    tapping_changed = Signal(bool)
    """Whether single keys change taps now."""
    menu_wanted = Signal(object)
    """A row's own menu, at a point of the screen."""
    cut_wanted = Signal()
    """Shift and Enter were pressed in the words."""
    refused = Signal(str)
    """Why what was typed changes nothing here."""

    def __init__(
        self, rows: StoryRows, editing: StoryEditing, parent: QWidget | None = None
    ) -> None:
        super().__init__(rows, editing, parent)
        self.tapping = False
        self.space: Callable[[], bool] = lambda: False
        """What the space bar does outside the tapping mode; False if nothing."""
        self.delegate.words_typed.connect(self._words_typed)
        self.delegate.lines_typed.connect(self._lines_typed)
        self.delegate.put_back.connect(self._put_back)
        self.delegate.cut_wanted.connect(self.cut_wanted)
        self.lifting = LineLifting(self)
        self.pointing = RowPointing(self, rows, self.delegate)
        rows.dataChanged.connect(self._refit)
        self._dragged: tuple[int, int] | None = None

    @property
    def cursor_event(self) -> int | None:
        """The mark the cursor is on, counted within its line."""
        return self.delegate.cursor_event

    def open_current(self) -> None:
        """Type the words of the current line; the details of what has no words."""
        index = self.currentIndex()
        if self._rows.flags(index) & Qt.ItemFlag.ItemIsEditable:
            if self.state() != QAbstractItemView.State.EditingState:
                self.edit(index)
        else:
            self.details_wanted.emit()

    def end_typing(self) -> None:
        """Close the field that is open; what was typed is in the story already."""
        field = self.delegate.field
        if field is not None and self.state() == QAbstractItemView.State.EditingState:
            self.closeEditor(field, QAbstractItemDelegate.EndEditHint.NoHint)

    def syllable_here(self) -> int | None:
        """The syllable the cursor is before, in the words that are typed or among the taps."""
        row, field = self.current_row, self.delegate.field
        if row is None or row.line is None:
            return None
        if field is not None and self.state() == QAbstractItemView.State.EditingState:
            before = split_words(field.text()[: field.cursorPosition()])
            words = before[-1].word + 1 if before else 0
            said = row.line.syllables
            return next((n for n, each in enumerate(said) if each.word >= words), len(said))
        if row.line.lane is None or self.cursor_event is None:
            return None
        events = lane_events(row.line.lane, row.metre)
        return next(
            (e.syllable for e in events[self.cursor_event :] if e.syllable is not None), None
        )

    def set_tapping(self, on: bool) -> None:
        """Begin or end the mode in which single keys change taps; it begins at a tap."""
        if on == self.tapping:
            return
        self.tapping = on
        if on and self.cursor_event is None:
            self.move_cursor_to(0)
        elif not on:
            self.move_cursor_to(None)
        self.setFocus()
        self.tapping_changed.emit(on)

    def type_on(self, event: QKeyEvent) -> None:
        """Begin to type at the end of the current line's words."""
        row = self.current_row
        if row is None or row.kind not in (RowKind.LINE, RowKind.SECTION):
            self.refused.emit(
                say("Words belong to a line: go to one, or press Insert for a new one.")
            )
            return
        self.edit(self.currentIndex())
        field = self.delegate.field
        if field is not None:
            field.deselect()
            field.end(False)
            if field.text() and not field.text().endswith((" ", "-")):
                field.insert(" ")
            QApplication.sendEvent(field, event)

    def move_cursor_to(self, event: int | None) -> None:
        """Put the cursor on a mark of the current line, or on the line as a whole."""
        row = self.current_row
        count = _event_count(row)
        self.delegate.cursor_event = None if event is None or not count else event % count
        self.update(self.currentIndex())
        if row is not None and self.delegate.cursor_event is not None:
            words = tap_text(row, self.delegate.cursor_event)
            say_aloud(self, words)
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
        """Qt: left and right go along the marks, letters begin words."""
        key, plain = Qt.Key(event.key()), event.modifiers() in _PLAIN
        steps = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(key)
        if plain and steps is not None:
            self._step_cursor(steps)
        elif plain and key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.open_current()
        elif plain and key == Qt.Key.Key_Escape and (self.tapping or self.cursor_event is not None):
            self.set_tapping(False)
            self.move_cursor_to(None)
        elif plain and key == Qt.Key.Key_Space:
            if not event.isAutoRepeat() and not self.space():
                event.ignore()
        elif event.text().isprintable() and event.text() and _types(event):
            if self.tapping:
                self.refused.emit(
                    say("This key does nothing to taps. Escape ends the tapping mode.")
                )
            else:
                self.type_on(event)
        else:
            super().keyPressEvent(event)

    def inputMethodEvent(self, event: QInputMethodEvent) -> None:  # noqa: N802
        """Qt: letters with accents that are composed begin words, too."""
        text = event.commitString()
        if text.strip() and not self.tapping:
            key = QKeyEvent(QEvent.Type.KeyPress, 0, Qt.KeyboardModifier.NoModifier, text)
            self.type_on(key)
            event.accept()

    def keyboardSearch(self, search: str) -> None:  # noqa: N802
        """Qt: letters begin words here and don't search."""

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:  # noqa: N802
        """Qt: the row's own menu; by keyboard it opens beside the row."""
        if event.reason() == QContextMenuEvent.Reason.Keyboard:
            rect = self.visualRect(self.currentIndex())
            self.menu_wanted.emit(self.viewport().mapToGlobal(rect.center()))
        else:
            self.menu_wanted.emit(event.globalPos())

    def mousePressEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Qt: a press on a mark takes hold of it."""
        self._dragged = None
        if self.lifting.pressed(event):
            return
        super().mousePressEvent(event)
        if self.pointing.on_fold(event):
            row = self.current_row
            self.fold(shown=row is not None and row.folded is not None)
            return
        found = self.pointing.mark_at(event.position())
        if found is not None and event.button() == Qt.MouseButton.LeftButton:
            number, mark, _ = found
            self.move_cursor_to(mark)
            self._dragged = None if mark is None else (number, mark)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Qt: nothing is selected while a mark is held."""
        if self.lifting.moved(event):
            return
        if self._dragged is None:
            super().mouseMoveEvent(event)
        else:
            self.setCursor(Qt.CursorShape.SizeHorCursor)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Qt: a held mark is let go; one step on the undo stack."""
        dragged, self._dragged = self._dragged, None
        self.unsetCursor()
        lifted = self.lifting.let_go()
        if lifted is not None:
            paths = self._editing.move_to(*lifted)
            self.choose(paths)
            return
        super().mouseReleaseEvent(event)
        found = self.pointing.mark_at(event.position())
        row = self.current_row
        if dragged is None or found is None or row is None or found[0] != dragged[0]:
            return
        steps = steps_between(row, dragged[1], found[2])
        if steps:
            self._editing.move_tap(row, dragged[1], steps)

    def mouseDoubleClickEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Qt: twice on an empty step adds a tap there; elsewhere it opens the words."""
        found = self.pointing.mark_at(event.position())
        row = self.current_row
        if found is not None and found[1] is None and row is not None:
            self._editing.add_tap(row, found[2])
        elif found is None:
            super().mouseDoubleClickEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:  # noqa: N802
        """Qt: where lifted lines would go stands above everything."""
        super().paintEvent(event)
        y = self.lifting.line_y()
        if y is not None:
            painter = QPainter(self.viewport())
            painter.fillRect(0, y - 2, self.viewport().width(), 4, QColor(self.delegate.inks.teal))

    def _step_cursor(self, steps: int) -> None:
        count = _event_count(self.current_row)
        if not count:
            self.fold(shown=steps > 0)
            return
        at = self.cursor_event
        start = 0 if steps > 0 else count - 1
        self.move_cursor_to(start if at is None else min(max(at + steps, 0), count - 1))

    def _words_typed(self, before: Row, words: str) -> None:
        self._lines_typed(before, (words,))

    def _lines_typed(self, before: Row, lines: Sequence[str]) -> None:
        if not self._editing.type_lines(before, lines):
            # The line is gone or unchanged.  What is typed must not vanish with it.
            self._rows_left(before)

    def _rows_left(self, before: Row) -> None:
        number = self._rows.row_of(before.path, self.row_near)
        if number is None or self._rows.rows[number].path != before.path:
            self.refused.emit(say("That line is gone. Redo brings it back with its words."))

    def _put_back(self, before: Row) -> None:
        self._editing.put_back(before)

    def _refit(self, first: QModelIndex, last: QModelIndex) -> None:
        self._fit_rows(first.row(), last.row())
        if self.delegate.cursor_event is not None:
            count = _event_count(self.current_row)
            self.delegate.cursor_event = (
                min(self.delegate.cursor_event, count - 1) if count else None
            )

    def viewportEvent(self, event: QEvent) -> bool:  # noqa: N802
        """Qt: a tip for what is under the mouse."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            QToolTip.showText(event.globalPos(), self.pointing.tip_at(event.pos()), self)
            return True
        return super().viewportEvent(event)


_PLAIN = (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier)


def _types(event: QKeyEvent) -> bool:
    """Whether a key is a letter and no command: some letters need AltGr, which is Ctrl+Alt."""
    modifiers = event.modifiers()
    ctrl = bool(modifiers & Qt.KeyboardModifier.ControlModifier)
    alt = bool(modifiers & Qt.KeyboardModifier.AltModifier)
    return ctrl == alt and not modifiers & Qt.KeyboardModifier.MetaModifier


def _event_count(row: Row | None) -> int:
    if row is None or row.kind is not RowKind.LINE or row.line is None or row.line.lane is None:
        return 0
    return len(lane_events(row.line.lane, row.metre))
