"""The class record's own window: a door while it is locked, its pages while it is open."""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Protocol

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QCloseEvent, QKeySequence, QShortcut, QShowEvent
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QMainWindow,
    QPushButton,
    QStackedWidget,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from tapscore.disc.reasons import reason
from tapscore.exports.written.document import WrittenDocument
from tapscore.gui.asking import Asking, kinds
from tapscore.gui.records.class_page import ClassPage
from tapscore.gui.records.door import RecordDoor
from tapscore.gui.records.keeping_page import KeepingPage
from tapscore.gui.records.notes_page import NotesPage
from tapscore.gui.records.pupils_page import PupilsPage
from tapscore.gui.records.sitting import Sitting
from tapscore.gui.records.term_page import TermPage
from tapscore.model.story import Story
from tapscore.records.edits import keeping_reminder, reviews_due
from tapscore.wording.catalogue import say
from tapscore.workflow.records.paper_files import READABLE, write_paper

TITLE = say("Class record")
MARK_AFTER_MS = 300
PAPERS = kinds(say("Papers"), "*.pdf", "*.docx")
STAY, THROW = say("Stay here"), say("Close without saving")
LOCKED = say("The record is locked. Type its passphrase to go on.")


class Link(Protocol):
    """The story's window, as far as this one knows it."""

    @property
    def story(self) -> Story:
        """The story that notes are typed for."""

    def go_to(self, name: str) -> bool:
        """Show a moment in the story; False if it has none such."""

    def mark(self) -> None:
        """Mark the story's lines that have notes, while the record is open."""

    def unmark(self) -> None:
        """Show no marks any more."""


class RecordWindow(QMainWindow):
    """Nothing of a record is in this window's title, nor in any setting."""

    gone = Signal()

    def __init__(
        self,
        asking: Asking,
        *,
        folder: Path | None = None,
        today: Callable[[], date] = date.today,
        sitting: Sitting | None = None,
    ) -> None:
        super().__init__()
        self.sitting = sitting or Sitting()
        self.sitting.setParent(self)
        self._asking, self._today = asking, today
        self._link: Link | None = None
        self.door = RecordDoor(self.sitting, asking, folder)
        self.stack = QStackedWidget()
        self.stack.addWidget(self.door)
        self.setCentralWidget(self.stack)
        self.pages: OpenPages | None = None
        self.setWindowTitle(TITLE)
        self.sitting.opened.connect(self._opened)
        self.sitting.locked.connect(self._locked)
        self._marking = QTimer(self)
        self._marking.setSingleShot(True)
        self._marking.setInterval(MARK_AFTER_MS)
        self._marking.timeout.connect(self._mark)
        self.sitting.changed.connect(self.mark_soon)
        for keys, do in (("Ctrl+S", self.sitting.save), ("Ctrl+Shift+L", self.sitting.lock)):
            QShortcut(QKeySequence(keys), self).activated.connect(do)
        self.resize(1180, 760)
        self.door.refresh()

    def show_for_story(self, link: "Link") -> None:
        """Show the window, with the story that notes are typed for."""
        if self._link is not None:
            self._link.unmark()
        self._link = link
        if self.pages is not None:
            self.pages.put_away()
            self.pages.notes.show_record()
        self._mark()
        self.show()
        self.raise_()
        self.activateWindow()

    def mark_soon(self) -> None:
        """Notes or the story changed: mark the story's lines anew, a moment later."""
        self._marking.start()

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802
        """Qt: the watch listens to the window's keys and mouse."""
        super().showEvent(event)
        handle = self.windowHandle()
        if handle is not None:
            handle.installEventFilter(self.sitting.watch)

    def closeEvent(self, event: QCloseEvent) -> None:  # noqa: N802
        """Qt: save first; what can't be saved is asked about."""
        if not self.sitting.close():
            answer = self._asking.choose(
                self,
                say("What was typed last could not be saved."),
                say(
                    "Put the drive back, open the record and press Save; or save a copy elsewhere."
                ),
                (THROW, STAY),
                loses=True,
            )
            if answer == STAY:
                event.ignore()
                return
            self.sitting.throw_away()
        self.gone.emit()
        event.accept()

    def write(self, document: WrittenDocument, name: str) -> None:
        """Ask where a paper goes, and make it; its suggested name has no pupil's mark."""
        near = Path.home() / f"{name}.pdf"
        path = self._asking.save_file(self, say("Where to make the paper"), near, PAPERS)
        if path is None or not self.sitting.is_open:  # it may have locked meanwhile
            return
        if not path.suffix:
            path = path.with_suffix(".pdf")
        try:
            said = write_paper(document, path)
        except ValueError as error:
            said = say("Not made. {reason}", reason=error)
        except OSError as error:
            said = say("{path} was not made: {reason}.", path=path.name, reason=reason(error))
        else:
            said = " ".join((say("Made {path}.", path=path.name), READABLE, said)).strip()
        self.say(said)

    def say(self, text: str) -> None:
        """Say something at the window's foot."""
        if self.pages is not None:
            self.pages.said.setText(text)

    def _opened(self) -> None:
        self._take_pages_away()
        self.pages = OpenPages(
            self.sitting, self._asking, self._story, self._today, self.write, self._go_to
        )
        self.stack.addWidget(self.pages)
        self.stack.setCurrentWidget(self.pages)
        self.sitting.said.connect(self.pages.said.setText)
        self.pages.begin()
        self._mark()

    def _locked(self) -> None:
        self._take_pages_away()
        self.stack.setCurrentWidget(self.door)
        self.door.refresh(LOCKED if self.sitting.path else "")
        self._mark()

    def _story(self) -> Story:
        return self._link.story if self._link is not None else Story("")

    def _go_to(self, moment: str) -> bool:
        return self._link is not None and self._link.go_to(moment)

    def _mark(self) -> None:
        if self._link is not None:
            self._link.mark()

    def _take_pages_away(self) -> None:
        """No field keeps a word of it."""
        if self.pages is not None:
            self.stack.removeWidget(self.pages)
            self.pages.deleteLater()
            self.pages = None


