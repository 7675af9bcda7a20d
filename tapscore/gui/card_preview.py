"""Each adult's part as it will be printed, sheet by sheet."""

from collections.abc import Sequence

from pypdfium2 import PdfPage  # type: ignore[import-untyped]
from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QComboBox, QPushButton, QVBoxLayout, QWidget

from tapscore.exports.own_pictures import OwnPictures
from tapscore.exports.paper.drawing import Page
from tapscore.exports.paper.part_sheets import part_pages
from tapscore.exports.paper.pdf import write_pdf
from tapscore.gui.printing.page_view import PageView
from tapscore.gui.printing.pdf_pages import MM_PER_PT, PdfPages
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.wording.catalogue import say
from tapscore.workflow.product import Choices


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

    def _at(self, page: int) -> PdfPage:
        if page not in self._written:
            pdf, _ = write_pdf(
                [self._laid_out[page]], title="", subject="", language=self._language
            )
            self._written[page] = super().count
            self.add("", pdf)
        return super()._at(self._written[page])


class CardPreview(QWidget):
    """Shows one role's part sheets, for looking through before they are made."""

    print_wanted = Signal(str)
    """Print the part sheets of a role."""

    def __init__(self, story: Story, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._story = story
        self._performance = perform(story)
        self._choices = Choices()
        self._pages = WrittenPages(self)
        self.role = QComboBox()
        self.view = PageView(self._pages, "sheet", first=self.role)
        self.picture, self.where = self.view.picture, self.view.where
        self.back, self.next = self.view.back, self.view.next
        self.role.addItems(list(story.role_names))
        self.role.setAccessibleName(say("Whose part"))
        self.print = QPushButton(say("Print ..."))
        self.print.setAccessibleName(say("Print this part"))
        self.view.row.add(self.print)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.view)
        self.role.activated.connect(self._make)
        self.print.clicked.connect(lambda: self.print_wanted.emit(self.role.currentText()))
        self._make()

    def show_choices(self, choices: Choices) -> None:
        """Show the sheets on other paper, or to be read from elsewhere."""
        if choices != self._choices:
            self._choices = choices
            self._make()

    def _make(self) -> None:
        self._pages.show_pages((), None)
        role = self.role.currentText()
        try:
            pages = part_pages(
                self._story,
                self._performance,
                role,
                paper=self._choices.part_paper,
                distance_m=self._choices.distance_m,
                margin_mm=self._choices.margin_mm,
                pictures=OwnPictures(self._choices.beside),
                language=self._choices.part_language,
            )
        except ValueError as error:
            self.view.say(str(error))
            return
        self._pages.show_pages(pages, self._story.language)
        self.view.turn_to(0)
