"""A microphone that hears what the test gives it."""

from collections.abc import Callable

import numpy as np

from tapscore.gui.recording.sound_in import NO_MICROPHONE, Samples

RATE_HZ = 16_000


class FakeMicrophone:
    def __init__(self, *names: str) -> None:
        self._names = list(names)
        self._heard: list[Samples] = []
        self._changed: Callable[[], object] = lambda: None
        self.on = False
        self.gone = False
        self.refuses = ""

    def names(self) -> list[str]:
        return self._names

    def watch(self, changed: Callable[[], object]) -> None:
        self._changed = changed

    def plug(self, *names: str) -> None:
        self._names = list(names)
        self._changed()

    def problem(self) -> str:
        return "" if self._names else NO_MICROPHONE

    def start(self, name: str) -> str:
        self.on = not (self.refuses or self.problem())
        return self.refuses or self.problem()

    def hear(self, sound: Samples) -> None:
        self._heard.append(sound.astype(np.float32))

    def read(self) -> Samples:
        heard, self._heard = self._heard, []
        return np.concatenate([np.zeros(0, np.float32), *heard])

    @property
    def rate_hz(self) -> int:
        return RATE_HZ

    def failed(self) -> bool:
        return self.gone

    def stop(self) -> None:
        self.on = False
