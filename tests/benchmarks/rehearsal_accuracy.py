"""How well rehearsals are heard on boards and stories that nothing was learned from.

``python tests/benchmarks/rehearsal_accuracy.py [WHAT] [COUNT] [FIRST]`` makes COUNT simulated
rehearsals (100 unless said, five levels of speech in turn) and half as many recordings that don't
hold their story; prints shares by level, a table of reliability with counts, and what was said
falsely.  WHAT: ``here``, ``elsewhere`` (the second simulator), ``third``, ``others``,
``lookalikes``; all unless said.  ``... speed`` measures CPU and memory of ten minutes of sound in a
fresh process.
"""

import resource
import subprocess
import sys
import tempfile
import time
from collections import defaultdict
from collections.abc import Iterable, Sequence
from itertools import pairwise
from pathlib import Path

import numpy as np

from tapscore.model.story import Story
from tapscore.rehearsal.bands import BandLevels
from tapscore.rehearsal.confidence import stands_between
from tapscore.rehearsal.listen import listen
from tapscore.rehearsal.loudness import line_level, swelling
from tapscore.rehearsal.pace import clearly_otherwise, paused_before
from tapscore.rehearsal.told import ToldLine, ToldRehearsal
from tapscore.rehearsal.written import WrittenLine, written_lines
from tapscore.rhythm.perform import perform
from tests.rehearsal.elsewhere.only_scored import only_scored
from tests.rehearsal.elsewhere.sets import kept_elsewhere
from tests.rehearsal.rehearsals import levels
from tests.rehearsal.simulated.lookalikes import (
    drums,
    free_talk,
    hard_telling,
    same_metre,
    short_story,
    talk_in_rhythm,
    texts,
)
from tests.rehearsal.simulated.others import music, silence, talk_alone
from tests.rehearsal.simulated.recording import Scene, recorded, write
from tests.rehearsal.simulated.sets import Made, kept_apart
from tests.rehearsal.simulated.stories import KEPT_APART, a_story
from tests.rehearsal.simulated.telling import tell

BINS = (0.0, 0.1, 0.3, 0.5, 0.7, 0.8, 0.9, 0.95, 0.98, 1.01)
LINE_SEC, TAP_SEC = 0.2, 0.05
LOUDER_DB, SWELL_DB = 4.0, 6.0


