"""Records one take at a time, and shows how loud it is while it goes."""

import time
from collections.abc import Callable
from enum import Enum

import numpy as np
from PySide6.QtCore import QObject, QTimer, Signal, Slot

from tapscore.gui.recording.sound_in import Samples, SoundIn
from tapscore.wording.catalogue import say

READ_MS = 30
KEY_SEC = 0.15
"""Cut off at both ends: the sound of the key that begins and ends a take."""
LONGEST_SEC = 60
"""Longer than any line is said."""
WAKING_SEC, PATIENCE_SEC = 5.0, 1.2
"""A microphone may take so long to begin, and to go on; then it is taken for none."""
LAGGING_SEC = 0.6
"""Sound reaches the program in pieces: so long it waits for the last one."""
WENT_AWAY = say("The microphone went away while you spoke.")
TOO_LONG = say(
    "Stopped after {longest_sec} seconds: a line is shorter than that.", longest_sec=LONGEST_SEC
)


class RecorderState(Enum):
    """What the recorder is doing."""

    STILL = "still"
    WAKING = "waking"
    RECORDING = "recording"
    ENDING = "ending"


class Recorder(QObject):
    """``levelled`` gives the highest moment of the last instant, from 0 to 1."""

    changed = Signal()
    levelled = Signal(float)
    taken = Signal(object, int, str)
    """Samples, frames a second, and why it ended by itself (or nothing)."""

    def __init__(
        self,
        sound_in: SoundIn,
        parent: QObject | None = None,
        clock: Callable[[], float] = time.perf_counter,
    ) -> None:
        super().__init__(parent)
        self._in = sound_in
        self._clock = clock
        self._parts: list[Samples] = []
        self._count = 0
        self._first_sec = self._heard_sec = 0.0
        """When the first frame was said, and when the last piece came."""
        self._wanted = 0
        self._timer = QTimer(self)
        self._timer.setInterval(READ_MS)
        self._timer.timeout.connect(self.read)
        self.state = RecorderState.STILL

    def start(self, microphone: str) -> str:
        """Begin a take; says why not, in a sentence, or nothing."""
        problem = self._in.start(microphone)
        if problem:
            return problem
        self._parts, self._count = [], 0
        self._heard_sec = self._clock()
        self._timer.start()
        self._set(RecorderState.WAKING)
        return ""

    @Slot()
    def read(self) -> None:
        """Take in what came."""
        if self.state is RecorderState.STILL:
            return
        now, rate_hz = self._clock(), self._in.rate_hz
        part = self._in.read()
        if len(part):
            self._parts.append(part)
            self._count += len(part)
            self._heard_sec = now
            self.levelled.emit(min(float(np.abs(part).max()), 1.0))
        if self.state is RecorderState.ENDING:
            if self._count >= self._wanted or now - self._heard_sec > LAGGING_SEC:
                self._finish("")
            return
        if self.state is RecorderState.WAKING and self._count > KEY_SEC * rate_hz:
            self._first_sec = now - self._count / rate_hz
            self._set(RecorderState.RECORDING)
        patience = WAKING_SEC if self.state is RecorderState.WAKING else PATIENCE_SEC
        if self._count >= LONGEST_SEC * rate_hz:
            self._finish(TOO_LONG)
        elif now - self._heard_sec > patience or self._in.failed():
            self._finish(WENT_AWAY)

    def stop(self) -> None:
        """End the take as it was when the key was pressed; ``taken`` gives it soon after."""
        if self.state is RecorderState.RECORDING:
            self._wanted = round((self._clock() - self._first_sec) * self._in.rate_hz)
            self._set(RecorderState.ENDING)
            self.read()
        else:
            self.stop_now()

    def went_away(self) -> None:
        """End the take: its microphone went, and what comes now is another's."""
        if self.state is not RecorderState.STILL:
            self._finish(WENT_AWAY)

    def stop_now(self) -> None:
        """End the take with what has come."""
        if self.state is RecorderState.STILL:
            return
        self._parts.append(self._in.read())
        self._count += len(self._parts[-1])
        if self.state is not RecorderState.ENDING:
            self._wanted = self._count
        self._finish("")

    def _finish(self, why: str) -> None:
        self._timer.stop()
        rate_hz = self._in.rate_hz
        self._in.stop()
        whole = np.concatenate([np.zeros(0, np.float32), *self._parts])
        self._parts = []
        key = round(KEY_SEC * rate_hz)
        end = self._count if why else min(self._wanted, self._count) - key
        sound = whole[key : max(end, 0)].copy()
        fade = min(key // 3, len(sound) // 2)
        ramp = np.linspace(0, 1, fade, dtype=np.float32)
        sound[:fade] *= ramp
        sound[len(sound) - fade :] *= ramp[::-1]
        self.levelled.emit(0.0)
        self._set(RecorderState.STILL)
        self.taken.emit(sound, rate_hz, why)

    def _set(self, state: RecorderState) -> None:
        self.state = state
        self.changed.emit()
