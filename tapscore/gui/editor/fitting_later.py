"""Rhythms for many lines that were pasted at once: found in the background, line by line.

They belong to the pasting: they go into its step of undo and all later ones, also while it is
undone, so that redoing it gives lines with rhythm.
"""

from collections import deque

from attrs import evolve, frozen
from PySide6.QtCore import QObject, QTimer, Slot

from tapscore.gui.background import Background, Errands, Task
from tapscore.gui.document import Document
from tapscore.model.finding import StoryPath
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Story
from tapscore.model.walk import change_lines, written_items
from tapscore.workflow.fitting import make_ready, retyped

AT_ONCE = 12
"""So many pasted lines are fitted while one waits: a third of a second."""
READY_MS = 400
"""After the window is made: what fitting needs is read before somebody types."""


@frozen
class _Wish:
    lines: tuple[Line, ...]
    metre: Metre
    glossary: dict[str, str]
    others: tuple[Line, ...]
    """Lines that have no rhythm and are to stay so."""
    step: int
    """Number of the step of undo that brought the lines."""


def _fit(wish: _Wish, task: Task) -> tuple[_Wish, dict[int, Line]]:
    """The lines with syllables and rhythm, by the identity of those without."""
    found: dict[int, Line] = {}
    for line in wish.lines:
        if task.cancelled():
            break
        found[id(line)] = retyped(Line(""), line.words, wish.metre, wish.glossary)
    return wish, found


class FittingLater(QObject):
    """Puts rhythms into lines of one document; those that are others by then stay as they are."""

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._waiting: deque[_Wish] = deque()
        """The first is being answered."""
        self._background = Background(_fit, self)
        self._background.answered.connect(self._found)
        QTimer.singleShot(READY_MS, self, self._make_ready)

    def fit(self, lines: tuple[Line, ...], metre: Metre) -> None:
        """Find rhythms for lines that the last step brought, without holding anybody up."""
        story, step = self._document.story, self._document.undo_stack.index() - 1
        mine = {id(line) for line in lines}
        others = tuple(
            item
            for _, item in written_items(story)
            if isinstance(item, Line) and item.lane is None and id(item) not in mine
        )
        self._waiting.append(_Wish(lines, metre, story.divided_words, others, step))
        if len(self._waiting) == 1:
            self._background.ask(self._waiting[0])

    @property
    def busy(self) -> bool:
        """Whether rhythms are still to come."""
        return bool(self._waiting)

    def stop(self) -> None:
        """End the thread; to be called before the window goes."""
        self._waiting.clear()
        self._background.stop()

    @Slot()
    def _make_ready(self) -> None:
        errands = Errands()
        errands.do(make_ready)
        errands.no_more()

    @Slot(object)
    def _found(self, answer: tuple[_Wish, dict[int, Line]]) -> None:
        # The wish holds the lines, so that no other line can have the identity of one of them.
        wish, found = answer
        by_words = {line.words: found[id(line)] for line in wish.lines if id(line) in found}
        others = {id(line) for line in wish.others}

        def change(_: StoryPath, line: Line) -> Line:
            if id(line) in found:
                return found[id(line)]
            fit = by_words.get(line.words)
            if fit is None or line.lane is not None or id(line) in others:
                return line
            # Made louder, say, before its rhythm came.
            return evolve(line, words=fit.words, lane=fit.lane)

        def fitted(story: Story) -> Story:
            return change_lines(story, change)

        self._document.change_steps(wish.step, fitted)
        self._waiting.popleft()
        if self._waiting:
            self._background.ask(self._waiting[0])
