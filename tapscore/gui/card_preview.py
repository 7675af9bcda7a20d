"""Each adult's part as it will be printed, sheet by sheet."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QComboBox, QPushButton, QVBoxLayout, QWidget

from tapscore.exports.own_pictures import OwnPictures
from tapscore.exports.paper.part_sheets import part_pages
from tapscore.gui.printing.page_view import PageView
from tapscore.gui.printing.written_pages import WrittenPages
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.wording.catalogue import say
from tapscore.workflow.product import Choices


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
        self.print.setAutoDefault(False)
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
