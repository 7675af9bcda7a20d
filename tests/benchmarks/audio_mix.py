"""How fast and in how much memory the audio guide is mixed; run by hand.

``python tests/benchmarks/audio_mix.py`` compares 300 s with 2,000 taps, mixed by the
project, with pydub's ``overlay`` a tap at a time (a part of the taps, and the whole
reckoned from it) in the same run, and the whole guide as a file with its peak memory.
"""

import multiprocessing
import resource
import tempfile
import time
import warnings
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import numpy as np

from tapscore.exports.audio.encode import AudioFormat, to_frames
from tapscore.exports.audio.guide import audio_guide
from tapscore.exports.audio.mix import mixed_blocks
from tapscore.exports.audio.plan import PlacedSound, plan
from tapscore.exports.audio.sound import SAMPLE_RATE_HZ
from tapscore.model.lane import Cell, Lane, Mark
from tapscore.model.loudness import Loudness
from tapscore.model.manner import PartialManner
from tapscore.model.story import Line, Role, Section, Story
from tapscore.model.strokes import Stroke
from tapscore.model.tempo import Tempo
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Performance

LENGTH_SEC = 300
TAPS = 2_000
OVERLAID_TAPS = 60


def long_story() -> Story:
    """2,000 taps in 300 s: 250 bars of 4/4 at 200, a line every two bars, eight taps a bar."""
    bar = tuple((Cell(Mark.TAP_ALONE),) for _ in range(8))
    lines = [
        Line(
            "",
            Lane((), (bar, bar)),
            PartialManner(
                stroke=list(Stroke)[i % len(Stroke)],
                loudness=(Loudness(i % 5), Loudness((i + 2) % 5)),
                by=("leader", "helper")[i % 2 : i % 2 + 1],
            ),
        )
        for i in range(125)
    ]
    return Story(
        "Benchmark",
        manner=PartialManner(tempo=Tempo(Fraction(200))),
        roles=(Role("leader"), Role("helper")),
        sections=(Section("", tuple(lines)),),
    )


def seconds_of(work: Callable[[], object]) -> float:
    """Seconds that some work takes, the best of three."""
    found = []
    for _ in range(3):
        begun = time.perf_counter()
        work()
        found.append(time.perf_counter() - begun)
    return min(found)


def mix_all(sounds: tuple[PlacedSound, ...]) -> None:
    """Mix and make frames, as for a file."""
    for block in mixed_blocks(sounds, LENGTH_SEC * SAMPLE_RATE_HZ):
        to_frames(block, 0.1)


def overlay_sec(sounds: tuple[PlacedSound, ...]) -> float:
    """Seconds of CPU for pydub to overlay all the taps, reckoned from the first few."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from pydub import AudioSegment  # type: ignore[import-untyped]

    whole = AudioSegment.silent(LENGTH_SEC * 1000, SAMPLE_RATE_HZ).set_channels(2)
    clips = []
    for placed in sounds[:OVERLAID_TAPS]:
        pair = np.stack((placed.samples * placed.left, placed.samples * placed.right))
        data = to_frames(pair, 0.1).tobytes()
        clip = AudioSegment(data=data, sample_width=2, frame_rate=SAMPLE_RATE_HZ, channels=2)
        clips.append((clip, placed.start_frame / SAMPLE_RATE_HZ * 1000))
    begun = time.process_time()
    for clip, at_ms in clips:
        whole = whole.overlay(clip, position=round(at_ms))
    return (time.process_time() - begun) / len(clips) * len(sounds)


def report_guide(kind: AudioFormat) -> None:
    """Make one guide in a process of its own, and say its time and its peak memory."""
    told = long_story()
    performance: Performance = perform(told, count_in_bars=1)
    with tempfile.TemporaryDirectory() as folder:
        begun = time.perf_counter()
        made = audio_guide(told, performance, Path(folder) / f"guide.{kind}", format=kind)
        spent = time.perf_counter() - begun
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(
        f"whole guide, {kind}: {made.length_sec:.0f} s of sound in {spent:.2f} s, "
        f"{made.length_sec / spent:.0f} x real time, peak memory {peak_mb:.0f} MB "
        f"({made.integrated_lufs:.1f} LUFS, {made.true_peak_dbtp:.1f} dBTP)"
    )


def main() -> None:
    """Print the figures; the guides first, as a new process inherits the old one's peak."""
    spawn = multiprocessing.get_context("spawn")
    for kind in ("wav", "mp3"):
        process = spawn.Process(target=report_guide, args=(kind,))
        process.start()
        process.join()
    performance = perform(long_story())
    begun = time.perf_counter()
    sounds = tuple(plan(long_story(), performance))
    planned = time.perf_counter() - begun
    taps = sounds[:TAPS]
    mixed = seconds_of(lambda: mix_all(sounds))
    overlaid = overlay_sec(taps)
    print(f"{len(performance.taps)} taps, {performance.length_sec:.0f} s")
    print(f"sounds made and placed, cold: {planned:.2f} s")
    print(f"mix: {mixed:.3f} s, {LENGTH_SEC / mixed:.0f} x real time (target 100)")
    print(f"with sounds made cold: {LENGTH_SEC / (mixed + planned):.0f} x real time")
    print(f"pydub overlay: {overlaid:.1f} s, {LENGTH_SEC / overlaid:.1f} x real time")
    print(f"the mix is {overlaid / (mixed + planned):.0f} x as fast (target 50)")


if __name__ == "__main__":
    main()
