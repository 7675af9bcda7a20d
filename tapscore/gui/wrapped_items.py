"""Items of a list that wrap: Qt measures them without the box before them, or their margins."""

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtWidgets import QListView, QListWidget, QStyledItemDelegate, QStyleOptionViewItem

_ROOM_LINES = 1.6
"""Room for a box that can be ticked, in heights of a line."""


class WrappedItems(QStyledItemDelegate):
    """Items as high as their words need at the list's width."""

    def sizeHint(  # noqa: N802
        self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex
    ) -> QSize:
        """Qt: how large an item is."""
        hint = super().sizeHint(option, index)
        view = self.parent()
        if not isinstance(view, QListView):
            return hint
        metrics = view.fontMetrics()
        box = index.data(int(Qt.ItemDataRole.CheckStateRole)) is not None
        taken = round(metrics.lineSpacing() * _ROOM_LINES) * box + 12 + 2 * view.spacing()
        wide = view.viewport().width() - taken
        flags = int(Qt.TextFlag.TextWordWrap)
        text = str(index.data() or "")
        needed = metrics.boundingRect(QRect(0, 0, max(wide, 40), 1_000_000), flags, text)
        return QSize(hint.width(), max(hint.height(), needed.height() + 6))


def wrap_items(box: QListWidget) -> None:
    """Let a list's items wrap, whole at any width and size of letters."""
    box.setWordWrap(True)
    box.setResizeMode(QListView.ResizeMode.Adjust)
    box.setTextElideMode(Qt.TextElideMode.ElideNone)
    box.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
    box.setItemDelegate(WrappedItems(box))
