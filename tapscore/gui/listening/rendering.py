"""Mixes in another thread, so that the window never waits for sound."""

from attrs import frozen
from PySide6.QtCore import QObject, Signal

from tapscore.exports.audio.heard import AS_WRITTEN, TapsHeard
from tapscore.gui.background import Background, Task
from tapscore.model.story import Story
from tapscore.screen.passage import Passage


@frozen(eq=False)
class SoundJob:
    """What to mix."""

    story: Story
    passage: Passage
    my_part: str | None = None
    left_out: str | None = None
    heard: TapsHeard = AS_WRITTEN


def _work(wish: SoundJob | Story, task: Task) -> None:
    from tapscore.screen.passage_sound import (
        fill,
        new_sound,
        place_sounds,
        story_factor,
        story_sounds,
    )

    if isinstance(wish, Story):
        story_sounds(wish)
        return
    sounds = place_sounds(
        wish.story, wish.passage, wish.my_part, left_out=wish.left_out, heard=wish.heard
    )
    sound = new_sound(sounds, loops=wish.passage.loops)
    factor = story_factor(wish.story, wish.passage)
    fill(sound, sounds, factor, lambda: task.report(sound), task.cancelled)


class Rendering(QObject):
    """Gives the sound of a passage with ``ready`` as soon as it can begin to be heard.

    The rest is mixed while it sounds.  Only the newest job is answered.
    """

    ready = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._background = Background(_work, self)
        self._background.progressed.connect(self.ready)
        self.ask = self._background.ask
        self.give_up = self._background.give_up
        self.stop = self._background.stop

    def warm(self, story: Story) -> None:
        """Make a story's tap sounds before they are wanted, so that listening begins at once."""
        if not self._background.busy:
            self._background.ask(story)
