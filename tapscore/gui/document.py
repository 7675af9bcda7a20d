"""The story being edited: what it was in the file, what it is now, and every step back."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from tapscore.gui.collecting import put_off_collecting
from tapscore.model.story import Story
from tapscore.storyfile.read import StoryText
from tapscore.storyfile.write import write_story
from tapscore.wording.catalogue import say


class _SwapStory(QUndoCommand):
    """Swaps one whole story for another; typing on in one place joins into one step."""

    def __init__(self, document: "Document", name: str, new: Story, join: str | None) -> None:
        super().__init__(name)
        self._document = document
        self._old = document.story
        self._new = new
        self._join = join

    def redo(self) -> None:
        self._document.show_story(self._new)

    def undo(self) -> None:
        self._document.show_story(self._old)

    def change(self, change: Callable[[Story], Story]) -> bool:
        before = self._new
        self._old, self._new = change(self._old), change(before)
        return self._new is not before

    def id(self) -> int:
        return -1 if self._join is None else abs(hash(self._join)) % (2**31 - 1)

    def mergeWith(self, other: QUndoCommand) -> bool:  # noqa: N802
        if not isinstance(other, _SwapStory) or other._join != self._join:
            return False
        self._new = other._new
        self.setObsolete(self._new == self._old)
        return True


class Document(QObject):
    """One story with its undo history; emits ``changed`` after every change."""

    changed = Signal(object, object)
    """The story before and the story after."""
    saved = Signal()

    def __init__(self, source: StoryText, path: Path | None, parent: QObject | None = None) -> None:
        super().__init__(parent)
        if source.story is None:
            raise ValueError("a document needs a story that could be read")
        self.undo_stack = QUndoStack(self)
        self.path = path
        self._story = source.story

    @property
    def story(self) -> Story:
        """The story as it is now."""
        return self._story

    @property
    def modified(self) -> bool:
        """Whether there is something to save."""
        return not self.undo_stack.isClean()

    def edit(self, name: str, new: Story, *, join: str | None = None) -> bool:
        """Make ``new`` the story, as one step that can be undone; False if nothing changes.

        Steps in a row with the same ``join`` become one.
        """
        if new == self._story:
            return False
        self.undo_stack.push(_SwapStory(self, name, new, join))
        return True

    def show_story(self, story: Story) -> None:
        """Swap the story without a step; for undo commands only."""
        put_off_collecting()
        old, self._story = self._story, story
        self.changed.emit(old, story)

    def change_steps(self, first: int, change: Callable[[Story], Story]) -> None:
        """Change what the story is from one step of undo on, also where undone, without a step.

        If what was saved changes, there is something to save again.
        """
        stack, clean = self.undo_stack, self.undo_stack.cleanIndex()
        # Steps that follow one another share a story; it stays shared, and is changed once.
        changed: dict[int, tuple[Story, Story]] = {}

        def once(story: Story) -> Story:
            if id(story) not in changed:
                new = change(story)
                changed[id(story)] = (story, story if new == story else new)
            return changed[id(story)][1]

        for index in range(first, stack.count()):
            step = stack.command(index)
            assert isinstance(step, _SwapStory)
            if step.change(once) and clean == index + 1:
                stack.resetClean()
        story = once(self._story)
        if story is not self._story:
            self.show_story(story)

    def text(self) -> str:
        """The story file's text as it would be saved now."""
        return write_story(self._story)

    def put_together(self, story: Story) -> None:
        """Make ``story`` the one that is edited, even if only what it came from is another."""
        self.undo_stack.push(_SwapStory(self, say("Put together"), story, None))

    def mark_saved(self, path: Path) -> None:
        """Note that the story's text is now in the file at ``path``.

        The story keeps its origins in the text it was read from: undone past the saving, it
        gives the bytes of before.
        """
        self.path = path
        self.undo_stack.setClean()
        self.saved.emit()
