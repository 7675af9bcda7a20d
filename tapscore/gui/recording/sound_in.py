"""Where recorded sound comes from: the computer's microphones."""

from collections import deque
from collections.abc import Callable
from typing import Protocol

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QCoreApplication, QObject, Qt, QTimer, Signal

from tapscore.gui.background import Errand
from tapscore.gui.sound.system import (
    RATE_HZ,
    DeviceUnusableError,
    Running,
    SoundSystem,
    Why,
    sound_system,
)
from tapscore.wording.catalogue import say

Samples = NDArray[np.float32]
"""One channel, shape ``(frames,)``, full scale 1."""

LOOK_MS = 1_500
"""How often microphones are looked for while somebody chooses one."""

BRING_IN = say("You can record on a phone instead, and bring the file in.")
NO_LIBRARY = say(
    "Sound can't be recorded, for a library is missing: on Debian and Ubuntu install libpulse0, "
    "elsewhere tapscore once more. {bring_in}",
    bring_in=BRING_IN,
)
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


_SAID = {Why.LIBRARY: NO_LIBRARY, Why.DEVICE: NO_MICROPHONE, Why.REFUSED: NOT_OPENED}


class Taking:
    """What a microphone hears; the device's thread puts it in, the window's takes it out."""

    def __init__(self) -> None:
        self._blocks: deque[bytes] = deque()
        self.over = False

    def put(self, block: bytes) -> None:
        """A block came."""
        self._blocks.append(block)

    def ended(self) -> None:
        """The microphone went away, or was let go."""
        self.over = True

    def taken(self) -> bytes:
        """What came since the last time."""
        blocks = [self._blocks.popleft() for _ in range(len(self._blocks))]
        return b"".join(blocks)


class Microphone:
    """The one that is chosen; its library loads on first use."""

    def __init__(self, system: SoundSystem | None = None) -> None:
        self._system = system or sound_system()
        self._running: Running | None = None
        self._taking = Taking()
        self._rate_hz, self._channels = RATE_HZ, 1
        self._asked = False
        self._watching: _Watching | None = None

    def names(self) -> list[str]:
        """The microphones there are, the usual one first."""
        try:
            return self._system.ask(lambda devices: devices.microphones())
        except DeviceUnusableError:
            return []

    def watch(self, changed: Callable[[], object]) -> None:
        """Call ``changed`` whenever a microphone comes or goes."""
        self._watching = _Watching(self._system)
        self._watching.changed.connect(changed)

    def problem(self) -> str:
        """Why nothing can be recorded, in a sentence; empty if it can."""
        try:
            self._system.ask(lambda devices: devices.must_have("input"))
        except DeviceUnusableError as error:
            return _SAID[error.why]
        return "" if self._allowed() else NOT_ALLOWED

    def start(self, name: str) -> str:
        """Begin; says why not, in a sentence, or nothing."""
        self.stop()
        if not self._allowed():
            return NOT_ALLOWED
        taking = Taking()
        try:
            self._running = self._system.begin(
                lambda devices: devices.record(name, taking.put, taking.ended)
            )
        except DeviceUnusableError as error:
            return _SAID[error.why]
        self._taking = taking
        self._rate_hz, self._channels = self._running.rate_hz, self._running.channels
        return ""

    def read(self) -> Samples:
        """What came since the last time."""
        return to_samples(self._taking.taken(), self._channels)

    @property
    def rate_hz(self) -> int:
        """Frames a second of what is read."""
        return self._rate_hz

    def failed(self) -> bool:
        """Whether the microphone went away."""
        return self._running is not None and self._taking.over

    def stop(self) -> None:
        """Let the microphone go."""
        if self._running is not None:
            self._system.end(self._running)
        self._running, self._taking = None, Taking()

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


class _Watching(QObject):
    """Looks for microphones now and then."""

    changed = Signal()

    def __init__(self, system: SoundSystem) -> None:
        super().__init__()
        self._system = system
        self._known: list[str] | None = None
        self._looking: Errand[list[str]] | None = None
        self._timer = QTimer(self)
        self._timer.setInterval(LOOK_MS)
        self._timer.timeout.connect(self._look)
        self._timer.start()
        self._look()

    def _look(self) -> None:
        if self._looking is not None:
            if not self._looking.ended():
                return
            found = [] if self._looking.problem is not None else self._looking.answer
            if self._known is not None and found != self._known:
                self.changed.emit()
            self._known = found
        self._looking = self._system.ask_later(lambda devices: devices.microphones())


def to_samples(data: bytes, channels: int) -> Samples:
    """Sixteen-bit frames as one channel at full scale 1; a frame cut off is left out."""
    whole = 2 * channels
    frames = np.frombuffer(data[: len(data) // whole * whole], "<i2").reshape(-1, channels)
    mean: Samples = frames.mean(axis=1, dtype=np.float32) / np.float32(32_768)
    return mean
