"""How fast a story is read, performed and checked, against music21 in the same run.

    python tests/benchmarks/spine_speed.py

Prints milliseconds and ratios; nothing is asserted, as times depend on the machine.
"""

import gc
import os
import subprocess
import sys
from collections.abc import Callable
from importlib import import_module
from random import Random
from time import perf_counter, process_time
from typing import Any

from tapscore.checks.metre import accent_on_beat, bars_full, pickup_joins
from tapscore.checks.registry import check
from tapscore.checks.rule import Scene
from tapscore.model.lane import laid_out
from tapscore.model.story import Line
from tapscore.resources import demo_stories
from tapscore.rhythm import layout
from tapscore.rhythm.perform import perform
from tapscore.storyfile.read import read_text
from tapscore.storyfile.write import write_story
from tests.forgetting import forget_all

LINES, SYLLABLES = 100, 12
METRE_RULES = (bars_full.RULE, pickup_joins.RULE, accent_on_beat.RULE)


def story_text(lines: int = LINES, seed: int = 1) -> str:
    """A story of 12 taps a line: no two lines alike, half of them slowing, swells in a fifth."""
    random = Random(seed)
    parts = ["tapscore: 2\ntitle: Long\nmetre: 6/8\ntempo: 54\nroles: {leader: {}}\n"]
    parts.append("story:\n  - section: One\n    lines:\n")
    for number in range(lines):
        words = " ".join(random.choice(["la", "row-ing", "boat"]) for _ in range(SYLLABLES))
        syllables = words.replace("-", " ").split()[:SYLLABLES]
        steps = ["x"] * SYLLABLES + ["."] * 6
        random.shuffle(steps)
        bars = [" ".join(steps[i : i + 6]) for i in range(0, 18, 6)]
        parts.append(
            f'      - words: {" ".join(syllables)}\n        lane: "| {" | ".join(bars)} |"\n'
        )
        if number % 2:
            parts.append(f"        tempo: 54 to {random.randint(38, 50)}\n")
        if number % 5 == 0:
            parts.append("        loudness: quiet to loud\n")
    return "".join(parts)


def forget() -> None:
    """Empty the caches, so that every round does all the work again."""
    forget_all()
    laid_out.cache_clear()
    layout.tap_levels.cache_clear()
    layout._lane_layout.cache_clear()


def best_ms(work: Callable[[], object], rounds: int = 15) -> float:
    """The shortest of several rounds, in milliseconds of this process's own time."""
    times = []
    for _ in range(rounds):
        forget()
        gc.collect()
        start = process_time()
        work()
        times.append(process_time() - start)
    return min(times) * 1000


def ours(text: str) -> object:
    """Read, perform and check the metre."""
    story = read_text(text).story
    assert story is not None
    return check(Scene(story, perform(story)), METRE_RULES)


def ours_with_taps(text: str) -> object:
    """The same, with every tap and syllable made, too."""
    story = read_text(text).story
    assert story is not None
    performance = perform(story)
    return performance.taps, check(Scene(story, performance), METRE_RULES)


def with_music21(text: str, *, bars_only: bool = False) -> object:
    """The same story built by music21, with its bars and beat strengths looked at.

    Words, tempos and the second of every note come with it, as in our performance, unless
    ``bars_only``.  Reading the file is ours in both.
    """
    music21: Any = import_module("music21")
    story = read_text(text).story
    assert story is not None
    part = music21.stream.Part()
    for line in story.sections[0].items:
        assert isinstance(line, Line)
        assert line.lane is not None
        syllables = iter(line.syllables)
        for number, bar in enumerate(line.lane.bars):
            measure = music21.stream.Measure()
            measure.timeSignature = music21.meter.TimeSignature("6/8")
            if not number and line.manner.tempo and not bars_only:
                mark = music21.tempo.MetronomeMark(
                    number=float(line.manner.tempo.start), referent=1.5
                )
                measure.insert(0, mark)
            for (cell,) in bar:
                kind = music21.note.Unpitched if cell.mark.tapped else music21.note.Rest
                note = kind(quarterLength=0.5)
                if cell.mark.said and not bars_only:
                    note.addLyric(next(syllables).text)
                measure.append(note)
            part.append(measure)
    found: list[object] = []
    for measure in part.getElementsByClass("Measure"):
        found.append(measure.barDurationProportion())
        found += [note.beatStrength for note in measure.notes]
    if not bars_only:
        found.append(part.flatten().secondsMap)
    return found


def process_ms(*command: str, rounds: int = 11) -> float:
    """The shortest time of a whole process, with bytecode as after an installation."""
    environment = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    times = []
    for _ in range(rounds):
        start = perf_counter()
        subprocess.run([sys.executable, *command], check=True, capture_output=True, env=environment)
        times.append(perf_counter() - start)
    return min(times) * 1000


def main() -> None:
    """Run everything and print it."""
    text = story_text()
    source = read_text(text)
    story = source.story
    assert story is not None
    performance = perform(story)
    print(f"{LINES} lines, {len(performance.taps)} taps, {len(source.findings)} findings")
    print(f"  read                 {best_ms(lambda: read_text(text)):8.1f} ms")
    print(f"  perform              {best_ms(lambda: perform(story)):8.1f} ms")
    print(f"    and every tap      {best_ms(lambda: perform(story).taps):8.1f} ms")
    metre = best_ms(lambda: check(Scene(story, performance), METRE_RULES))
    print(f"  check the metre      {metre:8.1f} ms")
    whole = best_ms(lambda: ours(text))
    print(f"  all three            {whole:8.1f} ms")
    taps = best_ms(lambda: ours_with_taps(text))
    print(f"    and every tap      {taps:8.1f} ms")
    notes = best_ms(lambda: with_music21(text), rounds=3)
    print(f"  the same in music21  {notes:8.1f} ms   {notes / whole:.0f} x ours (wanted: 20 x)")
    print(f"                                      {notes / taps:.0f} x ours with every tap")
    bars = best_ms(lambda: with_music21(text, bars_only=True), rounds=3)
    print(f"    its bars alone     {bars:8.1f} ms   {bars / whole:.0f} x ours")
    print(f"  write, nothing new   {best_ms(lambda: write_story(story)):8.1f} ms")

    demo = str(next(path for path in demo_stories() if "lantern" in path.name))
    bare = process_ms("-c", "import ruamel.yaml, attrs")
    checked = process_ms("-m", "tapscore", "check", demo)
    helped = process_ms("-m", "tapscore", "--help")
    print("\nwhole processes")
    print(f"  Python with ruamel.yaml and attrs  {bare:6.0f} ms")
    ratio = checked / bare
    print(f"  tapscore check (demo)              {checked:6.0f} ms   {ratio:.2f} x (at most 3 x)")
    print(f"  tapscore --help                    {helped:6.0f} ms   {helped / bare:.2f} x")


if __name__ == "__main__":
    main()
