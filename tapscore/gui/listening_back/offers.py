"""What is done with a sentence: the story made as it was told, that taken back, or it is left."""

from attrs import frozen

from tapscore.gui.document import Document
from tapscore.gui.listening_back.heard_so_far import HeardSoFar
from tapscore.model.story import Story
from tapscore.wording.catalogue import say
from tapscore.workflow.rehearsals import Repeated
from tapscore.workflow.story_as_told import as_told


@frozen
class _Made:
    row: int
    said: Repeated
    story: Story
    """As it is since."""


class Offers:
    """Takes sentences off the list, and puts one back when its change of the story is undone."""

    def __init__(self, document: Document, heard: HeardSoFar) -> None:
        self._document = document
        self._heard = heard
        self._made: list[_Made] = []
        self.editing = False
        """Whether the story is being changed from here."""

    def make_as_told(self, said: Repeated) -> bool:
        """Make the story so; False where it is so already, or the line is gone."""
        story = as_told(self._document.story, self._heard.rehearsals[-1], said.difference)
        if story is None:
            return False
        self.editing = True
        done = self._document.edit(_EDITS[said.difference.finding.code], story)
        self.editing = False
        if done:
            self._made.append(_Made(self._heard.said.index(said), said, self._document.story))
            self._heard.said.remove(said)
        return done

    def leave(self, said: Repeated) -> None:
        """Take it off the list."""
        self._heard.said.remove(said)

    def undo(self) -> int | None:
        """Take back the last change; the row of the sentence that stands again, if it was one."""
        last = self._made[-1] if self._made else None
        own = last is not None and last.story is self._document.story
        self.editing = own
        self._document.undo_stack.undo()
        self.editing = False
        if last is None or not own:
            return None
        self._made.pop()
        row = min(last.row, len(self._heard.said))
        self._heard.said.insert(row, last.said)
        return row

    def forget(self) -> None:
        """Another rehearsal is heard: what was said of the last one stands no more."""
        self._made.clear()


_EDITS = {
    "told-tempo": say("Make the tempo of a line as told"),
    "told-tempo-whole": say("Make the tempo as told"),
    "told-wait": say("Make the wait as told"),
    "told-no-louder": say("Make the loudness of a line as told"),
    "told-much-louder": say("Make the loudness of a line as told"),
    "told-swell": say("Make the swell of a line as told"),
}
