"""The audio guide: clicks, taps and cues of a performance as a sound file.

It is mixed twice, once to measure and once to write with the one gain that follows, so
that quiet and loud keep their distance and no limiter is needed.
"""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

import numpy as np
from attrs import frozen
from numpy.typing import NDArray

from tapscore.exports.audio.encode import AudioFormat, lossy, to_frames
from tapscore.exports.audio.heard import AS_WRITTEN, TapsHeard
from tapscore.exports.audio.levels import Levels, LoudnessMeter, safe_gain_db
from tapscore.exports.audio.mix import CHANNELS, mixed_blocks
from tapscore.exports.audio.plan import PlacedSound, plan
from tapscore.exports.audio.proof import Proof
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ, amplitude, frames
from tapscore.exports.audio.sound_file import look_for_program, written_into
from tapscore.exports.audio.story_taps import TapsAside
from tapscore.exports.audio.tags import Tags, chapters
from tapscore.model.story import Story
from tapscore.rhythm.performance import Performance

TAIL_SEC = 0.5
"""Silence after the last beat, at the least."""

_MEASURED, _WRITTEN = 0.4, 0.8
_WRITTEN_AT_ONCE = 1.0


class GuideCancelled(Exception):  # noqa: N818 - it is no error
    """The user stopped the export; the file is left empty."""


@frozen
class AudioReport:
    """What was written."""

    length_sec: float
    integrated_lufs: float
    """Loudness of the file; ``-inf`` if it is silent or shorter than 0.4 s."""
    true_peak_dbtp: float
    """Highest peak before any lossy encoding; ``-inf`` if it is silent."""
    gain_db: float
    """The one gain that all sounds were given."""
    sample_rate_hz: int
    taps: int


def audio_guide(
    story: Story,
    performance: Performance,
    out: Path | BinaryIO,
    *,
    format: AudioFormat,
    spoken: Sequence[PlacedSound] = (),
    cover_png: bytes = b"",
    heard: TapsHeard = AS_WRITTEN,
    progress: Callable[[float], None] | None = None,
    cancelled: Callable[[], bool] | None = None,
) -> AudioReport:
    """Write the audio guide into ``out``, a path or a seekable file open for writing.

    The performance should have a count-in and its offerings shortened.  ``progress`` is
    called with 0 to 1.  ``spoken`` are words to be heard as well, and ``cover_png`` a
    picture to go into the file.  ``cancelled`` is asked before every block (about 1.4 s of sound)
    and before encoding; if it says yes, GuideCancelled is raised.  The file is left
    empty then, and after any other error.

    Raises EncoderMissing (an OSError) for M4A where ffmpeg is missing, before anything is
    written, GuideUnfit (a ValueError) where a sound would be missing, and OSError where the file
    cannot be written.
    """
    look_for_program(format)
    sounds = (*plan(story, performance, heard, TapsAside(story, heard)), *spoken)
    sounds = tuple(sorted(sounds, key=lambda placed: placed.start_frame))
    proof = Proof(sounds)
    watch = _Watch(progress or _ignore, cancelled or _never)
    length_frames = _length_frames(performance, sounds)
    written_share = _WRITTEN if lossy(format) else _WRITTEN_AT_ONCE
    with _opened(out) as file:
        meter = LoudnessMeter(CHANNELS)
        for block in watch.through(sounds, length_frames, 0.0, _MEASURED):
            meter.add(block)
        levels = meter.levels()
        gain_db = safe_gain_db(levels, lossy=lossy(format))
        tags = Tags(
            title=story.title,
            story=story.title,
            chapters=chapters(performance, length_frames / SAMPLE_RATE_HZ),
            cover_png=cover_png,
        )
        with written_into(file, format, tags) as write:
            factor = amplitude(gain_db)
            for block in watch.through(sounds, length_frames, _MEASURED, written_share):
                write(proof.add(to_frames(block, factor)))
            watch.look()
        proof.end()
        watch.reached(1.0)
    return _report(performance, levels, gain_db, length_frames)


def _report(
    performance: Performance, levels: Levels, gain_db: float, length_frames: int
) -> AudioReport:
    return AudioReport(
        length_frames / SAMPLE_RATE_HZ,
        levels.integrated_lufs + gain_db,
        levels.true_peak_dbtp + gain_db,
        gain_db,
        SAMPLE_RATE_HZ,
        len(performance.taps),
    )


def _length_frames(performance: Performance, sounds: Sequence[PlacedSound]) -> int:
    ends = (placed.end_frame for placed in sounds)
    return max([frames(performance.length_sec + TAIL_SEC), *ends])


@frozen
class _Watch:
    """Tells how far the work is, and stops it when asked."""

    _progress: Callable[[float], None]
    _cancelled: Callable[[], bool]

    def through(
        self, sounds: Sequence[PlacedSound], length_frames: int, begin: float, end: float
    ) -> Iterator[NDArray[np.float32]]:
        done = 0
        for block in mixed_blocks(sounds, length_frames):
            self.look()
            yield block
            done += block.shape[1]
            self.reached(begin + (end - begin) * done / length_frames)

    def look(self) -> None:
        if self._cancelled():
            raise GuideCancelled

    def reached(self, share: float) -> None:
        self._progress(share)


@contextmanager
def _opened(out: Path | BinaryIO) -> Iterator[BinaryIO]:
    if isinstance(out, Path):
        with out.open("wb+") as opened, _emptied_on_error(opened):
            yield opened
    else:
        with _emptied_on_error(out):
            yield out


@contextmanager
def _emptied_on_error(file: BinaryIO) -> Iterator[None]:
    try:
        yield
    except BaseException:
        with suppress(OSError):
            file.seek(0)
            file.truncate()
        raise


def _ignore(_share: float) -> None:
    pass


def _never() -> bool:
    return False
