"""Every figure of speed, into one page: ``python -m tests.benchmarks.run_all [--rounds N]``.

Each figure of each round is a process of its own with a story of its own and empty caches; the
page (``speed.md``, beside this file) has medians, CPU beside the clock, and says when, on which
commit and machine, how busy that was, and which figures had fewer rounds.  A figure that fails
is said on the page, and the others go on.  ``--minutes`` bounds it all: 25 on a still machine.
"""

import argparse
import json
import os
import platform
import resource
import subprocess
import sys
import sysconfig
import tempfile
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime
from math import isnan, log10, nan
from pathlib import Path
from statistics import median
from time import perf_counter

from tapscore.resources import demo_stories
from tapscore.workflow.products import EXPORT_NAMES
from tapscore.workflow.sound_products import SOUND_EXPORTS

PAGE = Path(__file__).parent / "speed.md"
LENGTHS = (10, 100, 1000)
HEARD = {each.name: (10, 30) for each in SOUND_EXPORTS} | {"audio-guide": (10, 400)}
"""A thousand lines of these last hours to listen to; 400 of the guide more than one."""
LONG_SEC, VERY_LONG_SEC = 3.0, 25.0
"""A round that takes longer is made three times; once."""
GIVEN_UP_SEC = 400.0
STARTS = 15
"""Rounds of starting: they take a tenth of a second, of which the machine's mood is a fifth."""
Figure = dict[str, float]


class Failed(dict[str, float]):
    """A figure that could not be had: every number of it is none."""

    def __missing__(self, name: str) -> float:
        return nan


class Bench:
    """Runs figures, so many rounds each; remembers which had fewer, and which failed."""

    def __init__(self, rounds: int, minutes: float) -> None:
        self._rounds = rounds
        self._seed = 1000
        self._end = perf_counter() + 60 * minutes
        self._fewer: dict[int, list[str]] = {}
        self._failures: list[str] = []

    def figure(self, name: str, lines: int = 0) -> Figure:
        """Medians of a figure, every round with another story and empty caches."""

        def made() -> Figure:
            self._seed += 1
            with tempfile.TemporaryDirectory() as folder:
                return one(name, lines, self._seed, Path(folder))

        return self.repeated(f"{name} {lines}" if lines else name, made)

    def repeated(self, name: str, made: Callable[[], Figure], most: int = 1000) -> Figure:
        """Medians of several rounds: fewer where one takes long, or where time runs out."""
        found: list[Figure] = []
        rounds = min(self._rounds, most)
        while len(found) < rounds:
            begun = perf_counter()
            try:
                found.append(made())
            except (RuntimeError, ValueError, OSError, subprocess.SubprocessError) as error:
                self._failures.append(f"{name}: {(str(error).strip().splitlines() or ['?'])[-1]}")
                return Failed()
            took = perf_counter() - begun
            if took > LONG_SEC:
                rounds = min(rounds, 1 if took > VERY_LONG_SEC else 3)
            if perf_counter() + took > self._end:
                rounds = len(found)
        if len(found) < self._rounds:
            self._fewer.setdefault(len(found), []).append(name)
        return middle(found)

    def commands(self, *commands: tuple[str, ...]) -> list[Figure]:
        """Medians of whole processes, begun in turn: what else the machine does meets all alike."""
        with suppress(subprocess.SubprocessError):
            for words in commands:
                _process(words)  # the first writes the bytecode
        turns = [[_process(words) for words in commands] for _ in range(STARTS)]
        return [middle(list(found)) for found in zip(*turns, strict=True)]

    def remarks(self) -> list[str]:
        """Which figures so far had fewer rounds and which failed; each is said once."""
        said = []
        for count, names in sorted(self._fewer.items(), reverse=True):
            said += ["", f"Rounds: {count} of {', '.join(dict.fromkeys(names))}."]
        said += [f"\nFailed: {each}" for each in self._failures]
        self._fewer.clear()
        self._failures.clear()
        return said


