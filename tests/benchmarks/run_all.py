"""Every figure of speed, into one page: ``python -m tests.benchmarks.run_all [--rounds N]``.

Each figure of each round is a process of its own with a story of its own and empty caches; the
page (``speed.md``, beside this file) has medians, CPU beside the clock, and says when, on which
commit and machine, and how busy that was.  Half an hour with five rounds on a still machine.
"""

import argparse
import json
import os
import platform
import resource
import subprocess
import sys
import tempfile
from collections.abc import Callable
from datetime import UTC, datetime
from math import log10
from pathlib import Path
from statistics import median
from time import perf_counter

from tapscore.resources import demo_stories
from tapscore.workflow.products import EXPORT_NAMES

PAGE = Path(__file__).parent / "speed.md"
LENGTHS = (10, 100, 1000)
HEARD = ("audio-guide", "rehearsal-set")
"""A thousand lines of these last over an hour to listen to: 10 and 100 are made."""
Figure = dict[str, float]


class Bench:
    """Runs figures, so many rounds each."""

    def __init__(self, rounds: int) -> None:
        self._rounds = rounds
        self._seed = 1000

    def figure(self, name: str, lines: int = 0, *, rounds: int = 0) -> Figure:
        """Medians of a figure, every round with another story and empty caches."""
        found = []
        for _ in range(rounds or self._rounds):
            self._seed += 1
            with tempfile.TemporaryDirectory() as folder:
                found.append(one(name, lines, self._seed, Path(folder)))
        return middle(found)

    def command(self, *words: str) -> Figure:
        """Medians of a whole process."""
        found = []
        for _ in range(2 * self._rounds + 1):
            before, start = resource.getrusage(resource.RUSAGE_CHILDREN), perf_counter()
            subprocess.run(
                [sys.executable, *words], check=False, capture_output=True, env=_environment()
            )
            after = resource.getrusage(resource.RUSAGE_CHILDREN)
            cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
            found.append({"cpu_ms": 1000 * cpu, "wall_ms": 1000 * (perf_counter() - start)})
        return middle(found[1:])  # the first writes the bytecode


def one(name: str, lines: int, seed: int, caches: Path) -> Figure:
    """A figure of one process."""
    environment = _environment()
    environment["XDG_CACHE_HOME"] = str(caches)
    environment["TAPSCORE_VOICE_CACHE"] = str(caches / "voice")
    words = [sys.executable, "-m", "tests.benchmarks.figures", name, str(lines), str(seed)]
    told = subprocess.run(words, check=False, capture_output=True, text=True, env=environment)
    if told.returncode:
        raise RuntimeError(f"{name} {lines}: {told.stderr[-2000:]}")
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
    bare = bench.command("-c", "pass")["cpu_ms"]
    lines = [
        "## Starting",
        "",
        "| process | CPU ms | clock ms | x bare Python |",
        "|---|---|---|---|",
    ]
    for name, words in (
        ("bare Python", ("-c", "pass")),
        ("`import click, attrs, yaml` alone", ("-c", "import click, attrs, yaml")),
        ("`tapscore --help`", ("-m", "tapscore", "--help")),
        ("`tapscore check` on a demo", ("-m", "tapscore", "check", demo)),
    ):
        took = bench.command(*words)
        lines.append(
            f"| {name} | {took['cpu_ms']:.0f} | {took['wall_ms']:.0f} "
            f"| {took['cpu_ms'] / bare:.1f} |"
        )
    return lines


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
    changed = [bench.figure("changed_line", n)["cpu_ms"] for n in LENGTHS]
    lines.append(_row("all findings, a line changed", changed))
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
        *("| typing, checks and keeping on | longest turn, CPU ms (clock) | key to row, 95 % |",),
        "|---|---|---|",
    ]
    for count in (100, 500, 1000):
        told = bench.figure("typing", count)
        lines.append(
            f"| {count} lines | {told['cpu_ms']:.0f} ({told['wall_ms']:.0f}) "
            f"| {told['key_95_ms']:.1f} ms |"
        )
    return lines


