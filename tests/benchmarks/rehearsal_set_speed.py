"""How long the whole set of versions of a five-minute story takes; run by hand.

``python tests/benchmarks/rehearsal_set_speed.py`` makes the set once with an empty cache
of speech and once with a full one, each in a process of its own, and says time, peak
memory (of Python; encoders beside it) and how that compares, in the same run, with the
one thing that must be done in any case: encoding so much sound, on one core.
"""

import multiprocessing
import os
import resource
import subprocess
import sys
import tempfile
import time
from fractions import Fraction
from pathlib import Path

from attrs import evolve

from tapscore.exports.audio.encode import AudioFormat, mp3_program
from tapscore.exports.audio.versions.rehearsal_set import rehearsal_set
from tapscore.model.story import Line, Section, Story
from tapscore.resources import demo_stories
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_file

LENGTH_SEC = 300
_ENDS = ("lay", "stay", "sway", "play", "bay", "way", "day", "spray")


def five_minutes() -> Story:
    """The demo story, its sections told again with other words up to five minutes."""
    path = next(path for path in demo_stories() if "lantern" in path.name)
    story = read_file(path).story
    assert story is not None
    sections: list[Section] = []
    told = story
    offer = Fraction(10)
    while perform(told, longest_offer_sec=offer).length_sec < LENGTH_SEC:
        count = len(sections)
        original = story.sections[count % len(story.sections)]
        sections.append(_with_other_words(original, count))
        told = evolve(story, sections=tuple(sections))
    return told


def _with_other_words(section: Section, count: int) -> Section:
    end = _ENDS[count // 4 % len(_ENDS)]
    items = tuple(
        evolve(item, words=" ".join([*item.words.split()[:-1], end]))
        if isinstance(item, Line) and " " in item.words
        else item
        for item in section.items
    )
    return evolve(section, title=f"{section.title} {count + 1}", items=items)


def make(kind: AudioFormat, cache: str) -> None:
    """Make one set, and say how long it took and the peak of memory."""
    os.environ["TAPSCORE_VOICE_CACHE"] = cache
    told = five_minutes()
    with tempfile.TemporaryDirectory() as folder:
        begun = time.perf_counter()
        report = rehearsal_set(told, Path(folder), format=kind)
        spent = time.perf_counter() - begun
        encode_sec = _encoding_sec(Path(folder), report.length_sec) if kind == "mp3" else 0.0
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(
        f"{kind}: {len(report.files)} files, {report.length_sec / 60:.0f} minutes of sound in "
        f"{spent:.1f} s ({report.length_sec / spent:.0f} x real time), peak memory {peak_mb:.0f} "
        f"MB, {report.integrated_lufs:.1f} LUFS, {report.true_peak_dbtp:.1f} dBTP",
        flush=True,
    )
    if encode_sec:
        print(
            f"  encoding alone, one core: {encode_sec:.1f} s; the set took "
            f"{spent / encode_sec:.2f} times that (aim: at most 30 s)",
            flush=True,
        )


def _encoding_sec(folder: Path, length_sec: float) -> float:
    wave = folder / "whole.wav"
    whole = str(folder / "sound" / "whole.mp3")
    program = [mp3_program(), "-v", "error", "-y"]
    subprocess.run([*program, "-i", whole, "-map", "0:a", str(wave)], check=True)
    seconds = (wave.stat().st_size - 44) / 4 / 48_000
    begun = time.perf_counter()
    out = str(folder / "again.mp3")
    subprocess.run([*program, "-i", str(wave), "-q:a", "4", "-threads", "1", out], check=True)
    return (time.perf_counter() - begun) / seconds * length_sec


def main() -> None:
    """Print the figures."""
    spawn = multiprocessing.get_context("spawn")
    kinds: list[AudioFormat] = ["mp3", "mp3"]
    kinds += [name for name in ("m4a", "ogg", "flac", "wav") if name in sys.argv[1:]]
    with tempfile.TemporaryDirectory() as cache:
        for kind in kinds:
            process = spawn.Process(target=make, args=(kind, cache))
            process.start()
            process.join()


if __name__ == "__main__":
    main()
