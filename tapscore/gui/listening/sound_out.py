"""Where sound goes: the computer's loudspeaker, or nowhere."""

import time
from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol

from tapscore.gui.sound.system import (
    RATE_HZ,
    DeviceUnusableError,
    Running,
    SoundSystem,
    Why,
    sound_system,
)
from tapscore.wording.catalogue import say

if TYPE_CHECKING:
    from tapscore.screen.passage_sound import PassageSound

SAMPLE_RATE_HZ = RATE_HZ
BYTES_PER_FRAME = 4
"""Sixteen bits, left and right."""
QUIET_SEC = 0.15
"""Silence before the passage: some devices swallow their first milliseconds."""

NO_DEVICE = say("No sound device: the cursor moves without sound.")
NO_LIBRARY = say(
    "Sound can't be played, for a library is missing: on Debian and Ubuntu install libpulse0, "
    "elsewhere tapscore once more. The cursor moves without sound."
)
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
        """Seconds of the passage heard so far."""

    def failed(self) -> bool:
        """Whether the device went away while playing."""


_SAID = {Why.LIBRARY: NO_LIBRARY, Why.DEVICE: NO_DEVICE, Why.REFUSED: NOT_OPENED}
_BEGUN_SEC = 0.005


class Playing:
    """A passage on its way: silence, the passage, and silence again.

    The device's thread calls ``fill`` and ``ended``; the window's asks ``heard_sec``.
    """

    def __init__(
        self, sound: "PassageSound", clock: Callable[[], float] = time.perf_counter
    ) -> None:
        self._sound = sound
        self._clock = clock
        self._frame = -round(QUIET_SEC * SAMPLE_RATE_HZ)
        self._heard: tuple[float, float, float] | None = None
        """What had been heard at a time of the clock, and for how long that may be counted on."""
        self.over = False

    def fill(self, frames: int, delay_sec: float) -> bytes:
        """Hand the next frames over, and note how far what is heard has come."""
        heard_sec = self._frame / SAMPLE_RATE_HZ - delay_sec
        if heard_sec > _BEGUN_SEC - QUIET_SEC:
            # before that the device is only filled and has not begun, whatever it says
            self._heard = heard_sec, self._clock(), 2 * frames / SAMPLE_RATE_HZ
        quiet = min(max(-self._frame, 0), frames)
        sound = self._sound.read(self._frame + quiet, frames - quiet)
        self._frame += frames
        return bytes(quiet * BYTES_PER_FRAME) + sound.tobytes()

    def ended(self) -> None:
        """The device went away, or was let go."""
        self.over = True

    def heard_sec(self) -> float:
        """Seconds of the passage heard so far; stands still where nothing more is taken."""
        if self._heard is None:
            return 0.0
        heard_sec, at_sec, longest_sec = self._heard
        return max(heard_sec + min(self._clock() - at_sec, longest_sec), 0.0)


class Loudspeaker:
    """The one that the system takes; its library loads on first use."""

    def __init__(self, system: SoundSystem | None = None) -> None:
        self._system = system or sound_system()
        self._playing: Playing | None = None
        self._running: Running | None = None

    def problem(self) -> str:
        """Why nothing can be heard, in a sentence; empty if it can."""
        try:
            self._system.ask(lambda devices: devices.must_have("output"))
        except DeviceUnusableError as error:
            return _SAID[error.why]
        return ""

    def start(self, sound: "PassageSound") -> str:
        """Begin; says why not, in a sentence, or nothing."""
        self.stop()
        playing = Playing(sound)
        try:
            self._running = self._system.begin(
                lambda devices: devices.play(playing.fill, playing.ended)
            )
        except DeviceUnusableError as error:
            return _SAID[error.why]
        self._playing = playing
        return ""

    def stop(self) -> None:
        """Be silent at once."""
        if self._running is not None:
            self._system.end(self._running)
        self._running = self._playing = None

    def heard_sec(self) -> float:
        """Seconds of the passage heard so far."""
        return self._playing.heard_sec() if self._playing is not None else 0.0

    def failed(self) -> bool:
        """Whether the device went away while playing."""
        return self._playing is not None and self._playing.over