class Tally:
    """What is counted by level."""

    def __init__(self) -> None:
        self.lines: list[bool] = []
        self.taps: list[bool] = []
        self.sure: list[bool] = []
        self.right_when_sure: list[bool] = []
        self.tempo_off: list[float] = []
        self.can_tell: list[bool] = []
        self.paces: list[tuple[float, float]] = []
        """Of lines said to be faster or slower: pace said, and true."""
        self.clear = 0
        self.begun_again: list[tuple[bool, bool]] = []
        """Said and true, of sure lines."""
        self.pauses: list[tuple[bool, bool]] = []
        """Said and true (a third of a second), of sure lines."""
        self.louder: list[bool] = []
        """Neighbours 4 dB apart or more: whether the louder one is told."""
        self.swells: list[bool] = []

    def add(self, made: Made, told: ToldRehearsal) -> list[tuple[float, bool]]:
        """Count one rehearsal; gives each found line's confidence and whether it is right."""
        said = []
        self.can_tell.append(told.can_tell)
        for line in told.lines:
            true = made.true[line.segment]
            right = False
            if true.told:
                taps = np.array(true.taps_sec)
                near = true.nearest(line.taps_sec) if line.found else taps
                off = line.taps_sec - near if line.found else np.full(len(taps), 9.0)
                right = abs(float(np.median(off))) < LINE_SEC
                self.lines.append(right)
                self.taps += list(np.abs(off) < TAP_SEC)
                self.sure.append(line.sure)
            if line.found:
                said.append((line.confidence, right))
            if line.sure:
                self.right_when_sure.append(right)
            if line.sure and right and true.told:
                self.tempo_off.append(abs(line.ratio / true.ratio - 1))
        self._paces(made, told)
        self._loudness(made, told)
        self.begun_again += [
            (line.begun_before_sec is not None, made.true[line.segment].begun_again)
            for line in told.lines
            if line.sure and not made.true[line.segment].also
        ]
        return said

    def _loudness(self, made: Made, told: ToldRehearsal) -> None:
        for line in told.lines:
            true_db, sounded = made.true[line.segment].swell_db, swelling(line)
            if line.sure and abs(true_db) >= SWELL_DB and sounded is not None:
                self.swells.append(sounded.db * true_db > 0)
        for before, after in pairwise(told.lines):
            one, two = line_level(before), line_level(after)
            if before.sure and after.sure and one is not None and two is not None:
                apart = made.true[after.segment].level_db - made.true[before.segment].level_db
                if abs(apart) >= LOUDER_DB:
                    self.louder.append((two.middle_db - one.middle_db) * apart > 0)

    def _paces(self, made: Made, told: ToldRehearsal) -> None:
        sure = [
            (at, written, line, 1 / made.true[line.segment].ratio)
            for at, (written, line) in enumerate(zip(made.lines, told.lines, strict=True))
            if line.sure and made.true[line.segment].told
        ]
        if len(sure) < 3 or not told.can_tell:
            return
        usual = float(np.median([1 / line.ratio for _, _, line, _ in sure]))
        usual_true = float(np.median([true for _, _, _, true in sure]))
        for at, written, line, true in sure:
            self.pauses.append((paused_before(written, line) is not None, _paused(made, line)))
            said = clearly_otherwise(written, line, usual)
            self.clear += abs(np.log(true / usual_true)) > np.log(1.25)
            if said is not None and stands_between(made.lines, told.lines, at):
                self.paces.append((said, true / usual_true))

    def row(self) -> str:
        """Shares, as a row."""
        false = sum((0.83 < true < 1.17) or (said > 1) != (true > 1) for said, true in self.paces)
        return (
            f"{len(self.lines):5} lines {np.mean(self.lines):.3f} taps {np.mean(self.taps):.3f} "
            f"sure {np.mean(self.sure):.3f} "
            f"right when sure {np.mean(self.right_when_sure or [False]):.4f} "
            f"({sum(not right for right in self.right_when_sure)} wrong) tempo off "
            f"{100 * np.median(self.tempo_off or [9.99]):.2f} / "
            f"{100 * np.percentile(self.tempo_off or [9.99], 95):.2f} % "
            f"can tell {np.mean(self.can_tell):.2f} faster/slower {len(self.paces)} "
            f"(a quarter off or more: {self.clear}), false {false}"
            f"\n    begun again: {sum(said and true for said, true in self.begun_again)} said of "
            f"{sum(true for _, true in self.begun_again)}, "
            f"{sum(said and not true for said, true in self.begun_again)} said falsely; pauses: "
            f"{sum(said and true for said, true in self.pauses)} said of "
            f"{sum(true for _, true in self.pauses)}, "
            f"{sum(said and not true for said, true in self.pauses)} falsely; louder "
            f"neighbour right {sum(self.louder)} of {len(self.louder)}; swell's way right "
            f"{sum(self.swells)} of {len(self.swells)}"
        )


def _paused(made: Made, line: ToldLine) -> bool:
    """Whether a line was told with a third of a second or more between two of its taps too many."""
    written = next(each for each in made.lines if each.segment == line.segment)
    true = made.true[line.segment].nearest(line.taps_sec)
    gaps, told = np.diff(written.taps_sec), np.diff(true)
    return bool(len(gaps) and (told - np.median(told / gaps) * gaps).max() >= 1 / 3)


def accuracy(every: Iterable[Made]) -> None:
    """Rehearsals by level."""
    tallies: dict[str, Tally] = defaultdict(Tally)
    said: list[tuple[float, bool]] = []
    used = sounded = 0.0
    for made in every:
        begin = time.process_time()
        told = listen(made.levels, made.lines)
        used += time.process_time() - begin
        sounded += made.levels.length_sec
        said += tallies[made.scene.level].add(made, told)
    for level in sorted(tallies):
        print(level, tallies[level].row(), flush=True)
    print("confidence  lines  right  said")
    for low, high in pairwise(BINS):
        inside = [(sure, right) for sure, right in said if low <= sure < high]
        if inside:
            sure, right = np.mean(inside, axis=0)
            print(f"{low:.2f}-{min(high, 1):.2f} {len(inside):7} {right:6.3f} {sure:6.3f}")
    print(f"{60 * used / sounded:.2f} s CPU a minute of sound, after its levels")


def others(count: int, first: int) -> None:
    """Recordings that don't hold the story: how many are called so."""
    wrong: dict[str, int] = defaultdict(int)
    for n in range(first, first + count):
        story = a_story(5_000 + n, KEPT_APART)
        performance = perform(story)
        lines = written_lines(performance)
        scene = Scene("board model", ("L0", "L1", "L2", "L3", "L4")[n % 5], 7_000 + n)
        another = recorded(tell(perform(_another(story, 6_000 + n)), n), scene)
        sounds = {
            "another story": another,
            "music": music(8_000 + n),
            "silence": silence(8_000 + n),
            "talk alone": talk_alone(performance, 8_000 + n),
        }
        for name, sound in sounds.items():
            wrong[name] += _can_tell(levels(sound), lines)
    for name, number in wrong.items():
        print(f"{name}: can't tell in {count - number} of {count}")


