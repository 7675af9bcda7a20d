"""What the voice program said, kept between runs and named by what it was asked.

A file that is missing or broken is made again; a folder that cannot be written is done
without.
"""

import os
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

import numpy as np

from tapscore.disc.ours import read_arrays, write_arrays
from tapscore.exports.audio.voice.program import Spoken, VoiceProgram, speak

MOST_BYTES = 100_000_000
_RATE = "rate_hz"
_SAMPLES = "samples"
_PRUNED_EVERY = 200


def cache_folder() -> Path:
    """Where the files are: ``TAPSCORE_VOICE_CACHE`` if set, else the platform's place."""
    chosen = os.environ.get("TAPSCORE_VOICE_CACHE")
    if chosen:
        return Path(chosen)
    from platformdirs import user_cache_path

    return user_cache_path("tapscore", appauthor=False) / "voice"


class KeptSpeech:
    """Asks the program only for what it has not said before."""

    def __init__(self, program: VoiceProgram) -> None:
        self._program = program
        self._folder = cache_folder()
        self._written = 0

    def say(self, text: str, *, voice: str, words_a_minute: int) -> Spoken:
        """What the program says.  Raises VoiceMissing if it cannot."""
        written = repr((self._program.version, voice, words_a_minute, text))
        path = self._folder / f"{sha256(written.encode()).hexdigest()[:40]}.npz"
        kept = _read(path)
        if kept is not None:
            return kept
        spoken = speak(self._program, text, voice=voice, words_a_minute=words_a_minute)
        self._write(path, spoken)
        return spoken

    def _write(self, path: Path, spoken: Spoken) -> None:
        with suppress(OSError):
            rate = np.array([spoken.rate_hz], np.int64)
            write_arrays(path, {_SAMPLES: spoken.samples, _RATE: rate})
            if self._written % _PRUNED_EVERY == 0:
                prune(self._folder)
            self._written += 1


def prune(folder: Path, most_bytes: int = MOST_BYTES) -> None:
    """Delete the oldest files where all together are too large."""
    found = [(path, path.stat()) for path in folder.glob("[!.]*.npz")]
    total = sum(stat.st_size for _, stat in found)
    for path, stat in sorted(found, key=lambda pair: pair[1].st_mtime):
        if total <= most_bytes:
            return
        path.unlink(missing_ok=True)
        total -= stat.st_size


def _read(path: Path) -> Spoken | None:
    arrays = read_arrays(path, {_SAMPLES: 1, _RATE: 1}, MOST_BYTES)
    if arrays is None or len(arrays[_RATE]) != 1 or arrays[_SAMPLES].dtype != np.int16:
        return None
    rate_hz = float(arrays[_RATE][0])
    return Spoken(arrays[_SAMPLES], int(rate_hz)) if 8_000 <= rate_hz <= 96_000 else None
