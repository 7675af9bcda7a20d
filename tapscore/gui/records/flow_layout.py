"""Widgets one after another, a new line where the next does not fit."""

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget

GAP_PX = 8


class FlowLayout(QLayout):
    """As words flow."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self.setContentsMargins(0, 0, 0, 0)

    def addItem(self, item: QLayoutItem) -> None:  # noqa: N802
        """Qt: one more."""
        self._items.append(item)

    def count(self) -> int:
        """Qt: how many."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:  # noqa: N802
        """Qt: one of them."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:  # noqa: N802
        """Qt: one of them, which goes."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:  # noqa: N802
        """Qt: none."""
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:  # noqa: N802
        """Qt: narrower is higher."""
        return True

    def heightForWidth(self, width: int) -> int:  # noqa: N802
        """Qt: how high."""
        return self._laid(QRect(0, 0, width, 0), move=False)

    def setGeometry(self, rect: QRect) -> None:  # noqa: N802
        """Qt: put them there."""
        super().setGeometry(rect)
        self._laid(rect, move=True)

    def sizeHint(self) -> QSize:  # noqa: N802
        """Qt: all on one line."""
        sizes = [item.sizeHint() for item in self._items]
        wide = sum(size.width() + GAP_PX for size in sizes)
        return QSize(wide, max((size.height() for size in sizes), default=0))

    def minimumSize(self) -> QSize:  # noqa: N802
        """Qt: the widest alone."""
        size = QSize()
        for item in self._items:
            size = size.expandedTo(item.minimumSize())
        return size

    def _laid(self, rect: QRect, *, move: bool) -> int:
        x, y, high = rect.x(), rect.y(), 0
        for item in self._items:
            size = item.sizeHint()
            if x > rect.x() and x + size.width() > rect.right() + 1:
                x, y, high = rect.x(), y + high, 0
            if move:
                item.setGeometry(QRect(QPoint(x, y), size))
            x += size.width() + GAP_PX
            high = max(high, size.height())
        return y + high - rect.y()