def _process(words: tuple[str, ...]) -> Figure:
    """CPU and clock of one process of this interpreter."""
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), perf_counter()
    subprocess.run(
        [sys.executable, *words],
        check=True,
        capture_output=True,
        env=_environment(),
        timeout=GIVEN_UP_SEC,
    )
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return {"cpu_ms": 1000 * cpu, "wall_ms": 1000 * (perf_counter() - start)}


def one(name: str, lines: int, seed: int, caches: Path) -> Figure:
    """A figure of one process.  Raises RuntimeError if it fails."""
    environment = _environment()
    environment["XDG_CACHE_HOME"] = str(caches)
    environment["TAPSCORE_VOICE_CACHE"] = str(caches / "voice")
    words = [sys.executable, "-m", "tests.benchmarks.figures", name, str(lines), str(seed)]
    told = subprocess.run(
        words, check=False, capture_output=True, text=True, env=environment, timeout=GIVEN_UP_SEC
    )
    if told.returncode:
        raise RuntimeError(told.stderr[-2000:] or f"ended with {told.returncode}")
    found: Figure = json.loads(told.stdout.strip().splitlines()[-1])
    return found


def middle(found: list[Figure]) -> Figure:
    """The median of each number."""
    return {key: median(each[key] for each in found) for key in found[0]}


def _environment() -> dict[str, str]:
    kept = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    return {**kept, "QT_QPA_PLATFORM": "offscreen"}


def start_up(bench: Bench) -> list[str]:
    """Whole processes against a bare Python of the same interpreter."""
    demo = str(next(path for path in demo_stories() if "lantern" in path.name))
    processes = {
        "bare Python": ("-c", "pass"),
        "`import attrs, yaml` alone": ("-c", "import attrs, yaml"),
        "`import click, attrs, yaml` alone": ("-c", "import click, attrs, yaml"),
        "`tapscore --help`": ("-m", "tapscore", "--help"),
        "`tapscore check` on a demo": ("-m", "tapscore", "check", demo),
    }
    script = Path(sysconfig.get_path("scripts"), "tapscore")
    if script.is_file():
        processes["`tapscore --help`, as pip installs the command"] = (str(script), "--help")
    found = bench.commands(*processes.values())
    bare = found[0]["cpu_ms"]
    return [
        *("## Starting", ""),
        f"{STARTS} rounds; in each every process begins once, one after the other.",
        "",
        "| process | CPU ms | clock ms | x bare Python |",
        "|---|---|---|---|",
        *(
            f"| {name} | {took['cpu_ms']:.1f} | {took['wall_ms']:.0f} "
            f"| {took['cpu_ms'] / bare:.1f} |"
            for name, took in zip(processes, found, strict=True)
        ),
    ]


def stories(bench: Bench) -> list[str]:
    """Reading, performing, checking, writing."""
    lines = [
        *("## A story that is new to the process", ""),
        "| ms of CPU | 10 lines | 100 | 1,000 | exponent 100 to 1,000 |",
        "|---|---|---|---|---|",
    ]
    told = [bench.figure("spine", n) for n in LENGTHS]
    lines.append(_row("read, perform, metre rules", [each["cpu_ms"] for each in told]))
    lines.append(_row("the same without refrains, waits, board", [e["plain_ms"] for e in told]))
    lines.append(_row("music21, as much", [each["music21_ms"] for each in told]))
    changed = [bench.figure("changed_line", n) for n in LENGTHS]
    lines.append(_row("all findings, a line changed", [each["cpu_ms"] for each in changed]))
    lines.append(_row("all findings, as one types on", [each["typing_ms"] for each in changed]))
    written = [bench.figure("writing", n) for n in LENGTHS]
    lines.append(_row("write, title changed", [each["title_ms"] for each in written]))
    lines.append(_row("write, changed everywhere", [each["cpu_ms"] for each in written]))
    ratio = told[1]["music21_ms"] / told[1]["plain_ms"]
    return [*lines, "", f"At 100 lines music21 takes {ratio:.1f} times as long as we do."]


