"""Choose papers, look at the pages, print them."""

from functools import partial

from attrs import evolve
from PySide6.QtCore import Qt, Slot
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from tapscore.gui.asking import Asking
from tapscore.gui.background import patiently
from tapscore.gui.enter import CalmDialog
from tapscore.gui.printing.language_fields import LanguageFields
from tapscore.gui.printing.paper_fields import PaperFields
from tapscore.gui.printing.print_panel import PrintPanel
from tapscore.gui.scrolled import LINE_LETTERS, in_lines, open_roomy, scrolled
from tapscore.gui.story_window import StoryWindow
from tapscore.wording.catalogue import say
from tapscore.workflow.papers import CARDS, PARTS, ToPrint, paper_kinds, to_print
from tapscore.workflow.printed import note_printed
from tapscore.workflow.product import Choices

EVERYBODY = say("everybody")


class PagesDialog(CalmDialog):
    """Pages to look through and to print; closing stops printing first."""

    def __init__(self, parent: QWidget, title: str, job_name: str, asking: Asking) -> None:
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setWindowTitle(title)
        open_roomy(self, 1040, 680)
        self.panel = PrintPanel(job_name, asking)
        self.panel.idle.connect(self._idle)
        self.finished.connect(self.panel.making.stop)
        self._close_when_idle = False
        close = QPushButton(say("Close"))
        close.clicked.connect(self.reject)
        self.panel.buttons.insertWidget(1, close)
        self.across = QHBoxLayout(self)
        self.across.setSpacing(24)
        self.across.addWidget(self.panel, 1)

    def reject(self) -> None:
        """Qt: close; if something is being printed, stop it first."""
        if self.panel.printing:
            self._close_when_idle = True
            self.panel.stop_printing()
            return
        super().reject()

    def _idle(self) -> None:
        if self._close_when_idle:
            self.accept()


class PrintDialog(PagesDialog):
    """Which papers of the story, and for whom."""

    def __init__(
        self,
        window: StoryWindow,
        asking: Asking,
        choices: Choices,
        kinds: tuple[str, ...] = (PARTS,),
        role: str | None = None,
        parent: QWidget | None = None,
    ) -> None:
        story = window.document.story
        super().__init__(parent or window, say("Print"), story.title, asking)
        self._story = story
        self._settings = window.settings
        self.boxes = {
            name: QCheckBox(in_lines(about[:1].upper() + about[1:], LINE_LETTERS))
            for name, about in paper_kinds(story)
        }
        for name, box in self.boxes.items():
            box.setChecked(name in kinds)
            box.toggled.connect(self._show)
        self.role = QComboBox()
        self.role.addItems([EVERYBODY, *story.role_names])
        self.role.setCurrentText(role or EVERYBODY)
        self.role.setAccessibleName(say("Whose parts and cards"))
        self._path = path = window.document.path
        self.panel.all_printed.connect(self._note)
        self.fields = PaperFields(evolve(choices, beside=path.parent if path else None))
        self.languages = LanguageFields(story, window.settings)
        left = QWidget()
        left.setLayout(self._left())
        self.across.insertWidget(0, left)
        # what is printed stays what is chosen, and shown
        self.panel.begun.connect(lambda: left.setEnabled(False))
        self.panel.idle.connect(lambda: left.setEnabled(True))
        self.role.currentTextChanged.connect(self._show)
        self.fields.changed.connect(self._show)
        self.languages.changed.connect(self._show)
        if window.checking.mend_first:
            self.panel.print.setEnabled(False)
            self.panel.view.say(window.checking.mend_first)
        else:
            self._show()
        next(iter(self.boxes.values())).setFocus()

    def _left(self) -> QVBoxLayout:
        boxes = QVBoxLayout()
        boxes.setContentsMargins(0, 0, 0, 0)
        boxes.setSpacing(2)
        for box in self.boxes.values():
            boxes.addWidget(box)
        boxes.addStretch(1)
        column = QVBoxLayout()
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(scrolled(boxes, say("What to print")), 1)
        whose = QHBoxLayout()
        whose.addWidget(QLabel(say("Parts and cards of")))
        whose.addWidget(self.role, 1)
        column.addLayout(whose)
        column.addWidget(self.fields)
        column.addWidget(self.languages)
        return column

    @property
    def _kinds(self) -> tuple[str, ...]:
        return tuple(name for name, box in self.boxes.items() if box.isChecked())

    @Slot()
    def _note(self) -> None:
        """What was printed for everybody is as new as the story."""
        if self._path is not None and self.role.currentIndex() == 0:
            patiently(partial(note_printed, self._path, self._story, self._kinds))

    def _show(self) -> None:
        choices = self.fields.choices
        self._settings.choices = choices
        kinds = self._kinds
        role = None if self.role.currentIndex() == 0 else self.role.currentText()
        self.panel.show_papers(
            to_print(self._story, kinds, self.languages.into(choices), role),
            both_sides=choices.backs and CARDS in kinds,
        )


class ReadyPagesDialog(PagesDialog):
    """Papers that are chosen already."""

    def __init__(
        self, parent: QWidget, job_name: str, asking: Asking, papers: tuple[ToPrint, ...]
    ) -> None:
        super().__init__(parent, say("Print"), job_name, asking)
        self.panel.show_papers(papers)
