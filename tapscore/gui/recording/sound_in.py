"""Where recorded sound comes from: the computer's microphones through Qt."""

from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QCoreApplication, QIODevice, QObject, Qt

from tapscore.wording.catalogue import say

if TYPE_CHECKING:
    from PySide6.QtMultimedia import QAudioDevice, QAudioFormat, QAudioSource, QMediaDevices

Samples = NDArray[np.float32]
"""One channel, shape ``(frames,)``, full scale 1."""

WANTED_HZ = 48_000
BUFFER_SEC = 2.0
"""How long the window may be busy without a hole in the recording."""

BRING_IN = say("You can record on a phone instead, and bring the file in.")
NO_LIBRARY = say("Sound can't be recorded on this computer. {bring_in}", bring_in=BRING_IN)
NO_MICROPHONE = say(
    "There is no microphone. Plug one in, and choose it here. {bring_in}", bring_in=BRING_IN
)
NOT_ALLOWED = say(
    "The system doesn't let tapscore use the microphone: allow it in its settings. {bring_in}",
    bring_in=BRING_IN,
)
NOT_OPENED = say(
    "The microphone can't be used now: another program may have it. {bring_in}", bring_in=BRING_IN
)


class SoundIn(Protocol):
    """One microphone at a time."""

    def names(self) -> list[str]:
        """The microphones there are, the usual one first."""

    def watch(self, changed: Callable[[], object]) -> None:
        """Call ``changed`` whenever a microphone comes or goes."""

    def problem(self) -> str:
        """Why nothing can be recorded, in a sentence; empty if it can."""

    def start(self, name: str) -> str:
        """Begin; says why not, in a sentence, or nothing."""

    def read(self) -> Samples:
        """What came since the last time."""

    @property
    def rate_hz(self) -> int:
        """Frames a second of what is read."""

    def failed(self) -> bool:
        """Whether the microphone went away."""

    def stop(self) -> None:
        """Let the microphone go."""


class QtSoundIn:
    """Qt's audio source, read now and then; QtMultimedia loads on first use."""

    def __init__(self) -> None:
        self._source: QAudioSource | None = None
        self._stream: QIODevice | None = None
        self._format: QAudioFormat | None = None
        self._asked = False
        self._watching: QMediaDevices | None = None

    def names(self) -> list[str]:
        """The microphones there are, the usual one first."""
        return [device.description() for device in _devices()]

    def watch(self, changed: Callable[[], object]) -> None:
        """Call ``changed`` whenever a microphone comes or goes."""
        try:
            from PySide6.QtMultimedia import QMediaDevices
        except ImportError:
            return
        self._watching = QMediaDevices()
        self._watching.audioInputsChanged.connect(changed)

    def problem(self) -> str:
        """Why nothing can be recorded, in a sentence; empty if it can."""
        try:
            import PySide6.QtMultimedia  # noqa: F401
        except ImportError:
            return NO_LIBRARY
        if not _devices():
            return NO_MICROPHONE
        return "" if self._allowed() else NOT_ALLOWED

    def start(self, name: str) -> str:
        """Begin; says why not, in a sentence, or nothing."""
        self.stop()
        problem = self.problem()
        if problem:
            return problem
        from PySide6.QtMultimedia import QAudioSource, QtAudio

        devices = _devices()
        device = next((each for each in devices if each.description() == name), devices[0])
        self._format = _format(device)
        self._source = QAudioSource(device, self._format)
        self._source.setBufferSize(self._format.bytesForDuration(round(BUFFER_SEC * 1e6)))
        self._stream = self._source.start()
        if self._stream is None or self._source.error() is not QtAudio.Error.NoError:
            self.stop()
            return NOT_OPENED
        return ""

    def read(self) -> Samples:
        """What came since the last time."""
        if self._stream is None or self._format is None:
            return np.zeros(0, np.float32)
        data = bytes(self._stream.readAll().data())
        return to_samples(data, _KINDS[self._format.sampleFormat().name], self._channels)

    @property
    def rate_hz(self) -> int:
        """Frames a second of what is read."""
        return self._format.sampleRate() if self._format is not None else WANTED_HZ

    @property
    def _channels(self) -> int:
        return self._format.channelCount() if self._format is not None else 1

    def failed(self) -> bool:
        """Whether the microphone went away."""
        if self._source is None:
            return False
        from PySide6.QtMultimedia import QtAudio

        broken = (QtAudio.Error.OpenError, QtAudio.Error.IOError, QtAudio.Error.FatalError)
        stopped = self._source.state() is QtAudio.State.StoppedState
        return stopped or self._source.error() in broken

    def stop(self) -> None:
        """Let the microphone go."""
        if self._source is not None:
            self._source.stop()
        self._source = self._stream = None

    def _allowed(self) -> bool:
        from PySide6.QtCore import QMicrophonePermission

        app = QCoreApplication.instance()
        if app is None:
            return False
        wanted = QMicrophonePermission()
        status = app.checkPermission(wanted)
        if status is Qt.PermissionStatus.Undetermined and not self._asked:
            self._asked = True
            app.requestPermission(wanted, QObject(app), lambda _: None)
        return status is not Qt.PermissionStatus.Denied


_KINDS = {"UInt8": "u1", "Int16": "<i2", "Int32": "<i4", "Float": "<f4"}


def to_samples(data: bytes, kind: str, channels: int) -> Samples:
    """Bytes from a microphone as one channel at full scale 1; a frame cut off is left out."""
    whole = np.dtype(kind).itemsize * channels
    frames = np.frombuffer(data[: len(data) // whole * whole], kind).reshape(-1, channels)
    scaled = frames.astype(np.float32)
    if kind == "u1":
        scaled = scaled / np.float32(128) - 1
    elif kind != "<f4":
        scaled /= np.float32(2 ** (8 * np.dtype(kind).itemsize - 1))
    mean: Samples = scaled.mean(axis=1, dtype=np.float32)
    return mean


def _devices() -> "list[QAudioDevice]":
    try:
        from PySide6.QtMultimedia import QMediaDevices
    except ImportError:
        return []
    usual = QMediaDevices.defaultAudioInput()
    others = [each for each in QMediaDevices.audioInputs() if each.id() != usual.id()]
    return others if usual.isNull() else [usual, *others]


def _format(device: "QAudioDevice") -> "QAudioFormat":
    from PySide6.QtMultimedia import QAudioFormat

    wanted = QAudioFormat()
    wanted.setSampleRate(WANTED_HZ)
    wanted.setChannelCount(1)
    wanted.setSampleFormat(QAudioFormat.SampleFormat.Int16)
    return wanted if device.isFormatSupported(wanted) else device.preferredFormat()
