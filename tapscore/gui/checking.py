"""Finds what to look at again in another thread, so that typing never waits."""

from PySide6.QtCore import QObject, QThread, QTimer, Signal, Slot

from tapscore.checks.accepting import Checked
from tapscore.gui.document import Document
from tapscore.model.finding import Finding
from tapscore.model.story import Story
from tapscore.storyfile.read import StoryText, read_text
from tapscore.storyfile.write import write_story
from tapscore.workflow.open_story import checked

PAUSE_MS = 120


class _Worker(QObject):
    done = Signal(int, object)

    @Slot(int, object, object)
    def check(self, number: int, story: Story, source: StoryText) -> None:
        self.done.emit(number, checked(read_text(write_story(story, source))))


class Checking(QObject):
    """Checks the document a moment after its last change; emits ``found`` with the findings."""

    found = Signal(object)
    _asked = Signal(int, object, object)

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._number = 0
        self._thread = QThread(self)
        self._worker = _Worker()
        self._worker.moveToThread(self._thread)
        self._asked.connect(self._worker.check)
        self._worker.done.connect(self._finished)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(PAUSE_MS)
        self._timer.timeout.connect(self._start)
        document.changed.connect(self._later)
        self._thread.start()
        self.findings: tuple[Finding, ...] = ()
        self.accepted = 0
        self._later()

    def stop(self) -> None:
        """End the thread; to be called before the window goes."""
        self._timer.stop()
        self._thread.quit()
        self._thread.wait(5000)

    @Slot()
    def _later(self) -> None:
        self._timer.start()

    @Slot()
    def _start(self) -> None:
        self._number += 1
        self._asked.emit(self._number, self._document.story, self._document.source)

    @Slot(int, object)
    def _finished(self, number: int, found: Checked) -> None:
        if number == self._number:
            self.findings = found.findings
            self.accepted = len(found.accepted)
            self.found.emit(found.findings)