def _another(story: Story, seed: int) -> Story:
    """A story that has no line in common with one: the pool of stanzas is small."""
    others = (a_story(seed + step, KEPT_APART) for step in range(0, 100_000, 1_000))
    return next(each for each in others if not texts(each) & texts(story))


def lookalikes(count: int, first: int) -> None:
    """Short stories: what is like a telling and is none, and boards unlike any learned from."""
    wrong: dict[str, int] = defaultdict(int)
    tallies: dict[str, list[int]] = defaultdict(lambda: [0, 0, 0])
    for n in range(first, first + count):
        story, level = short_story(30_000 + n), ("L0", "L1", "L2", "L3", "L4")[n % 5]
        performance = perform(story)
        lines = written_lines(performance)
        for name, sound in {
            "another story at the tempo": same_metre(story, 32_000 + n, level),
            "its words in its rhythm": talk_in_rhythm(performance, 33_000 + n),
            "its words read freely": free_talk(performance, 34_000 + n),
            "drums on its beats": drums(performance, 35_000 + n),
        }.items():
            wrong[name] += any(line.sure for line in listen(levels(sound), lines).lines)
        telling, sound = hard_telling(story, 31_000 + n, level)
        true = {line.segment: line for line in telling.lines}
        for line in listen(levels(sound), lines).lines:
            taps = np.array(true[line.segment].taps_sec)
            told = true[line.segment].told
            tally = tallies[level]
            tally[0] += told
            tally[1] += line.sure
            tally[2] += line.sure and not (
                told and abs(float(np.median(line.taps_sec - taps))) < LINE_SEC
            )
    for name, number in wrong.items():
        print(f"{name}: a sure line in {number} of {count}")
    for level, (number, sure, off) in sorted(tallies.items()):
        print(f"{level} {number} lines told, {sure} sure, {off} of them wrong")


def _can_tell(heard: BandLevels, lines: Sequence[WrittenLine]) -> bool:
    return listen(heard, lines).can_tell


def speed() -> None:
    """Ten minutes in this process, from the file on."""
    story = a_story(2_000, KEPT_APART)
    performance = perform(story)
    sound = recorded(tell(performance, 1), Scene("deep", "L2", 1))
    lines = written_lines(performance)
    times = max(round(9_600_000 / len(sound)), 1)
    last = performance.length_sec + 4
    many = [
        WrittenLine(
            line.segment, line.taps_sec, line.start_sec + n * last, line.steps, line.gap_sec or 4.0,
            line.waits_after,
        )
        for n in range(times)
        for line in lines
    ]  # fmt: skip
    with tempfile.TemporaryDirectory() as folder:
        path = write(np.tile(sound, times), Path(folder) / "long", "m4a")
        del sound
        code = "import sys; from tests.benchmarks.rehearsal_accuracy import _ten; _ten(sys.argv[1])"
        np.save(Path(folder) / "lines.npy", np.array(many, dtype=object), allow_pickle=True)
        subprocess.run([sys.executable, "-c", code, str(path)], check=True)


def _ten(name: str) -> None:
    from tapscore.rehearsal.bands import levels_of
    from tapscore.rehearsal.recording import blocks_of, look_into

    path = Path(name)
    lines = list(np.load(path.parent / "lines.npy", allow_pickle=True))
    before = time.process_time(), resource.getrusage(resource.RUSAGE_CHILDREN)
    begin = time.perf_counter()
    heard = levels_of(blocks_of(look_into(path)))
    listen(heard, lines)
    children = resource.getrusage(resource.RUSAGE_CHILDREN)
    own = time.process_time() - before[0]
    decoding = children.ru_utime + children.ru_stime
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000
    taps = sum(len(line.taps_sec) for line in lines)
    print(
        f"{heard.length_sec / 60:.1f} minutes, {len(lines)} lines, {taps} taps: CPU {own:.1f} s "
        f"and {decoding:.1f} s of ffmpeg, {time.perf_counter() - begin:.1f} s by the clock, "
        f"{peak:.0f} MB at most"
    )


if __name__ == "__main__":
    if "speed" in sys.argv:
        speed()
    else:
        what = {word for word in sys.argv[1:] if not word.isdigit()}
        what = what or {"here", "elsewhere", "third", "others", "lookalikes"}
        numbers = [int(word) for word in sys.argv[1:] if word.isdigit()]
        total = numbers[0] if numbers else 100
        start = numbers[1] if len(numbers) > 1 else 0
        if "here" in what:
            accuracy(kept_apart(total, start))
        if "elsewhere" in what:
            accuracy(kept_elsewhere(total, start))
        if "third" in what:
            accuracy(only_scored(total, start))
        if "others" in what:
            others(total // 2, start)
        if "lookalikes" in what:
            lookalikes(total // 2, start)
