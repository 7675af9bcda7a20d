"""Paints the rows and gives the field in which words are typed."""

from PySide6.QtCore import (
    QEvent,
    QModelIndex,
    QObject,
    QPersistentModelIndex,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QClipboard,
    QContextMenuEvent,
    QGuiApplication,
    QKeyEvent,
    QKeySequence,
    QMouseEvent,
    QPainter,
)
from PySide6.QtWidgets import (
    QAbstractItemView,
    QLineEdit,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from tapscore.gui.clipboard import copied_now, read_copied
from tapscore.gui.editor.row_brush import RowState
from tapscore.gui.editor.row_geometry import MARGIN, RowSizes, row_height, words_top
from tapscore.gui.editor.row_painting import RowPainter
from tapscore.gui.editor.story_rows import FINDING_ROLE, NOTED_ROLE, ROW_ROLE, UNKNOWN_ROLE
from tapscore.gui.fonts import font
from tapscore.gui.palettes import LIGHT, Inks
from tapscore.screen.rows import Row, RowKind
from tapscore.wording.catalogue import say

Index = QModelIndex | QPersistentModelIndex
LONGEST_TYPED = 600
"""Letters that a field of words takes: more than the longest line that is pasted."""


class WordsField(QLineEdit):
    """Words on one line; several lines that are pasted stay several."""

    lines_pasted = Signal(object)
    cut_wanted = Signal()
    """The line is to become two, where the cursor is."""

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802
        """Qt: pasting, and Shift with Enter."""
        shift = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
        if shift and event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.cut_wanted.emit()
        elif event.matches(QKeySequence.StandardKey.Paste):
            self._paste(QClipboard.Mode.Clipboard)
        else:
            super().keyPressEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:  # noqa: N802
        """Qt: the middle button pastes, where the system has that."""
        clipboard = QGuiApplication.clipboard()
        if event.button() == Qt.MouseButton.MiddleButton and clipboard.supportsSelection():
            self._paste(QClipboard.Mode.Selection)
        else:
            super().mouseReleaseEvent(event)

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:  # noqa: N802
        """Qt: the usual menu, with our way of pasting."""
        menu = self.createStandardContextMenu()
        for action in menu.actions():
            if action.objectName() == "edit-paste":
                action.triggered.disconnect()
                action.triggered.connect(lambda: self._paste(QClipboard.Mode.Clipboard))
        menu.exec(event.globalPos())
        menu.deleteLater()

    def _paste(self, mode: QClipboard.Mode) -> None:
        found = read_copied(copied_now(mode), words_only=True)
        lines = [" ".join(line.split()) for line in found.words.splitlines() if line.strip()]
        if not lines:
            return
        if len(lines) == 1:
            self.insert(found.words.strip("\n") if found.words.strip("\n") else lines[0])
            return
        start = self.selectionStart() if self.hasSelectedText() else self.cursorPosition()
        end = start + len(self.selectedText())
        before, after = self.text()[:start], self.text()[end:]
        whole = [f"{before}{lines[0]}", *lines[1:-1], f"{lines[-1]}{after}"]
        self.setText(whole[0])
        self.setModified(True)
        self.lines_pasted.emit(tuple(whole))


class StoryDelegate(QStyledItemDelegate):
    """One for a view; knows the inks, the text size and where the cursor is."""

    words_typed = Signal(object, str)
    """The row as it was before typing, and the words in the field, at every key."""
    lines_typed = Signal(object, object)
    """The same with several lines, pasted into the field."""
    cut_wanted = Signal()
    put_back = Signal(object)
    """The row as it was before typing, when Escape ends it."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.inks: Inks = LIGHT
        self.scale = 1.0
        self.cursor_event: int | None = None
        self.field: WordsField | None = None
        """The field that was opened last."""
        self._before: Row | None = None
        self.playing: tuple[int, float] | None = None
        """Row and share of it that is sounding."""

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Qt: paint one row."""
        row: Row = index.data(ROW_ROLE)
        state = QStyle.StateFlag
        focused = bool(option.state & state.State_HasFocus)
        view = option.widget
        current = isinstance(view, QAbstractItemView) and view.currentIndex() == index
        share = self.playing[1] if self.playing and self.playing[0] == index.row() else None
        look = RowState(
            selected=bool(option.state & state.State_Selected),
            focused=focused,
            event=self.cursor_event if current else None,
            playing_share=share,
            finding=index.data(FINDING_ROLE) or "",
            noted=bool(index.data(NOTED_ROLE)),
            unknown=index.data(UNKNOWN_ROLE) or frozenset(),
        )
        rect = QRectF(option.rect)
        RowPainter(painter, self.inks, self.scale).paint(rect, row, look)

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:  # noqa: N802
        """Qt: how large a row is."""
        row: Row = index.data(ROW_ROLE)
        width = option.rect.width()
        return QSize(width, row_height(row, self.scale, width))

    def createEditor(  # noqa: N802
        self,
        parent: QWidget,
        option: QStyleOptionViewItem,  # noqa: ARG002
        index: Index,
    ) -> QWidget:
        """Qt: the field for a line's words or a section's heading."""
        row: Row = index.data(ROW_ROLE)
        field = WordsField(parent)
        self.field = field
        field.setFont(font(RowSizes(self.scale).words_px, bold=True))
        field.setStyleSheet(
            f"font-size: {round(RowSizes(self.scale).words_px)}px; font-weight: bold;"
        )
        what = say("Heading") if row.kind is RowKind.SECTION else say("Words of the line")
        field.setAccessibleName(what)
        field.setAccessibleDescription(
            say(
                "A hyphen divides syllables. Enter keeps, Shift+Enter begins a new "
                "line, Escape undoes."
            )
        )
        if row.kind is RowKind.LINE:
            field.textEdited.connect(lambda text: self.words_typed.emit(row, text))
            field.lines_pasted.connect(lambda lines: self.lines_typed.emit(row, lines))
            field.cut_wanted.connect(self.cut_wanted)
            self._before = row
        return field

    def eventFilter(self, editor: QObject, event: QEvent) -> bool:  # noqa: N802
        """Qt: Escape puts back what was there before typing."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            if event.modifiers() & Qt.KeyboardModifier.ShiftModifier and event.key() in (
                Qt.Key.Key_Return,
                Qt.Key.Key_Enter,
            ):
                return False  # The field's own: a line made two.
            typed = isinstance(editor, WordsField) and editor.isModified()
            if event.key() == Qt.Key.Key_Escape and typed and self._before is not None:
                self.put_back.emit(self._before)
        return super().eventFilter(editor, event)

    def setEditorData(self, editor: QWidget, index: Index) -> None:  # noqa: N802
        """Qt: fill the field, once."""
        if isinstance(editor, QLineEdit) and not editor.isModified():
            text = index.data(Qt.ItemDataRole.EditRole)
            # Whatever is dropped or pasted into it past our own ways, it stays one breath;
            # what stands there already is never cut.
            editor.setMaxLength(max(LONGEST_TYPED, len(text)))
            if editor.text() != text:
                editor.setText(text)

    def updateEditorGeometry(  # noqa: N802
        self, editor: QWidget, option: QStyleOptionViewItem, index: Index
    ) -> None:
        """Qt: put the field over the words, so that the marks below stay in sight."""
        row: Row = index.data(ROW_ROLE)
        sizes = RowSizes(self.scale)
        rect = option.rect
        section = row.kind is RowKind.SECTION
        top = rect.top()
        if not section:
            top += round(words_top(row, self.scale, rect.width())) - 6
        left = rect.left() + (MARGIN if section else round(sizes.gutter) - 10)
        editor.setGeometry(left, top, rect.right() - left - MARGIN, round(sizes.words_high) + 8)
