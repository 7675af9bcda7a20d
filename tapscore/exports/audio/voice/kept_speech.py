"""What the voice program said, and lines finished from it, kept between runs.

Each is named by what was asked.  A file that is missing or broken is made again; a folder that
cannot be written is done without; what was not used for long goes.
"""

import os
import time
from collections.abc import Callable, Mapping
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import Any

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.disc.ours import read_arrays, write_arrays
from tapscore.disc.whole import sweep
from tapscore.exports.audio.sound import Sound
from tapscore.exports.audio.voice.program import SpokenSound, VoiceProgram, speak

MOST_BYTES = 100_000_000
"""Of what the program said; of finished lines twice as much (half an hour of speech)."""
OLD_SEC = 60 * 24 * 3600.0
_HOW_FINISHED = 1
"""To be raised where lines are finished otherwise, so that none of before is taken."""
_RATE = "rate_hz"
_SAMPLES = "samples"
_START = "start_frame"
_PRUNED_EVERY = 200


def cache_folder() -> Path:
    """Where the files are: ``TAPSCORE_VOICE_CACHE`` if set, else the platform's place."""
    chosen = os.environ.get("TAPSCORE_VOICE_CACHE")
    if chosen:
        return Path(chosen)
    from platformdirs import user_cache_path

    return user_cache_path("tapscore", appauthor=False) / "voice"


@frozen(eq=False)
class Finished:
    """A line's sound, ready to be mixed, and the frame it begins at from the line's start."""

    start_frame: int
    sound: Sound


class KeptSpeech:
    """Asks the program only for what it has not said before."""

    def __init__(self, program: VoiceProgram) -> None:
        self._program = program
        self._folder = cache_folder()
        self._written: dict[Path, int] = {}

    def say(self, text: str, *, voice: str, words_a_minute: int) -> SpokenSound:
        """What the program says.  Raises VoiceMissing if it cannot."""
        written = repr((self._program.version, voice, words_a_minute, text))
        path = self._folder / f"{sha256(written.encode()).hexdigest()[:40]}.npz"
        kept = _read(path)
        if kept is not None:
            _used(path)
            return kept
        spoken = speak(self._program, text, voice=voice, words_a_minute=words_a_minute)
        rate = np.array([spoken.rate_hz], np.int64)
        self._write(path, {_SAMPLES: spoken.samples, _RATE: rate})
        return spoken

    def finished(self, asked: object, make: Callable[[], Finished]) -> Finished:
        """A line as it was finished before, or else as ``make`` finishes it.

        ``asked`` is all that decides it, with the same ``repr`` each time.
        """
        written = repr((_HOW_FINISHED, self._program.version, asked))
        path = self._folder / "lines" / f"{sha256(written.encode()).hexdigest()[:40]}.npz"
        arrays = read_arrays(path, {_SAMPLES: 1, _START: 1}, MOST_BYTES)
        if arrays is not None and len(arrays[_START]) == 1:
            sound = arrays[_SAMPLES].astype(np.float32, copy=False)
            _used(path)
            return Finished(int(arrays[_START][0]), sound)
        made = make()
        start = np.array([made.start_frame], np.int64)
        self._write(path, {_SAMPLES: made.sound, _START: start}, 2 * MOST_BYTES)
        return made

    def _write(
        self, path: Path, arrays: Mapping[str, NDArray[Any]], most_bytes: int = MOST_BYTES
    ) -> None:
        with suppress(OSError):
            write_arrays(path, arrays)
            written = self._written.get(path.parent, 0)
            if written % _PRUNED_EVERY == 0:
                prune(path.parent, most_bytes)
            self._written[path.parent] = written + 1


def prune(folder: Path, most_bytes: int = MOST_BYTES) -> None:
    """Delete files not used for long, the oldest where all are too large, and unfinished ones."""
    sweep(folder)
    found = [(path, path.stat()) for path in folder.glob("[!.]*.npz")]
    total = sum(stat.st_size for _, stat in found)
    old = time.time() - OLD_SEC
    for path, stat in sorted(found, key=lambda pair: pair[1].st_mtime):
        if total <= most_bytes and stat.st_mtime >= old:
            return
        path.unlink(missing_ok=True)
        total -= stat.st_size


def _used(path: Path) -> None:
    with suppress(OSError):
        os.utime(path)


def _read(path: Path) -> SpokenSound | None:
    arrays = read_arrays(path, {_SAMPLES: 1, _RATE: 1}, MOST_BYTES)
    if arrays is None or len(arrays[_RATE]) != 1 or arrays[_SAMPLES].dtype != np.int16:
        return None
    rate_hz = float(arrays[_RATE][0])
    return SpokenSound(arrays[_SAMPLES], int(rate_hz)) if 8_000 <= rate_hz <= 96_000 else None
