"""Finds what to look at again in another thread, so that typing never waits."""

from PySide6.QtCore import QObject, QThread, QTimer, Signal, Slot

from tapscore.board.facade import bare_board, places_on
from tapscore.checks.accepting import Checked
from tapscore.gui.document import Document
from tapscore.model.board import Board
from tapscore.model.finding import Finding
from tapscore.model.story import Story
from tapscore.wording.text import Surface
from tapscore.workflow.open_story import checked_story

PAUSE_MS = 120
FELT_PAUSE_MS = 1200
"""A board that is not worked out yet is looked at after so long without a change."""


class _Worker(QObject):
    done = Signal(int, object, bool)

    def __init__(self) -> None:
        super().__init__()
        self._worked_out: Board | None = None

    @Slot(int, object, bool)
    def check(self, number: int, story: Story, felt: bool) -> None:
        """Check, and say whether what is felt is still to be looked at."""
        board = bare_board(story.board) if places_on(story.board) else None
        felt = board is not None and (felt or board == self._worked_out)
        found = checked_story(story, felt=felt)
        if felt:
            self._worked_out = board
        self.done.emit(number, found, board is not None and not felt)


class Checking(QObject):
    """Checks the document a moment after its last change; emits ``found`` with the findings.

    What the board's model finds comes with them once the board is worked out, before that a
    little later.
    """

    found = Signal(object)
    _asked = Signal(int, object, bool)

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
        self._felt_timer = QTimer(self)
        self._felt_timer.setSingleShot(True)
        self._felt_timer.setInterval(FELT_PAUSE_MS)
        self._felt_timer.timeout.connect(self._start_felt)
        document.changed.connect(self._later)
        self._thread.start()
        self.findings: tuple[Finding, ...] = ()
        self.accepted = 0
        self._later()

    @property
    def mend_first(self) -> str:
        """Why nothing can be made of the story yet, in a sentence; empty if it can."""
        first = next((found for found in self.findings if found.must_mend), None)
        return (
            f"Mend the story first: {first.said(Surface.WINDOW).message}"
            if first is not None
            else ""
        )

    def stop(self) -> None:
        """End the thread; to be called before the window goes."""
        self._timer.stop()
        self._felt_timer.stop()
        self._thread.quit()
        self._thread.wait(5000)

    @Slot()
    def _later(self) -> None:
        self._felt_timer.stop()
        self._timer.start()

    @Slot()
    def _start(self) -> None:
        self._number += 1
        self._asked.emit(self._number, self._document.story, False)

    @Slot()
    def _start_felt(self) -> None:
        self._number += 1
        self._asked.emit(self._number, self._document.story, True)

    @Slot(int, object, bool)
    def _finished(self, number: int, found: Checked, felt_is_left: bool) -> None:
        if number == self._number:
            if felt_is_left:
                self._felt_timer.start()
            self.findings = found.findings
            self.accepted = len(found.accepted)
            self.found.emit(found.findings)