class OpenPages(QWidget):
    """The pages of a record that is open."""

    def __init__(
        self,
        sitting: Sitting,
        asking: Asking,
        story: Callable[[], Story],
        today: Callable[[], date],
        write: Callable[[WrittenDocument, str], None],
        go_to: Callable[[str], bool],
    ) -> None:
        super().__init__()
        self._sitting, self._today = sitting, today
        self.notes = NotesPage(sitting, asking, story, today)
        self.pupils = PupilsPage(sitting, asking, write)
        self.term = TermPage(sitting, today, write)
        self.whole = ClassPage(sitting, write, go_to)
        self.keeping = KeepingPage(sitting, asking, story, today, write)
        self.tabs = QTabWidget()
        for tabs in (self.tabs, self.tabs.tabBar()):
            tabs.setAccessibleName(say("Notes, pupils, term, class, keeping"))
        self._all = (self.notes, self.pupils, self.term, self.whole, self.keeping)
        names = (say("Notes"), say("Pupils and ways in"), say("Term"), say("Class"), say("Keeping"))
        for page, name in zip(self._all, names, strict=True):
            self.tabs.addTab(page, name)
        self.said = QLabel()
        self.said.setWordWrap(True)
        self.said.setAccessibleDescription(say("What was done"))
        self.save, self.lock = QPushButton(say("Save")), QPushButton(say("Lock"))
        self.save.setToolTip(say("Ctrl+S; it saves by itself, too"))
        self.lock.setToolTip("Ctrl+Shift+L")
        self.save.clicked.connect(sitting.save)
        self.lock.clicked.connect(sitting.lock)
        foot = QHBoxLayout()
        foot.addWidget(self.said, 1)
        foot.addWidget(self.save)
        foot.addWidget(self.lock)
        column = QVBoxLayout(self)
        column.addWidget(self.tabs, 1)
        column.addLayout(foot)
        for page in self._all:
            page.show_record()
        sitting.leaving.connect(self.put_away)
        self.tabs.currentChanged.connect(self._other_page)
        self.pupils.pupils_changed.connect(self.notes.refresh_pupils)
        self.keeping.replaced.connect(self._replaced)

    def begin(self) -> None:
        """Say what is to be known, and put the keyboard in its place."""
        record = self._sitting.record
        today = self._today()
        say = (
            self._sitting.read_only,
            keeping_reminder(record, today),
            reviews_due(record, today),
        )
        self.said.setText(" ".join(part for part in say if part))
        self.save.setEnabled(not self._sitting.read_only)
        if not record.pupils:
            self.tabs.setCurrentWidget(self.pupils)
        self._other_page()

    def put_away(self) -> None:
        """Put what is typed anywhere into the record."""
        for page in self._all:
            page.put_away()

    def _other_page(self) -> None:
        self.put_away()
        page = self.tabs.currentWidget()
        for each in self._all:
            if each is page:
                each.begin()

    def _replaced(self) -> None:
        for page in (self.notes, self.pupils, self.term, self.whole, self.keeping):
            page.show_record()