def editor(bench: Bench) -> list[str]:
    """Opening and typing, the window turning."""
    opened = [bench.figure("opening", n)["cpu_ms"] for n in LENGTHS]
    lines = [
        *("## The editor", "", "| ms of CPU | 10 lines | 100 | 1,000 | exponent |"),
        *("|---|---|---|---|---|", _row("a window opened and painted", opened), ""),
        "| typing, checks and keeping on | longest turn, CPU ms (clock) | key to row, 95 % "
        "| MB at most | without libraries' files, at the end |",
        "|---|---|---|---|---|",
    ]
    for count in (100, 500, 1000):
        told = bench.figure("typing", count)
        lines.append(
            f"| {count} lines | {told['cpu_ms']:.0f} ({told['wall_ms']:.0f}) "
            f"| {told['key_95_ms']:.1f} ms | {told['peak_mb']:.0f} | {told['own_mb']:.0f} |"
        )
    return [
        *lines,
        "",
        "Memory is all that is in use (RSS), pages of libraries' files included, which other "
        "programs may share; then what the editor holds itself.",
    ]


def spoken(bench: Bench) -> list[str]:
    """Five minutes with words."""
    lines = [
        *("## Five minutes with words", ""),
        "As MP3, turns with props lasting ten seconds. The line that is changed is a bar longer, "
        "so that all after it lies elsewhere; the set is every version of the same story.",
        "",
        *("| | clock s | CPU s | MB at most |", "|---|---|---|---|"),
    ]
    with tempfile.TemporaryDirectory() as folder:
        caches = [Path(folder) / str(number) for number in range(3)]
        for cache in caches:
            cache.mkdir()

        def row(name: str, figure: str, seed: int, emptied: bool = False) -> None:
            turns = iter(caches)

            def made() -> Figure:
                if emptied:
                    with tempfile.TemporaryDirectory() as empty:
                        return one(figure, 0, 1, Path(empty))
                return one(figure, 0, seed, next(turns))

            told = bench.repeated(name, made, most=len(caches))
            lines.append(
                f"| {name} | {told['wall_ms'] / 1000:.1f} | {told['cpu_ms'] / 1000:.1f} "
                f"| {told['peak_mb']:.0f} |"
            )

        row("audio guide, nothing kept", "spoken_guide", 1)
        row("audio guide again", "spoken_guide", 1)
        row("audio guide, a line changed", "spoken_guide", -1)
        row("rehearsal set after it", "spoken_set", 1)
        row("rehearsal set, nothing kept", "spoken_set", 1, emptied=True)
    return lines


def beside(bench: Bench) -> list[str]:
    """What others take for as much, in the same process."""
    mix, found, words = (
        bench.figure("mixing"),
        bench.figure("modes"),
        bench.figure("words_alone", 40),
    )
    cards = bench.figure("ten_cards", 30)
    lines = [
        *(
            "## Beside others",
            "",
            "| | ours, CPU ms | theirs | theirs / ours |",
            "|---|---|---|---|",
        ),
        _ratio("five minutes of 2,000 taps mixed; pydub's overlay", mix["cpu_ms"], mix["pydub_ms"]),
        _ratio(
            "modes of a board below 500 Hz; scikit-fem, as accurate",
            found["cpu_ms"],
            found["fem_ms"],
        ),
        _ratio(
            f"{words['pages']:.0f} pages of parts, cards and cue sheet; their words alone by "
            "reportlab's paragraphs",
            words["cpu_ms"],
            words["paragraphs_ms"],
        ),
        _ratio(
            f"{cards['pages']:.0f} pages of cards with tags; their words drawn by reportlab alone",
            cards["cpu_ms"],
            cards["bare_ms"],
        ),
    ]
    if words["weasyprint_ms"] > 0:
        lines.append(
            _ratio("the same words by weasyprint", words["cpu_ms"], words["weasyprint_ms"])
        )
    return lines