def products(bench: Bench, rounds: int) -> list[str]:
    """Every kind of file at three lengths."""
    lines = [
        *("## Files", "", "| s of CPU | 10 lines | 100 | 1,000 | exponent | MB at most |"),
        "|---|---|---|---|---|---|",
    ]
    for name in EXPORT_NAMES:
        lengths = LENGTHS[:2] if name in HEARD else LENGTHS
        told = [bench.figure(name, n, rounds=rounds) for n in lengths]
        times = [each["cpu_ms"] / 1000 for each in told]
        peak = max(each["peak_mb"] for each in told)
        lines.append(f"{_row(name, times, digits=2)} {peak:.0f} |")
    paper = bench.figure("all_paper", 40)
    cards = bench.figure("ten_cards", 30)
    return [
        *lines,
        "",
        f"All paper of 40 lines and six roles: {paper['cpu_ms'] / 1000:.2f} s of CPU, "
        f"{paper['peak_mb']:.0f} MB. {cards['pages']:.0f} pages of cards with tags: "
        f"{cards['cpu_ms']:.0f} ms, {cards['cpu_ms'] / cards['bare_ms']:.1f} times their words "
        "drawn by reportlab alone.",
    ]


def spoken(rounds: int) -> list[str]:
    """Five minutes with words."""
    lines = ["## Five minutes with words", "", "| | clock s | CPU s | MB |", "|---|---|---|---|"]
    runs: dict[str, list[Figure]] = {}
    for number in range(rounds):
        with tempfile.TemporaryDirectory() as folder:
            caches = Path(folder)
            for name, figure, seed in (
                ("audio guide, nothing kept", "spoken_guide", number + 1),
                ("audio guide again", "spoken_guide", number + 1),
                ("audio guide, a line changed", "spoken_guide", -1),
                ("rehearsal set after it", "spoken_set", 1),
            ):
                runs.setdefault(name, []).append(one(figure, 0, seed, caches))
        with tempfile.TemporaryDirectory() as folder:
            cold = one("spoken_set", 0, 1, Path(folder))
            runs.setdefault("rehearsal set, nothing kept", []).append(cold)
    for name, found in runs.items():
        told = middle(found)
        lines.append(
            f"| {name} | {told['wall_ms'] / 1000:.1f} | {told['cpu_ms'] / 1000:.1f} "
            f"| {told['peak_mb']:.0f} |"
        )
    return lines


def _row(name: str, values: list[float], digits: int = 1) -> str:
    told = [f"{value:.{digits}f}" for value in values] + [""] * (3 - len(values))
    grows = f"{log10(values[2] / values[1]):.2f}" if len(values) > 2 else ""
    return f"| {name} | {' | '.join(told)} | {grows} |"


def _head(rounds: int) -> list[str]:
    commit = subprocess.run(
        ["git", "rev-parse", "--short", "HEAD"], check=True, capture_output=True, text=True
    )
    now = datetime.now(UTC).strftime("%Y-%m-%d %H:%M")
    return [
        "# Speed",
        "",
        "Written by `python -m tests.benchmarks.run_all`; not to be edited by hand.",
        "",
        f"{now} UTC, commit {commit.stdout.strip()}, {os.cpu_count()} cores "
        f"({platform.machine()}), Python {platform.python_version()}, load before it began "
        f"{os.getloadavg()[0]:.1f}. "
        f"Medians of {rounds}, every round a process of its own with a story of its own and empty "
        "caches. CPU is that of the process and of the programs it calls; the clock counts what "
        "else the machine did.",
    ]


def main() -> None:
    """Run all, and write the page."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--rounds", type=int, default=5)
    options.add_argument(
        "--only", default="", help="start_up, stories, editor, products or spoken; with commas"
    )
    chosen = options.parse_args()
    bench, rounds = Bench(chosen.rounds), chosen.rounds
    parts: dict[str, Callable[[], list[str]]] = {
        "start_up": lambda: start_up(bench),
        "stories": lambda: stories(bench),
        "editor": lambda: editor(bench),
        "products": lambda: products(bench, min(rounds, 3)),
        "spoken": lambda: spoken(min(rounds, 3)),
    }
    page = _head(rounds)
    for name, part in parts.items():
        if not chosen.only or name in chosen.only.split(","):
            page += ["", *part()]
            PAGE.write_text("\n".join(page) + "\n", encoding="utf-8")
            print(f"{name}: done", flush=True)


if __name__ == "__main__":
    main()
