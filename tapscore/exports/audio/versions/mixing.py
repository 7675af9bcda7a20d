"""Sounds mixed into files, each twice: to find the one gain that all are given, and to be written.

So quiet and loud keep their distance from file to file.  Two are worked on at a time, each with
an encoder in a process of its own.
"""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from math import inf
from pathlib import Path
from threading import Event

from attrs import frozen

from tapscore.exports.audio.encode import AudioFormat, lossy, to_frames
from tapscore.exports.audio.guide import GuideCancelled
from tapscore.exports.audio.levels import LevelMeter, Levels, safe_gain_db
from tapscore.exports.audio.mix import CHANNELS, mixed_blocks
from tapscore.exports.audio.plan import PlacedSound
from tapscore.exports.audio.proof import Proof
from tapscore.exports.audio.sound import amplitude
from tapscore.exports.audio.sound_file import open_sound_file
from tapscore.exports.audio.tags import Tags

AT_A_TIME = 2
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


@frozen
class Mixed:
    """What came of it, before any lossy encoding."""

    gain_db: float
    levels: tuple[Levels, ...]
    """Of each job, before the gain."""


def mix_all(jobs: Sequence[Job], folder: Path, format: AudioFormat, look: "Look") -> Mixed:
    """Write every job into ``folder``, all with one gain: the first is as loud as it should be.

    Raises GuideCancelled, GuideUnfit where a sound would be missing, and OSError; what was
    written by then is of no use.
    """
    levels = _measured(jobs, look)
    gain_db = _one_gain_db(levels, lossy=lossy(format))
    _write_all(jobs, folder, format, gain_db, look)
    return Mixed(gain_db, tuple(levels))


def _one_gain_db(levels: Sequence[Levels], *, lossy: bool) -> float:
    """The whole story to its loudness, or less where any version would go too high."""
    highest = max((level.true_peak_dbtp for level in levels), default=-inf)
    return safe_gain_db(Levels(levels[0].integrated_lufs, highest), lossy=lossy)


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
    """Frames that are finished, counted by both threads."""

    counts: list[int]
    stop: Event

    def add(self, index: int, count: int) -> None:
        self.counts[index] += count
        if self.stop.is_set():
            raise GuideCancelled


def _measured(jobs: Sequence[Job], look: Look) -> list[Levels]:
    def measure(index: int, done: _Done) -> Levels:
        meter = LevelMeter(CHANNELS)
        for block in mixed_blocks(jobs[index].sounds, jobs[index].length_frames):
            meter.add(block)
            done.add(index, block.shape[1])
        return meter.levels()

    return list(_two_at_a_time(jobs, measure, look, PLANNED, _MEASURED))


def _write_all(
    jobs: Sequence[Job], folder: Path, format: AudioFormat, gain_db: float, look: Look
) -> None:
    factor = amplitude(gain_db)

    def write(index: int, done: _Done) -> Levels:
        job = jobs[index]
        proof = Proof(job.sounds)
        with open_sound_file(folder / job.file_name, format, job.tags) as put:
            for block in mixed_blocks(job.sounds, job.length_frames):
                put(proof.add(to_frames(block, factor)))
                done.add(index, block.shape[1])
        proof.end()
        return Levels(-inf, -inf)

    for _ in _two_at_a_time(jobs, write, look, _MEASURED, 1.0):
        pass


def _two_at_a_time(
    jobs: Sequence[Job],
    work: Callable[[int, _Done], Levels],
    look: Look,
    begin: float,
    end: float,
) -> Iterator[Levels]:
    """Do ``work`` for every job, the longest first; results in the order of the jobs.

    At the first error, or if cancelled, the other work is stopped before it is passed on.
    """
    total = sum(job.length_frames for job in jobs)
    done = _Done([0] * len(jobs), Event())
    longest_first = sorted(range(len(jobs)), key=lambda i: -jobs[i].length_frames)
    with ThreadPoolExecutor(AT_A_TIME, thread_name_prefix="rehearsal") as pool:
        coming: dict[int, Future[Levels]] = {i: pool.submit(work, i, done) for i in longest_first}
        try:
            pending = set(coming.values())
            while pending:
                finished, pending = wait(pending, timeout=0.1, return_when=FIRST_COMPLETED)
                for future in finished:
                    future.result()
                look.at(begin + (end - begin) * min(sum(done.counts) / total, 1.0))
        except BaseException:
            done.stop.set()
            pool.shutdown(wait=True, cancel_futures=True)
            raise
    for index in range(len(jobs)):
        yield coming[index].result()
