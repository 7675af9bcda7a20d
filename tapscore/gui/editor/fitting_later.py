"""Rhythms for many lines that were pasted at once: found in the background, line by line."""

from itertools import count

from attrs import frozen
from PySide6.QtCore import QObject, Slot

from tapscore.gui.background import Background, Task
from tapscore.gui.document import Document
from tapscore.model.finding import StoryPath
from tapscore.model.metre import Metre
from tapscore.model.story import Line
from tapscore.model.walk import change_lines
from tapscore.workflow.fitting import retyped

AT_ONCE = 12
"""So many pasted lines are fitted while one waits: a third of a second."""


@frozen
class _Wish:
    lines: tuple[Line, ...]
    metre: Metre
    glossary: dict[str, str]
    step: str


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
        self._steps = count(1)
        self._background = Background(_fit, self)
        self._background.answered.connect(self._found)

    def new_step(self) -> str:
        """What joins pasting and fitting into one step of undo."""
        return f"paste words {next(self._steps)}"

    def fit(self, lines: tuple[Line, ...], metre: Metre, step: str) -> None:
        """Find rhythms for lines that are in the story, without holding anybody up."""
        glossary = self._document.story.divided_words
        self._background.ask(_Wish(lines, metre, glossary, step))

    def stop(self) -> None:
        """End the thread; to be called before the window goes."""
        self._background.stop()

    @Slot(object)
    def _found(self, answer: tuple[_Wish, dict[int, Line]]) -> None:
        # The wish holds the lines, so that no other line can have the identity of one of them.
        wish, found = answer

        def change(_: StoryPath, line: Line) -> Line:
            return found.get(id(line), line)

        story = change_lines(self._document.story, change)
        self._document.edit("Paste words", story, join=wish.step)
