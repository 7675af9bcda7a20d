"""The computer's loudspeakers and microphones, as the window asks for them.

Opening, closing and listing are errands of one thread: the libraries are not made for several,
and a sound server may be slow or never answer, so nobody waits longer than ``PATIENCE_SEC``.
Each device that is open has a thread of its own, which hands sound over block by block and
leaves plain data for the window's thread.  It waits for Python's lock as any thread does; nobody
hears that while it is shorter than what the device holds (``BUFFER_SEC``, ``MICROPHONE_SEC``).
"""

import sys
from collections.abc import Callable
from enum import Enum
from functools import cache, partial
from typing import Any, Literal, Protocol, TypeVar

from tapscore.gui.background import Errand, Errands, NoAnswerError

T = TypeVar("T")
Kind = Literal["output", "input"]
RATE_HZ = 48_000
BUFFER_SEC = 0.6
"""How long Python may be busy without a hole in what is played."""
MICROPHONE_SEC = 2.0
"""The same for what is recorded."""
PATIENCE_SEC = 3.0
"""A device that has not been opened by then is taken for none."""

Fill = Callable[[int, float], bytes]
"""The next frames (sixteen bits, left and right): how many, and in how many seconds the first of
them will be heard."""
Put = Callable[[bytes], object]
"""Takes sixteen-bit frames that were recorded."""
Over = Callable[[], object]
"""Told when the device went away, or was let go."""


class Why(Enum):
    """Why there is no sound."""

    LIBRARY = "library"
    DEVICE = "device"
    REFUSED = "refused"


class DeviceUnusableError(Exception):
    """A device can't be used."""

    def __init__(self, why: Why) -> None:
        super().__init__(why.value)
        self.why = why


class Running(Protocol):
    """A device that is open."""

    rate_hz: int
    channels: int

    def end(self) -> None:
        """Be silent at once, and let the device go."""


class Devices(Protocol):
    """A system's devices; DeviceUnusableError where something can't be done."""

    def must_have(self, kind: Kind) -> None:
        """Raise if there is no device of this kind."""

    def microphones(self) -> list[str]:
        """What they are called, the usual one first."""

    def play(self, fill: Fill, over: Over) -> Running:
        """Begin on the loudspeaker that the system takes."""

    def record(self, name: str, put: Put, over: Over) -> Running:
        """Begin with the microphone of this name, or else the usual one."""


class SoundSystem:
    """Asks devices in their thread."""

    def __init__(self, devices: Devices) -> None:
        self._devices = devices
        self._errands = Errands()
        self._slow: Errand[Any] | None = None
        """What gave no answer in time; until it does, nobody waits again."""

    def ask_later(self, work: Callable[[Devices], T]) -> Errand[T]:
        """Ask something, and do not wait for it."""
        return self._errands.do(partial(work, self._devices))

    def ask(self, work: Callable[[Devices], T]) -> T:
        """Ask something; DeviceUnusableError where no answer comes."""
        try:
            return self._answer(self.ask_later(work))
        except NoAnswerError:
            raise DeviceUnusableError(Why.REFUSED) from None

    def begin(self, open_it: Callable[[Devices], Running]) -> Running:
        """Open a device; one that opens too late is let go again."""
        opening = self.ask_later(open_it)
        try:
            return self._answer(opening)
        except NoAnswerError:
            self._errands.do(partial(_end, opening))
            raise DeviceUnusableError(Why.REFUSED) from None

    def end(self, running: Running) -> None:
        """Let a device go; nobody waits for it."""
        self._errands.do(running.end)

    def _answer(self, errand: Errand[T]) -> T:
        if self._slow is not None and not self._slow.ended():
            raise NoAnswerError
        if not errand.ended(PATIENCE_SEC):
            self._slow = errand
            raise NoAnswerError
        return errand.answer


def _end(opened: Errand[Running]) -> None:
    opened.answer.end()


@cache
def sound_system() -> SoundSystem:
    """The one there is for the whole program."""
    if sys.platform == "linux":
        from tapscore.gui.sound.pulse import PulseDevices

        return SoundSystem(PulseDevices())
    from tapscore.gui.sound.port_audio import PortAudioDevices

    return SoundSystem(PortAudioDevices())
