"""Records a whole rehearsal into a file of its own that goes when it is not wanted any more."""

import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
from PySide6.QtCore import QObject, QTimer, Signal, Slot

from tapscore.gui.recording.recorder import PATIENCE_SEC, WAKING_SEC
from tapscore.gui.recording.sound_in import SoundIn
from tapscore.wording.catalogue import say

READ_MS = 100
LONGEST_SEC = 3600.0
WENT_AWAY = say("The microphone went away. What was recorded before is there.")
TOO_LONG = say("Stopped after an hour.")
NO_ROOM = say("The recording can't be kept even for a moment: is the disc full?")


class RehearsalTake(QObject):
    """Writes as it hears, so that an hour needs no memory; the folder goes with ``forget``."""

    levelled = Signal(float)
    """The highest moment of the last instant, from 0 to 1."""
    ended = Signal(object, str)
    """The file (None where nothing was heard), and why it ended by itself (or nothing)."""

    def __init__(
        self,
        sound_in: SoundIn,
        parent: QObject | None = None,
        clock: Callable[[], float] = time.perf_counter,
    ) -> None:
        super().__init__(parent)
        self._in = sound_in
        self._clock = clock
        self._folder: tempfile.TemporaryDirectory[str] | None = None
        self._file: Any = None
        self._frames = 0
        self._heard_sec = 0.0
        self._timer = QTimer(self)
        self._timer.setInterval(READ_MS)
        self._timer.timeout.connect(self.read)

    @property
    def running(self) -> bool:
        """Whether it records."""
        return self._file is not None

    @property
    def length_sec(self) -> float:
        """How long it is so far."""
        return self._frames / self._in.rate_hz

    def start(self, microphone: str) -> str:
        """Begin; says why not, in a sentence, or nothing."""
        import soundfile  # type: ignore[import-untyped]

        self.forget()
        problem = self._in.start(microphone)
        if problem:
            return problem
        try:
            self._folder = tempfile.TemporaryDirectory(prefix="tapscore-")
            path = Path(self._folder.name) / "rehearsal.wav"
            self._file = soundfile.SoundFile(path, "w", self._in.rate_hz, 1, subtype="PCM_16")
        except (OSError, soundfile.SoundFileError):
            self._in.stop()
            self.forget()
            return NO_ROOM
        self._frames = 0
        self._heard_sec = self._clock()
        self._timer.start()
        return ""

    @Slot()
    def read(self) -> None:
        """Take in what came."""
        if self._file is None:
            return
        now = self._clock()
        part = self._in.read()
        if len(part):
            self._heard_sec = now
            try:
                self._file.write(part)
            except (OSError, RuntimeError):
                self._finish(NO_ROOM)
                return
            self._frames += len(part)
            self.levelled.emit(min(float(np.abs(part).max()), 1.0))
        patience = PATIENCE_SEC if self._frames else WAKING_SEC
        if self.length_sec >= LONGEST_SEC:
            self._finish(TOO_LONG)
        elif self._in.failed() or now - self._heard_sec > patience:
            self._finish(WENT_AWAY)

    def stop(self) -> None:
        """End it with what has come."""
        if self._file is not None:
            self.read()
        if self._file is not None:
            self._finish("")

    def went_away(self) -> None:
        """End it: its microphone went, and what comes now is another's."""
        if self._file is not None:
            self._finish(WENT_AWAY)

    def forget(self) -> None:
        """Take the file away."""
        self._timer.stop()
        if self._file is not None:
            self._in.stop()
            self._file.close()
            self._file = None
        if self._folder is not None:
            self._folder.cleanup()
            self._folder = None

    def _finish(self, why: str) -> None:
        self._timer.stop()
        self._in.stop()
        path = Path(self._file.name)
        self._file.close()
        self._file = None
        self.levelled.emit(0.0)
        self.ended.emit(path if self._frames else None, why)
