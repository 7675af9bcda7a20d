"""A layout that sets controls side by side and goes on below where the room ends."""

from PySide6.QtCore import QEvent, QMargins, QPoint, QRect, QSize, Qt
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget


class Flow(QLayout):
    """Like words in a paragraph: large text needs more rows, never a wider window.

    The last item takes what is left of its row, or a row of its own where that is less
    than ``last_px`` (0: the last is like the others); it has room for two lines of words,
    so that nothing moves when they change.
    """

    def __init__(self, parent: QWidget | None, gap_px: int, last_px: int) -> None:
        super().__init__(parent)
        self._items: list[QLayoutItem] = []
        self._gap_px = gap_px
        self.last_px = last_px

    def addItem(self, item: QLayoutItem) -> None:  # noqa: N802
        """Qt: one more at the end."""
        self._items.append(item)

    def count(self) -> int:
        """Qt: how many there are."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:  # noqa: N802
        """Qt: the item of that number."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:  # noqa: N802
        """Qt: take an item out."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:  # noqa: N802
        """Qt: it wants no more than it needs."""
        return Qt.Orientation(0)

    def height_at(self, width: int) -> int:
        """Height in pixels for a width.

        Not Qt's own height for width: from that Qt would reckon the window's least height
        as if the window were at its narrowest.
        """
        return self._set(QRect(0, 0, width, 0), move=False)

    def sizeHint(self) -> QSize:  # noqa: N802
        """Qt: the least size."""
        return self.minimumSize()

    def minimumSize(self) -> QSize:  # noqa: N802
        """Qt: room for the largest item."""
        size = QSize()
        for item in self._shown:
            size = size.expandedTo(item.minimumSize())
        margins = self.contentsMargins()
        return size.grownBy(QMargins(margins))

    def setGeometry(self, rect: QRect) -> None:  # noqa: N802
        """Qt: put everything in its place."""
        super().setGeometry(rect)
        self._set(rect, move=True)

    def _set(self, rect: QRect, *, move: bool) -> int:
        margins = self.contentsMargins()
        inner = rect.marginsRemoved(margins)
        y = inner.top()
        for row in self._rows(max(inner.width(), 1)):
            high = max(size.height() for _, _, size in row)
            for item, left, size in row if move else ():
                top = y + (high - size.height()) // 2
                item.setGeometry(QRect(QPoint(inner.left() + left, top), size))
            y += high + self._gap_px
        return y - (self._gap_px if self._items else 0) - rect.top() + margins.bottom()

    @property
    def _shown(self) -> list[QLayoutItem]:
        return [item for item in self._items if not item.isEmpty()]

    def _rows(self, width: int) -> list[list[tuple[QLayoutItem, int, QSize]]]:
        rows: list[list[tuple[QLayoutItem, int, QSize]]] = [[]]
        x = 0
        shown = self._shown
        for item in shown:
            last = self.last_px > 0 and item is shown[-1]
            size = item.sizeHint().expandedTo(item.minimumSize())
            needed = self.last_px if last else size.width()
            if rows[-1] and x + needed > width:
                rows.append([])
                x = 0
            size.setWidth(width - x if last else min(size.width(), width))
            widget = item.widget()
            if last and widget is not None and item.hasHeightForWidth():
                two_lines = 2 * widget.fontMetrics().lineSpacing()
                size.setHeight(max(item.heightForWidth(size.width()), two_lines))
            rows[-1].append((item, x, size))
            x += size.width() + self._gap_px
        return [row for row in rows if row]


class FlowColumn(Flow):
    """A flow in a column that scrolls: there Qt may ask how high it is at a width."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent, 8, 0)
        self.setContentsMargins(0, 0, 0, 0)

    def hasHeightForWidth(self) -> bool:  # noqa: N802
        """Qt: narrower is higher."""
        return True

    def heightForWidth(self, width: int) -> int:  # noqa: N802
        """Qt: how high."""
        return self.height_at(width)

    def sizeHint(self) -> QSize:  # noqa: N802
        """Qt: all on one line."""
        sizes = [item.sizeHint() for item in self._shown]
        wide = sum(size.width() + self._gap_px for size in sizes)
        return QSize(wide, max((size.height() for size in sizes), default=0))


class FlowBar(QWidget):
    """A bar of controls in a flow; as high as its rows at the width it has."""

    def __init__(
        self,
        name: str,
        *,
        gap_px: int = 8,
        last_px: int = 0,
        margins: tuple[int, int, int, int] = (16, 8, 16, 8),
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setAccessibleName(name)
        self._flow = Flow(self, gap_px, last_px)
        self._flow.setContentsMargins(*margins)

    def add(self, widget: QWidget) -> None:
        """One more control at the end."""
        self._flow.addWidget(widget)

    def height_at(self, width: int) -> int:
        """Height in pixels for a width."""
        return self._flow.height_at(width)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Qt: another width may need another number of rows."""
        super().resizeEvent(event)
        self.setFixedHeight(self._flow.height_at(event.size().width()))

    def event(self, event: QEvent) -> bool:
        """Qt: larger letters or longer names may need more room."""
        done = super().event(event)
        if event.type() == QEvent.Type.LayoutRequest and self.width() > 0:
            self.setFixedHeight(self._flow.height_at(self.width()))
        return done
