"""Lets a recording be heard as it will be in the guide, or the line's rhythm."""

import numpy as np
from attrs import frozen
from PySide6.QtCore import QObject, Signal

from tapscore.exports.audio.voice.decode import RecordingUnusable, read_recording
from tapscore.exports.audio.voice.line_names import spoken_lines
from tapscore.gui.background import Background, Task
from tapscore.gui.listening.player import PlayChoices, Player
from tapscore.gui.listening.sound_out import SoundOut
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.screen.passage import Going
from tapscore.screen.passage_sound import PassageSound
from tapscore.wording.catalogue import say
from tapscore.workflow.recording_lines import LineToRecord

_HIGHEST = 0.8


@frozen(eq=False)
class _Decoded:
    sound: PassageSound | None
    sentence: str = ""
    problem: str = ""


def _decode(line: LineToRecord, _: Task) -> _Decoded:
    assert line.file is not None
    try:
        recorded = read_recording(line.file)
    except RecordingUnusable as error:
        return _Decoded(None, problem=str(error))
    sound = recorded.sound
    highest = max(float(np.abs(sound).max(initial=0.0)), 1e-6)
    passage = PassageSound(len(sound), 0, len(sound))
    passage.first[:] = np.rint(sound * (_HIGHEST / highest) * 32767)[:, np.newaxis]
    return _Decoded(
        passage,
        " ".join([say("{title}, as it will be heard.", title=line.title), *recorded.remarks]),
    )


class Hearing(QObject):
    """One sound at a time."""

    said = Signal(str)
    """What is heard, or why nothing."""

    def __init__(self, story: Story, out: SoundOut, parent: QObject) -> None:
        super().__init__(parent)
        self._decoding = Background(_decode, self)
        self._decoding.answered.connect(self._begin)
        self._story = story
        self._out = out
        self._player = Player(self, out=out)
        performance = perform(story)
        paths = {line.name: line.path for line in spoken_lines(performance)}
        first: dict[object, int] = {}
        for index, segment in enumerate(performance.segments):
            first.setdefault(segment.path, index)
        self._segments = {name: first[path] for name, path in paths.items()}

    def recording(self, line: LineToRecord) -> None:
        """Let its recording be heard, trimmed and levelled."""
        if line.file is None:
            self.said.emit(say("{title} is not recorded yet.", title=line.title))
        else:
            self._decoding.ask(line)

    def _begin(self, decoded: "_Decoded") -> None:
        self._player.stop()
        self._out.stop()
        problem = decoded.problem
        if decoded.sound is not None:
            problem = self._out.start(decoded.sound)
        self.said.emit(problem or decoded.sentence)

    def rhythm(self, line: LineToRecord) -> str:
        """Let a bar of clicks and the line's taps be heard."""
        self._decoding.give_up()
        self._player.start(self._story, Going((self._segments[line.name],)), PlayChoices())
        return self._out.problem() or say("A bar of clicks, then the taps of this line.")

    def stop(self) -> None:
        """Be silent."""
        self._decoding.give_up()
        self._player.stop()
        self._out.stop()

    def shut(self) -> None:
        """Be silent for good."""
        self._decoding.stop()
        self._player.shut()
        self._out.stop()
