"""Lets a place of the rehearsal be heard, and then how it is written."""

from pathlib import Path

import numpy as np
from attrs import frozen
from PySide6.QtCore import QObject, QTimer, Signal, Slot

from tapscore.exports.audio.voice.decode import RecordingUnusable
from tapscore.gui.background import Background, Task
from tapscore.gui.listening.player import PlayChoices, Player, PlayerState
from tapscore.gui.listening.sound_out import SAMPLE_RATE_HZ, SoundOut
from tapscore.model.story import Story
from tapscore.rehearsal.recording import part_of
from tapscore.screen.passage import Going
from tapscore.screen.passage_sound import PassageSound
from tapscore.wording.catalogue import say

BEFORE_SEC, AFTER_SEC = 0.6, 0.6
BETWEEN_MS = 700
_HIGHEST = 0.8
TOLD, WRITTEN = say("As it was told; then as it is written."), say("As it is written.")
LOOP = say("Round and round, as it is written. Stop ends it.")


@frozen
class _Place:
    path: Path
    begin_sec: float
    end_sec: float


@frozen(eq=False)
class _Decoded:
    sound: PassageSound | None
    problem: str = ""


def _decode(place: _Place, _: Task) -> _Decoded:
    begin = max(place.begin_sec - BEFORE_SEC, 0.0)
    try:
        sound = part_of(place.path, begin, place.end_sec + AFTER_SEC, SAMPLE_RATE_HZ)
    except RecordingUnusable as error:
        return _Decoded(None, str(error))
    highest = max(float(np.abs(sound).max(initial=0.0)), 1e-6)
    passage = PassageSound(len(sound), 0, len(sound))
    passage.first[:] = np.rint(sound * (_HIGHEST / highest) * 32767)[:, np.newaxis]
    return _Decoded(passage)


class PlaceSound(QObject):
    """One sound at a time."""

    said = Signal(str)
    """What is heard, or why nothing."""
    changed = Signal()
    """Whether something is ``going``."""

    def __init__(self, out: SoundOut, parent: QObject) -> None:
        super().__init__(parent)
        self._out = out
        self._player = Player(self, out=out)
        self._player.changed.connect(self.changed)
        self._decoding = Background(_decode, self)
        self._decoding.answered.connect(self._begin)
        self._then = QTimer(self)
        self._then.setSingleShot(True)
        self._then.timeout.connect(self._written)
        self._guide: tuple[Story, int] | None = None

    @property
    def going(self) -> bool:
        """Whether something is heard, or will be in a moment."""
        still = self._player.state is PlayerState.STILL
        return self._decoding.busy or self._then.isActive() or not still

    def told(self, path: Path, begin_sec: float, end_sec: float, guide: tuple[Story, int]) -> None:
        """Let a place of the recording be heard, and the guide (a story's segment) after it."""
        self.stop()
        self._guide = guide
        self._decoding.ask(_Place(path, begin_sec, end_sec))
        self.changed.emit()

    def loop(self, story: Story, segment: int) -> None:
        """The line as it is written, over and over, to practise it."""
        self.stop()
        self._player.start(story, Going((segment,), loops=True), PlayChoices())
        self.said.emit(self._player.problem or LOOP)

    def stop(self) -> None:
        """Be silent."""
        self._decoding.give_up()
        self._then.stop()
        self._guide = None
        self._player.stop()
        self._out.stop()

    def shut(self) -> None:
        """Be silent for good."""
        self.stop()
        self._decoding.stop()
        self._player.shut()

    @Slot(object)
    def _begin(self, decoded: _Decoded) -> None:
        problem = decoded.problem
        if decoded.sound is not None:
            problem = self._out.start(decoded.sound)
            if not problem:
                length_ms = round(1000 * len(decoded.sound.first) / SAMPLE_RATE_HZ)
                self._then.start(length_ms + BETWEEN_MS)
        self.said.emit(problem or TOLD)
        self.changed.emit()

    @Slot()
    def _written(self) -> None:
        if self._guide is None:
            return
        story, segment = self._guide
        self._out.stop()
        self._player.start(story, Going((segment,)), PlayChoices(count_in=False))
        self.said.emit(self._player.problem or WRITTEN)
