"""Sounds mixed into files, each twice: to find the one gain that all are given, and to be written.

So quiet and loud keep their distance from file to file.  Each is written with an encoder in a
process of its own.
"""

import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from contextlib import contextmanager
from pathlib import Path
from threading import Event
from typing import TypeVar

from attrs import evolve, frozen

from tapscore.exports.audio.encode import AudioFormat, lossy, to_frames
from tapscore.exports.audio.guide import GuideCancelled
from tapscore.exports.audio.levels import (
    Levels,
    LoudnessMeter,
    PeakMeter,
    dbtp,
    safe_gain_db,
)
from tapscore.exports.audio.mix import CHANNELS, mixed_blocks
from tapscore.exports.audio.plan import PlacedSound
from tapscore.exports.audio.proof import Proof
from tapscore.exports.audio.sound import amplitude
from tapscore.exports.audio.sound_file import open_sound_file
from tapscore.exports.audio.tags import Tags

T = TypeVar("T")
AT_A_TIME = min(os.cpu_count() or 2, 4) + 1
"""One more than there are processors for: while one file's cover is drawn two others go on."""
PLANNED = 0.15
"""The share of the work that is done when all sounds are planned."""
_MEASURED = 0.4


@frozen(eq=False)
class Job:
    """One file to be mixed."""

    sounds: tuple[PlacedSound, ...]
    length_frames: int
    tags: Tags
    file_name: str
    cover_png: Callable[[], bytes] | None = None
    """Draws the picture of the cover, where the tags have none, when the file is written."""


@frozen
class Mixed:
    """What came of it, before any lossy encoding."""

    jobs: tuple[Job, ...]
    gain_db: float
    levels: Levels
    """How loud the first is and how high the highest of all, before the gain."""


def mix_all(coming: Iterable[Job], folder: Path, format: AudioFormat, look: "Look") -> Mixed:
    """Write every job into ``folder``, all with one gain: the first is as loud as it should be.

    Each is measured as soon as it comes, beside the planning of the next.  Raises GuideCancelled,
    GuideUnfit where a sound would be missing, OSError, and what ``coming`` raises; what was
    written by then is of no use.
    """
    jobs, levels = _measured(coming, look)
    # the whole story to its loudness, or less where any version would go too high
    gain_db = safe_gain_db(levels, lossy=lossy(format))
    _write_all(jobs, folder, format, gain_db, look)
    return Mixed(tuple(jobs), gain_db, levels)


@frozen
class Look:
    """Tells how far it is, and asks whether to stop."""

    progress: Callable[[float], None]
    cancelled: Callable[[], bool]

    def at(self, share: float) -> None:
        """So much of the work is done.  Raises GuideCancelled."""
        if self.cancelled():
            raise GuideCancelled
        self.progress(share)


@frozen
class _Done:
    """Frames that are finished, counted by all threads."""

    counts: list[int]
    stop: Event

    def add(self, index: int, count: int) -> None:
        self.counts[index] += count
        if self.stop.is_set():
            raise GuideCancelled


def _measured(coming: Iterable[Job], look: Look) -> tuple[list[Job], Levels]:
    jobs: list[Job] = []
    done = _Done([], Event())
    first = LoudnessMeter(CHANNELS)
    peaks = [0.0]

    def measure(index: int) -> None:
        # a file that is no higher than another need not be looked at closely
        meter = PeakMeter(CHANNELS, max(peaks)) if index else first
        for block in mixed_blocks(jobs[index].sounds, jobs[index].length_frames):
            meter.add(block)
            done.add(index, block.shape[1])
        peaks.append(meter.peak())

    with _pool(done) as pool:
        measured: list[Future[None]] = []
        for index, job in enumerate(coming):
            jobs.append(job)
            done.counts.append(0)
            measured.append(pool.submit(measure, index))
        _await(measured, jobs, done, look, (PLANNED, _MEASURED))
    return jobs, evolve(first.levels(), true_peak_dbtp=dbtp(max(peaks)))


def _write_all(
    jobs: Sequence[Job], folder: Path, format: AudioFormat, gain_db: float, look: Look
) -> None:
    factor = amplitude(gain_db)

    done = _Done([0] * len(jobs), Event())

    def write(index: int) -> None:
        job = jobs[index]
        proof = Proof(job.sounds)
        tags = job.tags
        if job.cover_png is not None:
            tags = evolve(tags, cover_png=job.cover_png())
        with open_sound_file(folder / job.file_name, format, tags) as put:
            for block in mixed_blocks(job.sounds, job.length_frames):
                put(proof.add(to_frames(block, factor)))
                done.add(index, block.shape[1])
        proof.end()

    longest_first = sorted(range(len(jobs)), key=lambda i: -jobs[i].length_frames)
    with _pool(done) as pool:
        written = [pool.submit(write, index) for index in longest_first]
        _await(written, jobs, done, look, (_MEASURED, 1.0))


@contextmanager
def _pool(done: _Done) -> Iterator[ThreadPoolExecutor]:
    """Threads; at the first error, or if cancelled, their work is stopped before it is told."""
    with ThreadPoolExecutor(AT_A_TIME, thread_name_prefix="rehearsal") as pool:
        try:
            yield pool
        except BaseException:
            done.stop.set()
            pool.shutdown(wait=True, cancel_futures=True)
            raise


def _await(
    work: Sequence[Future[T]],
    jobs: Sequence[Job],
    done: _Done,
    look: Look,
    shares: tuple[float, float],
) -> None:
    """Wait until all is done, saying how far it is from the first share to the second."""
    total = sum(job.length_frames for job in jobs)
    pending = set(work)
    while pending:
        finished, pending = wait(pending, timeout=0.1, return_when=FIRST_COMPLETED)
        for future in finished:
            future.result()
        look.at(shares[0] + (shares[1] - shares[0]) * min(sum(done.counts) / total, 1.0))
