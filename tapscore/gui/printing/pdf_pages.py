"""The pages of several PDFs, one after another: how large, what they say, how they look."""

from PySide6.QtCore import QBuffer, QByteArray, QIODevice, QObject, QSize
from PySide6.QtGui import QImage, QTransform
from PySide6.QtPdf import QPdfDocument

MM_PER_PT = 25.4 / 72
_LOOK_DPI = 72


class PdfPages(QObject):
    """PDFs held in memory; pages count from 0 through all of them."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._documents: list[tuple[str, QPdfDocument, QBuffer]] = []
        self._files: list[bytes] = []
        self._pages: list[tuple[int, int]] = []

    def clear(self) -> None:
        """Forget all."""
        for _, document, buffer in self._documents:
            document.close()
            document.deleteLater()
            buffer.deleteLater()
        self._documents, self._files, self._pages = [], [], []

    def add(self, name: str, pdf: bytes) -> None:
        """Put the pages of a PDF behind the others."""
        buffer = QBuffer(self)
        buffer.setData(QByteArray(pdf))
        buffer.open(QIODevice.OpenModeFlag.ReadOnly)
        document = QPdfDocument(self)
        document.load(buffer)
        self._files.append(pdf)
        number = len(self._documents)
        self._documents.append((name, document, buffer))
        self._pages += [(number, page) for page in range(document.pageCount())]

    @property
    def count(self) -> int:
        """How many pages there are."""
        return len(self._pages)

    def name(self, page: int) -> str:
        """What the PDF is called that a page belongs to."""
        return self._documents[self._pages[page][0]][0]

    def size_mm(self, page: int) -> tuple[float, float]:
        """Width and height."""
        document, number = self._at(page)
        size = document.pagePointSize(number)
        return size.width() * MM_PER_PT, size.height() * MM_PER_PT

    def source(self, page: int) -> tuple[bytes, int]:
        """The PDF that a page is of, and its number there, from 0."""
        number, inside = self._pages[page]
        return self._files[number], inside

    def whole(self, pages: tuple[int, ...]) -> bytes | None:
        """The PDF of which these are all pages in order, with its tags; None if of none."""
        numbers = {self._pages[page][0] for page in pages}
        if len(numbers) != 1:
            return None
        (number,) = numbers
        every = tuple(page for page, at in enumerate(self._pages) if at[0] == number)
        return self._files[number] if pages == every else None

    def image(self, page: int, size: QSize) -> QImage:
        """A page as a picture on clear ground."""
        document, number = self._at(page)
        return document.render(number, size)

    def words(self, page: int) -> str:
        """What a page says."""
        document, number = self._at(page)
        return document.getAllText(number).text().replace("\r\n", " ")

    def blank_mm(self, page: int) -> tuple[float, float, float, float]:
        """How wide the page is blank at its left, top, right and bottom, to half a millimetre."""
        width_mm, height_mm = self.size_mm(page)
        size = QSize(round(width_mm / 25.4 * _LOOK_DPI), round(height_mm / 25.4 * _LOOK_DPI))
        alpha = self.image(page, size).convertToFormat(QImage.Format.Format_Alpha8)
        rows = _inked_rows(alpha)
        columns = _inked_rows(alpha.transformed(QTransform().rotate(90)))
        if not rows or not columns:
            return width_mm, height_mm, width_mm, height_mm
        mm = 25.4 / _LOOK_DPI
        # Turned by a quarter to the right, the left column is the first row.
        return (
            columns[0] * mm,
            rows[0] * mm,
            (size.width() - 1 - columns[-1]) * mm,
            (size.height() - 1 - rows[-1]) * mm,
        )

    def _at(self, page: int) -> tuple[QPdfDocument, int]:
        number, inside = self._pages[page]
        return self._documents[number][1], inside


def _inked_rows(alpha: QImage) -> list[int]:
    data, stride, width = bytes(alpha.constBits()), alpha.bytesPerLine(), alpha.width()
    return [row for row in range(alpha.height()) if any(data[row * stride : row * stride + width])]
