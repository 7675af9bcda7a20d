"""The cards as they will be printed, page by page."""

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QSize, Qt
from PySide6.QtGui import QPixmap
from PySide6.QtPdf import QPdfDocument
from PySide6.QtWidgets import QComboBox, QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from tapscore.exports.paper.cue_cards import cue_cards
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform

WIDTH_PX = 420


class CardPreview(QWidget):
    """Shows one role's cards, for looking through before they are made."""

    def __init__(self, story: Story, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._story = story
        self._performance = perform(story)
        self._paper, self._distance_m = "A5", 1.0
        self._page = 0
        self._document = QPdfDocument(self)
        self._buffer = QBuffer(self)
        self.role = QComboBox()
        self.role.addItems(list(story.role_names))
        self.role.setAccessibleName("Whose cards")
        self.picture = QLabel()
        self.picture.setAlignment(Qt.AlignmentFlag.AlignCenter)
        self.picture.setMinimumSize(QSize(WIDTH_PX, 300))
        self.picture.setWordWrap(True)
        self.picture.setFrameShape(QLabel.Shape.Box)
        self.where = QLabel()
        self.back = QPushButton("Back")
        self.back.setAccessibleName("Card before")
        self.next = QPushButton("Next")
        self.next.setAccessibleName("Next card")
        row = QHBoxLayout()
        row.addWidget(self.role, 1)
        row.addWidget(self.back)
        row.addWidget(self.where)
        row.addWidget(self.next)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(row)
        column.addWidget(self.picture, 1)
        self.role.activated.connect(self._make)
        self.back.clicked.connect(lambda: self._turn(-1))
        self.next.clicked.connect(lambda: self._turn(1))
        self._make()

    def set_paper(self, paper: str, distance_m: float) -> None:
        """Show the cards on other paper, or to be read from elsewhere."""
        if (paper, distance_m) != (self._paper, self._distance_m):
            self._paper, self._distance_m = paper, distance_m
            self._make()

    def _make(self) -> None:
        self._page = 0
        self._document.close()
        self._buffer.close()
        try:
            printed = cue_cards(
                self._story,
                self._performance,
                self.role.currentText(),
                paper=self._paper,
                distance_m=self._distance_m,
            )
        except ValueError as error:
            self._say(str(error))
            return
        self._buffer.setData(QByteArray(printed.pdf))
        self._buffer.open(QIODevice.OpenModeFlag.ReadOnly)
        self._document.load(self._buffer)
        self._show()

    def _turn(self, by: int) -> None:
        self._page = min(max(self._page + by, 0), self._document.pageCount() - 1)
        self._show()

    def _show(self) -> None:
        count = self._document.pageCount()
        size = self._document.pagePointSize(self._page)
        if count < 1 or size.width() <= 0:
            self._say("There are no cards to show.")
            return
        scale = self.devicePixelRatioF()
        width = max(self.picture.width(), WIDTH_PX)
        pixels = QSize(round(width * scale), round(width * scale * size.height() / size.width()))
        pixmap = QPixmap.fromImage(self._document.render(self._page, pixels))
        pixmap.setDevicePixelRatio(scale)
        self.picture.setPixmap(pixmap)
        words = self._document.getAllText(self._page).text().replace("\r\n", " ")
        self.picture.setAccessibleName(f"Card {self._page + 1} of {count}: {words}")
        self.where.setText(f"{self._page + 1} of {count}")
        self.back.setEnabled(self._page > 0)
        self.next.setEnabled(self._page + 1 < count)

    def _say(self, text: str) -> None:
        self.picture.setText(text)
        self.picture.setAccessibleName(text)
        self.where.setText("")
        self.back.setEnabled(False)
        self.next.setEnabled(False)
