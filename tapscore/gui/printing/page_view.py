"""Pages looked through one by one, each in its own shape."""

from PySide6.QtCore import QSize, Qt, Signal
from PySide6.QtGui import QPainter, QPixmap, QResizeEvent
from PySide6.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from tapscore.gui.flow import FlowBar
from tapscore.gui.printing.pdf_pages import PdfPages
from tapscore.wording.catalogue import say

LEAST_PX = (340, 240)


class PageView(QWidget):
    """Shows one page of ``pages``, with keys to turn them; ``first`` stands before the keys.

    A page is called so, or a ``sheet``.
    """

    turned = Signal(int)
    """Another page is shown."""

    def __init__(
        self, pages: PdfPages, noun: str = "page", *, first: QWidget | None = None
    ) -> None:
        super().__init__()
        self._pages = pages
        self._noun = noun
        self.page = 0
        self.picture = QLabel()
        self.picture.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.picture.setMinimumSize(QSize(*LEAST_PX))
        self.picture.setWordWrap(True)
        self.where = QLabel()
        self.where.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.back = QPushButton(say("Back"))
        self.back.setAccessibleName(say("{noun:page=Page before|sheet=Sheet before}", noun=noun))
        self.next = QPushButton(say("Next"))
        self.next.setAccessibleName(say("{noun:page=Next page|sheet=Next sheet}", noun=noun))
        self.row = FlowBar(say("{noun:page=Pages|sheet=Sheets}", noun=noun), margins=(0, 0, 0, 0))
        for each in (first, self.back, self.where, self.next):
            if each is not None:
                self.row.add(each)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.row)
        column.addWidget(self.picture, 1)
        self.back.clicked.connect(lambda: self.turn_to(self.page - 1))
        self.next.clicked.connect(lambda: self.turn_to(self.page + 1))

    def turn_to(self, page: int) -> None:
        """Show a page, or the nearest there is."""
        count = self._pages.count
        if not count:
            self.say(say("There are no {noun:page=pages|sheet=sheets} to show.", noun=self._noun))
            return
        self.page = min(max(page, 0), count - 1)
        self._draw()
        words = self._pages.words(self.page)
        self.picture.setAccessibleName(
            say(
                "{noun:page=Page|sheet=Sheet} {page} of {count}: {words}",
                noun=self._noun,
                page=self.page + 1,
                count=count,
                words=words,
            )
        )
        self.where.setText(say("{page} of {count}", page=self.page + 1, count=count))
        self.back.setEnabled(self.page > 0)
        self.next.setEnabled(self.page + 1 < count)
        self.turned.emit(self.page)

    def say(self, text: str) -> None:
        """Say something where the page would be."""
        self.picture.setText(text)
        self.picture.setAccessibleName(text)
        self.where.setText("")
        self.back.setEnabled(False)
        self.next.setEnabled(False)

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802
        """Qt: the page fills the room there is now."""
        super().resizeEvent(event)
        if self._pages.count and not self.picture.text():
            self._draw()

    def _draw(self) -> None:
        wide_mm, high_mm = self._pages.size_mm(self.page)
        room = self.picture.contentsRect().size().expandedTo(QSize(*LEAST_PX)) - QSize(16, 16)
        px_per_mm = min(room.width() / wide_mm, room.height() / high_mm)
        scale = self.devicePixelRatioF()
        size = QSize(round(wide_mm * px_per_mm * scale), round(high_mm * px_per_mm * scale))
        pixmap = QPixmap(size)
        pixmap.fill(Qt.GlobalColor.white)
        painter = QPainter(pixmap)
        painter.drawImage(0, 0, self._pages.image(self.page, size))
        painter.setPen(Qt.GlobalColor.gray)
        painter.drawRect(0, 0, size.width() - 1, size.height() - 1)
        painter.end()
        pixmap.setDevicePixelRatio(scale)
        self.picture.setPixmap(pixmap)
