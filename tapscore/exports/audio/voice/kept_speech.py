"""What the voice program said, kept between runs and named by what it was asked.

A file that is missing or broken is made again; a folder that cannot be written is done
without.
"""

import os
import tempfile
from contextlib import suppress
from hashlib import sha256
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

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
            path.parent.mkdir(parents=True, exist_ok=True)
            handle, name = tempfile.mkstemp(suffix=".part", dir=path.parent)
            try:
                with os.fdopen(handle, "wb") as file:
                    np.savez(
                        file, samples=spoken.samples, rate_hz=np.array([spoken.rate_hz], np.int64)
                    )
                Path(name).replace(path)
            finally:
                Path(name).unlink(missing_ok=True)
            if self._written % _PRUNED_EVERY == 0:
                prune(self._folder)
            self._written += 1


def prune(folder: Path, most_bytes: int = MOST_BYTES) -> None:
    """Delete the oldest files where all together are too large."""
    found = [(path, path.stat()) for path in folder.glob("*.npz")]
    total = sum(stat.st_size for _, stat in found)
    for path, stat in sorted(found, key=lambda pair: pair[1].st_mtime):
        if total <= most_bytes:
            return
        path.unlink(missing_ok=True)
        total -= stat.st_size


def _read(path: Path) -> Spoken | None:
    import zipfile

    try:
        with path.open("rb") as file, np.load(file, allow_pickle=False) as archive:
            samples: NDArray[np.int16] = archive[_SAMPLES]
            rate_hz = int(archive[_RATE][0])
    except (OSError, ValueError, EOFError, KeyError, zipfile.BadZipFile, NotImplementedError):
        return None
    if samples.dtype != np.int16 or samples.ndim != 1 or not 8_000 <= rate_hz <= 96_000:
        return None
    return Spoken(samples, rate_hz)