def products(bench: Bench) -> list[str]:
    """Every kind of file at three lengths."""
    lines = [
        *("## Files", ""),
        "music21's second opinion is counted with each file's time; it has a process of its own, "
        "whose memory (60 MB, 100 at 1,000 lines) is not in the last column.",
        "",
        "| s of CPU | 10 lines | 100 | 1,000 | exponent | MB at most |",
        "|---|---|---|---|---|---|",
    ]
    for name in EXPORT_NAMES:
        lengths = HEARD.get(name, LENGTHS)
        told = [bench.figure(name, n) for n in lengths]
        times = [each["cpu_ms"] / 1000 for each in told]
        peak = max(each["peak_mb"] for each in told)
        shown = name if name not in HEARD else f"{name} ({lengths[0]} and {lengths[1]} lines)"
        lines.append(f"{_row(shown, times, digits=2)} {peak:.0f} |")
    paper = bench.figure("all_paper", 40)
    return [
        *lines,
        "",
        f"All paper of 40 lines and six roles: {paper['cpu_ms'] / 1000:.2f} s of CPU, "
        f"{paper['called_ms'] / 1000:.2f} s of it music21's beside the making; "
        f"{paper['wall_ms'] / 1000:.2f} s by the clock, {paper['peak_mb']:.0f} MB.",
    ]


def _row(name: str, values: list[float], digits: int = 1) -> str:
    told = [_number(value, digits) for value in values] + [""] * (3 - len(values))
    grows = log10(values[2] / values[1]) if len(values) > 2 else nan
    return f"| {name} | {' | '.join(told)} | {_number(grows, 2)} |"


def _ratio(name: str, ours: float, theirs: float) -> str:
    return f"| {name} | {_number(ours, 1)} | {_number(theirs, 1)} | {_number(theirs / ours, 1)} |"


def _number(value: float, digits: int) -> str:
    return "" if isnan(value) else f"{value:.{digits}f}"


def _head(rounds: int) -> list[str]:
    commit = subprocess.run(
        ["git", "rev-parse", "--short", "HEAD"], check=False, capture_output=True, text=True
    )
    now = datetime.now(UTC).strftime("%Y-%m-%d %H:%M")
    return [
        "# Speed",
        "",
        "Written by `python -m tests.benchmarks.run_all`; not to be edited by hand.",
        "",
        f"{now} UTC, commit {commit.stdout.strip() or 'unknown'}, {os.cpu_count()} cores "
        f"({_processor()}), Python {platform.python_version()}, load before it began "
        f"{os.getloadavg()[0]:.1f}. "
        f"Medians of {rounds} rounds, or as many as are said, every round a process of its own "
        "with a story of its own and empty caches. CPU is that of the process and of the programs "
        "it calls; the clock counts what else the machine did.",
    ]


def _processor() -> str:
    with open("/proc/cpuinfo", encoding="utf-8") as file:  # noqa: PTH123
        names = [line.partition(":")[2].strip() for line in file if line.startswith("model name")]
    return names[0] if names else platform.machine()


def main() -> None:
    """Run all, and write the page."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--rounds", type=int, default=5)
    options.add_argument("--minutes", type=float, default=25.0)
    options.add_argument(
        "--only", default="", help="start_up, stories, editor, spoken, beside or products; commas"
    )
    options.add_argument("--page", type=Path, default=PAGE)
    chosen = options.parse_args()
    bench = Bench(chosen.rounds, chosen.minutes)
    parts: tuple[Callable[[Bench], list[str]], ...] = (
        *(start_up, stories, editor, spoken, beside, products),
    )
    page, begun = _head(chosen.rounds), perf_counter()
    for part in parts:
        if chosen.only and part.__name__ not in chosen.only.split(","):
            continue
        try:
            page += ["", *part(bench)]
        except Exception as error:
            page += ["", f"Failed: {part.__name__}: {error}"]
        page += bench.remarks()
        chosen.page.write_text("\n".join(page) + "\n", encoding="utf-8")
        print(f"{part.__name__}: done after {(perf_counter() - begun) / 60:.1f} min", flush=True)
    load = os.getloadavg()[1]
    page += [
        "",
        f"It took {(perf_counter() - begun) / 60:.0f} minutes; load at the end {load:.1f}.",
    ]
    chosen.page.write_text("\n".join(page) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
