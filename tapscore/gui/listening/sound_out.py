"""Where sound goes: the computer's loudspeaker through Qt, or nowhere."""

from typing import TYPE_CHECKING, Protocol

from PySide6.QtCore import QIODevice

from tapscore.wording.catalogue import say

if TYPE_CHECKING:
    from PySide6.QtMultimedia import QAudioDevice, QAudioFormat, QAudioSink

    from tapscore.screen.passage_sound import PassageSound

SAMPLE_RATE_HZ = 48_000
BYTES_PER_FRAME = 4
"""Sixteen bits, left and right."""
BUFFER_SEC = 0.4
"""How long the window may be busy without a hole in the sound."""
QUIET_SEC = 0.15
"""Silence before the passage: some devices swallow their first milliseconds."""

NO_DEVICE = say("No sound device: the cursor moves without sound.")
NO_LIBRARY = say("Sound can't be played on this computer: the cursor moves without sound.")
NOT_OPENED = say("The sound device can't be used now: the cursor moves without sound.")


class SoundOut(Protocol):
    """Plays one passage at a time."""

    def problem(self) -> str:
        """Why nothing can be heard, in a sentence; empty if it can."""

    def start(self, sound: "PassageSound") -> str:
        """Begin; says why not, in a sentence, or nothing."""

    def stop(self) -> None:
        """Be silent at once."""

    def heard_sec(self) -> float:
        """Seconds of the passage heard so far, in steps of some 20 ms."""

    def failed(self) -> bool:
        """Whether the device went away while playing."""


class SoundSource(QIODevice):
    """Reads a passage as bytes without an end: silence, the passage, and silence again."""

    def __init__(self, sound: "PassageSound") -> None:
        super().__init__()
        self._sound = sound
        self._frame = -round(QUIET_SEC * SAMPLE_RATE_HZ)
        self.open(QIODevice.OpenModeFlag.ReadOnly | QIODevice.OpenModeFlag.Unbuffered)

    def readData(self, maxlen: int) -> bytes:  # noqa: N802
        """Qt: the next bytes, whole frames only."""
        count = maxlen // BYTES_PER_FRAME
        quiet = min(max(-self._frame, 0), count)
        frames = self._sound.read(self._frame + quiet, count - quiet)
        self._frame += count
        return bytes(quiet * BYTES_PER_FRAME) + frames.tobytes()

    def writeData(  # noqa: N802
        self,
        data: bytes | bytearray | memoryview,  # noqa: ARG002
        maxlen: int,  # noqa: ARG002
    ) -> int:
        """Qt: nothing can be written."""
        return -1

    def isSequential(self) -> bool:  # noqa: N802
        """Qt: it is read from beginning to end."""
        return True

    def bytesAvailable(self) -> int:  # noqa: N802
        """Qt: there is always more."""
        return SAMPLE_RATE_HZ * BYTES_PER_FRAME


class QtSoundOut:
    """Qt's audio sink in pull mode; QtMultimedia loads on first use."""

    def __init__(self) -> None:
        self._sink: QAudioSink | None = None
        self._source: SoundSource | None = None

    def problem(self) -> str:
        """Why nothing can be heard, in a sentence; empty if it can."""
        try:
            from PySide6.QtMultimedia import QMediaDevices
        except ImportError:
            return NO_LIBRARY
        device = QMediaDevices.defaultAudioOutput()
        if device.isNull():
            return NO_DEVICE
        return "" if device.isFormatSupported(_format()) else NOT_OPENED

    def start(self, sound: "PassageSound") -> str:
        """Begin; says why not, in a sentence, or nothing."""
        self.stop()
        problem = self.problem()
        if problem:
            return problem
        from PySide6.QtMultimedia import QMediaDevices, QtAudio

        self._source = SoundSource(sound)
        self._sink = _sink(QMediaDevices.defaultAudioOutput())
        self._sink.start(self._source)
        if self._sink.error() is not QtAudio.Error.NoError:
            self.stop()
            return NOT_OPENED
        return ""

    def stop(self) -> None:
        """Be silent at once."""
        if self._sink is not None:
            self._sink.reset()
        self._sink = self._source = None

    def heard_sec(self) -> float:
        """Seconds of the passage heard so far."""
        if self._sink is None:
            return 0.0
        return max(self._sink.processedUSecs() / 1e6 - QUIET_SEC, 0.0)

    def failed(self) -> bool:
        """Whether the device went away while playing."""
        if self._sink is None:
            return False
        from PySide6.QtMultimedia import QtAudio

        broken = (QtAudio.Error.OpenError, QtAudio.Error.IOError, QtAudio.Error.FatalError)
        return self._sink.error() in broken


def _format() -> "QAudioFormat":
    from PySide6.QtMultimedia import QAudioFormat

    made = QAudioFormat()
    made.setSampleRate(SAMPLE_RATE_HZ)
    made.setChannelCount(2)
    made.setSampleFormat(QAudioFormat.SampleFormat.Int16)
    return made


def _sink(device: "QAudioDevice") -> "QAudioSink":
    from PySide6.QtMultimedia import QAudioSink

    sink = QAudioSink(device, _format())
    sink.setBufferSize(round(BUFFER_SEC * SAMPLE_RATE_HZ) * BYTES_PER_FRAME)
    return sink
