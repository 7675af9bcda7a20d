"""Finds words that the dictionary lacks, in the background; marks them in the rows."""

from attrs import frozen
from PySide6.QtCore import QObject, Signal, Slot

from tapscore.gui.background import Background, Task
from tapscore.gui.document import Document
from tapscore.gui.editor.story_rows import StoryRows
from tapscore.gui.settings import Settings
from tapscore.model.story import Story
from tapscore.words.spelling import plain_word, unknown_words
from tapscore.workflow.find_words import FoundWords, find_words, texts

PAUSE_MS = 500


@frozen
class _Wish:
    story: Story
    own: tuple[str, ...]


def _look(wish: _Wish, _: Task) -> frozenset[str]:
    """The plain words that are not known; nothing for a story in another language."""
    story = wish.story
    if story.language is not None and not story.language.casefold().startswith("en"):
        return frozenset()
    own = (*wish.own, *story.divided_words)
    return unknown_words((text for _, _, text in texts(story)), own)


class SpellingCheck(QObject):
    """What is unknown in one document; looked at a moment after its last change."""

    changed = Signal()
    """Other words are unknown than before, or marking is on or off."""

    def __init__(
        self, document: Document, settings: Settings, rows: StoryRows, parent: QObject
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._settings = settings
        self._rows = rows
        self.unknown: frozenset[str] = frozenset()
        self._background = Background(_look, self, pause_ms=PAUSE_MS)
        self._background.answered.connect(self._found)
        document.changed.connect(self.look)
        self.look()

    def stop(self) -> None:
        """End the thread; to be called before the window goes."""
        self._background.stop()

    @Slot()
    def look(self) -> None:
        """Look again; nothing is marked where that is switched off."""
        if self._settings.spelling:
            self._background.ask(_Wish(self._document.story, self._settings.own_words))
        else:
            self._found(frozenset())

    def toggle(self) -> None:
        """Mark words, or mark none."""
        self._settings.spelling = not self._settings.spelling
        self.look()
        self.changed.emit()

    def is_right(self, word: str) -> None:
        """A word is right from now on, in every story."""
        plain = plain_word(word)
        self._settings.own_words = (*self._settings.own_words, plain)
        self._found(self.unknown - {plain})

    def places(self) -> tuple[FoundWords, ...]:
        """Where unknown words stand, in the order of telling."""
        story = self._document.story
        order = {(path, key): n for n, (path, key, _) in enumerate(texts(story))}
        found = [
            each
            for word in self.unknown
            for spelt in {word, word.replace("'", "’")}
            for each in find_words(story, spelt, whole=True)
        ]
        return tuple(sorted(found, key=lambda each: (order[each.path, each.key], each.start)))

    @Slot(object)
    def _found(self, unknown: frozenset[str]) -> None:
        if unknown != self.unknown:
            self.unknown = unknown
            self._rows.set_unknown(unknown)
            self.changed.emit()
