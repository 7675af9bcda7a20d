"""Finds what to look at again in the background, so that typing never waits."""

from attrs import frozen
from PySide6.QtCore import QObject, QTimer, Signal, Slot

from tapscore.board.facade import bare_board, places_on
from tapscore.checks.accepting import AcceptedFinding, Checked
from tapscore.gui.background import Background, Task
from tapscore.gui.document import Document
from tapscore.model.board import Board
from tapscore.model.finding import Finding
from tapscore.model.story import Story
from tapscore.wording.catalogue import say
from tapscore.wording.text import Surface
from tapscore.workflow.open_story import checked_story

PAUSE_MS = 120
FELT_PAUSE_MS = 1200
"""A board that is not worked out yet is looked at after so long without a change."""
FULL_PAUSE_MS = 4000
"""So long without a change, and a second opinion on the metre is asked for."""


@frozen
class _Wish:
    story: Story
    felt: bool
    """Whether to work the board out if it is not yet."""
    full: bool = False
    """Whether to ask for a second opinion on the metre."""


class _Checker:
    """Knows which board is worked out; used in the worker alone."""

    def __init__(self) -> None:
        self._worked_out: Board | None = None

    def __call__(self, wish: _Wish, _: Task) -> tuple[Checked, bool]:
        """What was found, and whether what is felt is still to be looked at."""
        board = bare_board(wish.story.board) if places_on(wish.story.board) else None
        felt = board is not None and (wish.felt or board == self._worked_out)
        found = checked_story(wish.story, felt=felt, full=wish.full)
        if felt:
            self._worked_out = board
        return found, board is not None and not felt


class Checking(QObject):
    """Checks the document a moment after its last change; emits ``found`` with the findings.

    What the board's model finds comes with them once the board is worked out, before that a
    little later; a second opinion on the metre after a longer pause.
    """

    found = Signal(object)

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._background = Background(_Checker(), self, pause_ms=PAUSE_MS)
        self._background.answered.connect(self._finished)
        self._felt_timer = QTimer(self)
        self._felt_timer.setSingleShot(True)
        self._felt_timer.setInterval(FELT_PAUSE_MS)
        self._felt_timer.timeout.connect(self._start_felt)
        self._full_timer = QTimer(self)
        self._full_timer.setSingleShot(True)
        self._full_timer.setInterval(FULL_PAUSE_MS)
        self._full_timer.timeout.connect(self._start_full)
        document.changed.connect(self._later)
        self.findings: tuple[Finding, ...] = ()
        self.accepted: tuple[AcceptedFinding, ...] = ()
        self._later()

    @property
    def mend_first(self) -> str:
        """Why nothing can be made of the story yet, in a sentence; empty if it can."""
        first = next((found for found in self.findings if found.must_mend), None)
        return (
            say("Mend the story first: {message}", message=first.said(Surface.WINDOW).message)
            if first is not None
            else ""
        )

    def stop(self) -> None:
        """End the thread; to be called before the window goes."""
        self._felt_timer.stop()
        self._full_timer.stop()
        self._background.stop()

    @Slot()
    def _later(self) -> None:
        self._felt_timer.stop()
        self._full_timer.start()
        self._background.ask(_Wish(self._document.story, felt=False))

    @Slot()
    def _start_felt(self) -> None:
        self._background.ask(_Wish(self._document.story, felt=True))

    @Slot()
    def _start_full(self) -> None:
        self._background.ask(_Wish(self._document.story, felt=True, full=True))

    @Slot(object)
    def _finished(self, answer: tuple[Checked, bool]) -> None:
        found, felt_is_left = answer
        if felt_is_left:
            self._felt_timer.start()
        self.findings = found.findings
        self.accepted = found.accepted
        self.found.emit(found.findings)
