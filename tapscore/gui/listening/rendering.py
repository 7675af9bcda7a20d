"""Mixes in another thread, so that the window never waits for sound."""

from typing import TYPE_CHECKING

from attrs import frozen
from PySide6.QtCore import QObject, QThread, Signal, Slot

from tapscore.exports.audio.heard import AS_WRITTEN, Heard
from tapscore.gui.listening.stretch import Stretch
from tapscore.model.story import Story

if TYPE_CHECKING:
    from tapscore.gui.listening.passage_sound import PassageSound


@frozen(eq=False)
class SoundJob:
    """What to mix."""

    story: Story
    stretch: Stretch
    my_part: str | None = None
    left_out: str | None = None
    heard: Heard = AS_WRITTEN


class _Mixer(QObject):
    ready = Signal(int, object)

    def __init__(self) -> None:
        super().__init__()
        self.wanted = 0
        """Number of the newest job, set from the window's thread."""

    @Slot(object)
    def warm(self, story: Story) -> None:
        from tapscore.gui.listening.render import story_sounds

        story_sounds(story)

    @Slot(int, object)
    def mix(self, number: int, job: SoundJob) -> None:
        from tapscore.gui.listening.render import fill, new_sound, place_sounds, story_factor

        if number != self.wanted:
            return
        sounds = place_sounds(
            job.story, job.stretch, job.my_part, left_out=job.left_out, heard=job.heard
        )
        sound = new_sound(sounds, loops=job.stretch.loops)
        factor = story_factor(job.story, job.stretch)
        fill(sound, sounds, factor, lambda: self.ready.emit(number, sound))


class Rendering(QObject):
    """Gives the sound of a stretch with ``ready`` as soon as it can begin to be heard.

    The rest is mixed while it sounds.  Only the newest job is answered.
    """

    ready = Signal(object)
    _asked = Signal(int, object)
    _warmed = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._number = 0
        self._thread: QThread | None = None
        self._mixer = _Mixer()
        self._sound: PassageSound | None = None

    def warm(self, story: Story) -> None:
        """Make a story's tap sounds before they are wanted, so that listening begins at once."""
        self._start_thread()
        self._warmed.emit(story)

    def ask(self, job: SoundJob) -> None:
        """Begin to mix; an earlier wish is given up."""
        self.give_up()
        self._start_thread()
        self._asked.emit(self._number, job)

    def _start_thread(self) -> None:
        if self._thread is None:
            self._thread = QThread(self)
            self._mixer.moveToThread(self._thread)
            self._asked.connect(self._mixer.mix)
            self._warmed.connect(self._mixer.warm)
            self._mixer.ready.connect(self._mixed)
            self._thread.start()

    def give_up(self) -> None:
        """Nobody waits for the sound any more."""
        self._number += 1
        self._mixer.wanted = self._number
        if self._sound is not None:
            self._sound.given_up = True
            self._sound = None

    def stop(self) -> None:
        """End the thread; to be called before the window goes."""
        self.give_up()
        if self._thread is not None:
            self._thread.quit()
            self._thread.wait(5000)
            self._thread = None

    @Slot(int, object)
    def _mixed(self, number: int, sound: "PassageSound") -> None:
        if number == self._number:
            self._sound = sound
            self.ready.emit(sound)
        else:
            sound.given_up = True
