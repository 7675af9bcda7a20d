"""Pages that become PDF when they are first looked at: nobody waits for the rest of them."""

from collections.abc import Sequence

from PySide6.QtCore import QObject
from PySide6.QtPdf import QPdfDocument

from tapscore.exports.paper.drawing import Page
from tapscore.exports.paper.pdf import write_pdf
from tapscore.gui.printing.pdf_pages import MM_PER_PT, PdfPages


class WrittenPages(PdfPages):
    """Pages laid out as data; each is written for itself."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._laid_out: tuple[Page, ...] = ()
        self._written: dict[int, int] = {}
        self._language: str | None = None

    def show_pages(self, pages: Sequence[Page], language: str | None) -> None:
        """Hold these pages instead of the ones before."""
        self.clear()
        self._laid_out, self._written = tuple(pages), {}
        self._language = language

    @property
    def count(self) -> int:
        """How many pages there are."""
        return len(self._laid_out)

    def size_mm(self, page: int) -> tuple[float, float]:
        """Width and height."""
        paper = self._laid_out[page].paper
        return paper.width_pt * MM_PER_PT, paper.height_pt * MM_PER_PT

    def _at(self, page: int) -> tuple[QPdfDocument, int]:
        if page not in self._written:
            pdf, _ = write_pdf(
                [self._laid_out[page]], title="", subject="", language=self._language
            )
            self._written[page] = super().count
            self.add("", pdf)
        return super()._at(self._written[page])
