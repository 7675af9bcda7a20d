"""The pages of several PDFs, one after another: how large, what they say, how they look.

PDFium draws them and is not made for threads: all of this stays in the window's.
"""

import ctypes

import pypdfium2  # type: ignore[import-untyped]
from pypdfium2 import PdfDocument, PdfPage
from PySide6.QtCore import QObject, QSize
from PySide6.QtGui import QImage, QTransform

MM_PER_PT = 25.4 / 72
_LOOK_DPI = 72


class PdfPages(QObject):
    """PDFs held in memory; pages count from 0 through all of them."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._documents: list[tuple[str, PdfDocument]] = []
        self._files: list[bytes] = []
        self._pages: list[tuple[int, int]] = []

    def clear(self) -> None:
        """Forget all."""
        for _, document in self._documents:
            document.close()
        self._documents, self._files, self._pages = [], [], []

    def add(self, name: str, pdf: bytes) -> None:
        """Put the pages of a PDF behind the others."""
        document = PdfDocument(pdf)
        self._files.append(pdf)
        number = len(self._documents)
        self._documents.append((name, document))
        self._pages += [(number, page) for page in range(len(document))]

    @property
    def count(self) -> int:
        """How many pages there are."""
        return len(self._pages)

    def name(self, page: int) -> str:
        """What the PDF is called that a page belongs to."""
        return self._documents[self._pages[page][0]][0]

    def size_mm(self, page: int) -> tuple[float, float]:
        """Width and height."""
        width_pt, height_pt = self._at(page).get_size()
        return width_pt * MM_PER_PT, height_pt * MM_PER_PT

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
        image = QImage(size, QImage.Format.Format_ARGB32)
        image.fill(0)
        width, height = size.width(), size.height()
        pixels = (ctypes.c_ubyte * image.sizeInBytes()).from_buffer(image.bits())
        bitmap = pypdfium2.raw.FPDFBitmap_CreateEx(
            width, height, pypdfium2.raw.FPDFBitmap_BGRA, pixels, image.bytesPerLine()
        )
        pypdfium2.raw.FPDF_RenderPageBitmap(bitmap, self._at(page), 0, 0, width, height, 0, 0)
        pypdfium2.raw.FPDFBitmap_Destroy(bitmap)
        return image

    def words(self, page: int) -> str:
        """What a page says."""
        said: str = self._at(page).get_textpage().get_text_range()
        return said.replace("\r\n", " ")

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

    def _at(self, page: int) -> PdfPage:
        number, inside = self._pages[page]
        return self._documents[number][1][inside]


def _inked_rows(alpha: QImage) -> list[int]:
    data, stride, width = bytes(alpha.constBits()), alpha.bytesPerLine(), alpha.width()
    return [row for row in range(alpha.height()) if any(data[row * stride : row * stride + width])]
