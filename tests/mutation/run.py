"""Put small faults into a package, one at a time, and see whether its tests notice; by hand.

``python -m tests.mutation.run checks --count 100 --seed 1``.  Works in a copy of the project, so
nothing else is disturbed.  First the package's tests run once with coverage, which tells the
tests that reach each line; then each fault is tried with these alone.  Tests begin in a
process of their own that forks from one in which the libraries are loaded, since loading them
would take longer than most tests do.

Why not cosmic-ray's or mutmut's own runner: both take all faults of a module or none, and run one
command for each; a fault is tried here in a second or two, on a random sample over a package.
The faults themselves are cosmic-ray's, with some of our own (``faults``).
"""

import argparse
import ast
import compileall
import json
import os
import random
import re
import resource
import shutil
import signal
import sys
import tempfile
import time
import traceback
from collections.abc import Iterable, Iterator, Sequence
from functools import _lru_cache_wrapper, cache, cached_property
from importlib import import_module
from itertools import accumulate
from pathlib import Path
from types import ModuleType
from typing import ClassVar

import coverage
import pytest
from attrs import define, evolve, field, frozen

from tests.mutation.faults import Fault, Place, fault, places

PROJECT = Path(__file__).parents[2]


@frozen
class Package:
    """A package, and the tests that are nearest to it."""

    modules: str
    tests: tuple[str, ...]
    leave_out: tuple[str, ...] = ()
    """Modules with these in their paths."""
    only: tuple[str, ...] = ()
    """Modules with one of these in their paths; all where nothing is said."""
    in_processes: bool = False
    """Whether its tests start the program: no line is seen to be reached, all are run."""

    def holds(self, path: str) -> bool:
        """Whether a module (a path in the project) is one of it."""
        chosen = not self.only or any(part in path for part in self.only)
        return chosen and not any(part in path for part in self.leave_out)


_PAINTING = (
    *("painting", "legend", "palettes", "looks", "fonts", "gui/flow", "card_preview", "scrolled"),
    *("row_brush", "overview", "level_meter", "listening_back/strip", "page_view", "band_colours"),
)
"""What only draws or lays out: looked at by eye, in screenshots."""


def _window(tests: tuple[str, ...], *folders: str) -> Package:
    return Package("gui", tests, _PAINTING, tuple(f"gui/{folder}" for folder in folders))


_LAYING_OUT = re.compile(
    r"\.(set(Contents)?Margins?|set\w*Spacing|\w+(Stretch|Spacing)|setSizes|resize"
    r"|set(RowWrap|FieldGrowth|Size|SizeAdjust)Policy"
    r"|set(Minimum|Maximum|Fixed)(Width|Height|Size)|adjusted)\(|^\s*_?[A-Z_]*_PX = |open_roomy\("
)
_PAINTERS = re.compile(r"_*(paint\w*|haloed|sizeHint)$")


@cache
def _only_looks(source: str) -> frozenset[int]:
    """Lines of the window that only lay out or paint: gaps, stretches, sizes, painters."""
    lines = {n for n, line in enumerate(source.splitlines(), 1) if _LAYING_OUT.search(line)}
    for each in ast.walk(ast.parse(source)):
        if isinstance(each, ast.FunctionDef) and _PAINTERS.match(each.name):
            lines |= set(range(each.lineno, (each.end_lineno or each.lineno) + 1))
    return frozenset(lines)


_IN_FOLDERS = tuple(
    f"gui/{path.name}/" for path in sorted((PROJECT / "tapscore/gui").iterdir()) if path.is_dir()
)

_EVERY_DIALOG = "tests/gui/test_every_dialog.py"
"""It reads what stands in every window."""

PACKAGES = {
    "checks": Package("checks", ("tests/checks",)),
    "rhythm": Package("rhythm", ("tests/rhythm",)),
    "today": Package(
        "workflow/today",
        ("tests/workflow/today", "tests/gui/today", "tests/cli/test_day.py", "tests/checks/today"),
    ),
    "paper": Package("exports/paper", ("tests/exports/paper", "tests/exports/board")),
    "audio": Package(
        "exports/audio",
        (
            "tests/exports/audio",
            *(f"--ignore=tests/exports/audio/{part}" for part in ("voice", "versions", "home")),
        ),
        ("audio/voice", "audio/versions", "audio/home"),
    ),
    "audio voice": Package("exports/audio/voice", ("tests/exports/audio/voice",)),
    "audio versions": Package(
        "exports/audio",
        ("tests/exports/audio/versions", "tests/exports/audio/home"),
        only=("audio/versions", "audio/home"),
    ),
    "board pictures": Package("exports/board", ("tests/exports/board", "tests/exports/paper")),
    "midi": Package("exports", ("tests/exports/midi",), only=("exports/midi",)),
    "score": Package(
        "exports",
        ("tests/exports/test_musicxml.py", "tests/exports/test_musicxml_witnesses.py"),
        only=("exports/musicxml",),
    ),
    "pictures": Package(
        "exports",
        (
            *("tests/exports/test_felt_map.py", "tests/exports/test_photo_data.py"),
            *("tests/exports/paper/test_own_pictures.py", "tests/exports/paper/test_marks.py"),
            *("tests/exports/test_marks_by_hand.py", "tests/exports/test_pictures_by_hand.py"),
        ),
        only=tuple(f"exports/{name}" for name in ("felt_", "marks", "own_pictures", "photo_data")),
    ),
    "written": Package("exports/written", ("tests/exports/written",)),
    "wording": Package("wording", ("tests/wording",)),
    "model": Package("model", ("tests/model",)),
    "storyfile": Package("storyfile", ("tests/storyfile",)),
    "words": Package("words", ("tests/words",)),
    "board": Package("board", ("tests/board",)),
    "records": Package("records", ("tests/records",)),
    "workflow": Package("workflow", ("tests/workflow",), ("today",)),
    "rehearsal": Package("rehearsal", ("tests/rehearsal",)),
    "screen": Package("screen", ("tests/screen",)),
    "disc": Package("disc", ("tests/disc",)),
    "cli": Package("cli", ("tests/cli",)),
    "window": Package("gui", ("tests/gui",), (*_PAINTING, *_IN_FOLDERS)),
    "window editing": _window(("tests/gui",), "editor", "commands", "spelling"),
    "window listening": _window(
        ("tests/gui/listening", "tests/gui/sound", "tests/gui/recording", _EVERY_DIALOG),
        *("listening/", "sound/", "recording"),
    ),
    "window listening back": _window(("tests/gui/listening_back", _EVERY_DIALOG), "listening_back"),
    "window panels": _window(("tests/gui",), "panels", "forms", "today", "felt"),
    "window records": _window(("tests/gui/records", _EVERY_DIALOG), "records"),
    "window printing": _window(("tests/gui/printing", _EVERY_DIALOG), "printing"),
    "start": Package(
        "",
        ("tests/test_resources.py", "tests/test_start.py", "tests/cli/test_processes.py"),
        only=("tapscore/__main__", "tapscore/resources"),
        in_processes=True,
    ),
}
_TRIED_SEC = 40.0
"""The quickest tests that reach a line and take so long together are tried; the slower are not."""
_LONGEST_SEC = 900
"""A fault that makes a loop endless is noticed when this is over, or three times what the tests
that are tried took, in processor time."""


@define
class Tally:
    """What came of it."""

    killed: int = 0
    survived: list[str] = field(factory=list)

    @property
    def share(self) -> float:
        """Share of faults that were noticed."""
        return self.killed / max(1, self.killed + len(self.survived))


class Trying:
    """Faults in one package, in a copy of the project."""

    def __init__(self, copy: Path, package: Package) -> None:
        self.copy, self.package = copy, package
        for name in ("tapscore", "resources", "demo_stories", "tests"):
            shutil.copytree(PROJECT / name, copy / name)
        for name in ("pyproject.toml", "README.md", "DEVELOPERS.md"):
            shutil.copy2(PROJECT / name, copy / name)
        shutil.copytree(PROJECT / ".ci", copy / ".ci")
        compileall.compile_dir(str(copy / "tapscore"), quiet=2)  # else each test run does it anew
        self.modules = [
            path
            for path in sorted((copy / "tapscore" / package.modules).rglob("*.py"))
            if package.holds(path.relative_to(copy).as_posix())
        ]
        self.reached: dict[Path, dict[int, list[str]]] = {}
        self.took_sec: dict[str, float] = {}
        if package.modules == "gui":
            self._load_below()

    def reach(self, learnt: Path | None = None) -> None:
        """Run the tests once; learn which of them reach which line, the quickest first.

        What an earlier run has ``learnt`` is taken over, or kept for a later one.
        """
        if self.package.in_processes:
            self._run_all()
            return
        if learnt is not None and learnt.exists():
            kept = json.loads(learnt.read_text(encoding="utf-8"))
            self.took_sec = kept["took_sec"]
            self.reached = {
                self.copy / name: {int(line): tests for line, tests in lines.items()}
                for name, lines in kept["reached"].items()
            }
            self._prepare()
            return
        self._reach()
        if learnt is not None:
            reached = {
                path.relative_to(self.copy).as_posix(): of for path, of in self.reached.items()
            }
            kept = {"took_sec": self.took_sec, "reached": reached}
            learnt.write_text(json.dumps(kept), encoding="utf-8")

    def _run_all(self) -> None:
        begin, tests = time.monotonic(), self.package.tests
        code = self._tests(["-q", "-p", "no:cacheprovider", *tests], 3000)
        if code != 0:
            sys.exit(f"the tests fail without a fault ({code})")
        self.took_sec = dict.fromkeys(tests, (time.monotonic() - begin) / len(tests))

    def _load_below(self) -> None:
        """Load, once, what knows nothing of the window (the layers of import-linter)."""
        sys.path.insert(0, str(self.copy))
        for name in [name for name in sys.modules if name.split(".")[0] == "tapscore"]:
            del sys.modules[name]
        for path in sorted((self.copy / "tapscore").rglob("*.py")):
            parts = path.relative_to(self.copy).with_suffix("").parts
            if not _ABOVE & set(parts[1:2]):
                import_module(".".join(parts[:-1] if parts[-1] == "__init__" else parts))

    def _prepare(self) -> None:
        """Compile the tests that will be run, once, or each fault would wait for that."""
        reached = [tests for path in self.modules for tests in self.reached.get(path, {}).values()]
        files = {test.split("::")[0] for tests in reached for test in tests}
        there = [name for name in sorted(files) if (self.copy / name).exists()]
        if self._tests(["--collect-only", "-q", "-p", "no:cacheprovider", *there], 900) != 0:
            sys.exit("the tests can't be collected")

    def _names(self) -> list[str]:
        parts = [path.relative_to(self.copy).with_suffix("").parts for path in self.modules]
        return [".".join(part).removesuffix(".__init__") for part in parts]

    def _reach(self) -> None:
        data = self.copy / ".coverage"
        times = self.copy / _TIMES
        where = f"tapscore/{self.package.modules}"
        arguments = [
            *("-q", "-p", "no:cacheprovider", f"--cov={where}", "--cov-context=test"),
            *("--cov-report=", "-p", "no:randomly", "--timeout=0"),
            *self.package.tests,
        ]
        code = self._tests(arguments, 3000)
        if code != 0:
            sys.exit(f"the tests fail without a fault ({code})")
        found = coverage.CoverageData(str(data))
        found.read()
        self.took_sec = json.loads(times.read_text(encoding="utf-8"))
        files: dict[str, set[str]] = {}
        for test in self.took_sec:
            files.setdefault(test.split("::")[0], set()).add(test)
        for path in self.modules:
            lines = found.contexts_by_lineno(str(path)) or {}
            self.reached[path] = {
                line: self._quickest_first(
                    {each.split("|")[0] for each in contexts if "::" in each}.union(
                        # what is set up once stands for all tests of the file
                        *(
                            files.get(each.split("|")[0].split("::")[0], ())
                            for each in contexts
                            if each.endswith("|setup")
                        )
                    )
                )
                for line, contexts in lines.items()
            }

    def _quickest_first(self, tests: Iterable[str]) -> list[str]:
        return sorted(tests, key=lambda test: (self.took_sec.get(test, 1.0), test))

    def sample(self, count: int, seed: int) -> list[tuple[Path, Fault]]:
        """So many faults at random, each place as likely as any other."""
        every: list[tuple[Path, Place]] = []
        for path in self.modules:
            source = path.read_text(encoding="utf-8")
            every += [(path, place) for place in places(source)]
        random.Random(seed).shuffle(every)
        chosen: list[tuple[Path, Fault]] = []
        for path, place in every:
            source = path.read_text(encoding="utf-8")
            made = fault(source, place)
            looks = self.package.modules == "gui" and made is not None
            if made is not None and not (looks and made.line in _only_looks(source)):
                chosen.append((path, made))
            if len(chosen) == count:
                break
        return chosen

    def noticed(self, path: Path, made: Fault) -> bool:
        """Whether a test fails; the file is put back."""
        kept = path.stat()
        sound = path.read_text(encoding="utf-8")
        tests = self._nearest(path, made.line)
        if not tests:
            return False
        took_sec = sum(self.took_sec.get(test, 1.0) for test in tests)
        path.write_text(made.text, encoding="utf-8")
        try:
            arguments = ["-x", "-q", "-p", "no:cacheprovider", *tests]
            return self._tests(arguments, _LONGEST_SEC, round(20 + 3 * took_sec)) != 0
        finally:
            path.write_text(sound, encoding="utf-8")
            os.utime(path, ns=(kept.st_atime_ns, kept.st_mtime_ns))

    def _nearest(self, path: Path, line: int) -> list[str]:
        """Tests that reach a line, the quickest first.

        What runs while a module is loaded is tried with those that reach a line with a name that
        it gives, or else any line of the module, or else with the package's own.
        """
        if self.package.in_processes:
            return list(self.package.tests)
        lines = self.reached.get(path, {})
        while line > 0 and line not in lines:
            line -= 1  # the rest of a statement of several lines
        tests = lines.get(line, [])
        if line in lines and not tests:
            of_module = {test for of_line in lines.values() for test in of_line}
            tests = self._quickest_first(
                self._naming(path, line) or of_module or set(self.took_sec)
            )
        there = [test for test in tests if (self.copy / test.split("::")[0]).exists()]
        so_far = accumulate(self.took_sec.get(test, 1.0) for test in there)
        count = sum(sec < _TRIED_SEC for sec in so_far)
        return there[: max(1, count)]

    def _naming(self, path: Path, line: int) -> set[str]:
        """Tests that reach a line with one of the names that a statement gives."""
        given: set[str] = set()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Assign | ast.AnnAssign) and node.lineno <= line:
                targets = node.targets if isinstance(node, ast.Assign) else [node.target]
                inside = (each for target in targets for each in ast.walk(target))
                if line <= (node.end_lineno or node.lineno):
                    given |= {each.id for each in inside if isinstance(each, ast.Name)}
        if not given:
            return set()
        named = re.compile(rf"\b(?:{'|'.join(given)})\b")
        return {
            test
            for module, of_lines in self.reached.items()
            for at, text in enumerate(module.read_text(encoding="utf-8").splitlines(), 1)
            if named.search(text)
            for test in of_lines.get(at, ())
        }

    def _tests(self, arguments: list[str], longest_sec: int, cpu_sec: int = 0) -> int:
        child = os.fork()
        if child == 0:
            os.setsid()
            if cpu_sec:
                resource.setrlimit(resource.RLIMIT_CPU, (cpu_sec, cpu_sec))
            self._in_child(arguments)
        begin = time.monotonic()
        while time.monotonic() - begin < longest_sec:
            done, status = os.waitpid(child, os.WNOHANG)
            if done:
                return os.waitstatus_to_exitcode(status)
            time.sleep(0.02)
        os.killpg(child, signal.SIGKILL)
        os.waitpid(child, 0)
        return -1

    def _in_child(self, arguments: list[str]) -> None:
        code = 3
        try:
            os.chdir(self.copy)
            os.environ |= {"PYTHONPATH": str(self.copy), "CI": "true"}
            nothing = os.open(os.devnull, os.O_WRONLY)
            os.dup2(nothing if not os.environ.get("SHOW") else 1, 1)
            os.dup2(nothing if not os.environ.get("SHOW") else 2, 2)
            sys.dont_write_bytecode = "-x" in arguments
            sys.path[:] = [str(self.copy), *(p for p in sys.path if p not in ("", str(PROJECT)))]
            for name in [name for name in sys.modules if name.split(".")[0] in _OURS]:
                below = name.split(".")[0] == "tapscore" and not _ABOVE & {*name.split(".")[1:2]}
                if not (below and self.package.modules == "gui"):
                    del sys.modules[name]
            loaded = "ignore::pytest.PytestAssertRewriteWarning"  # libraries are, on purpose
            learning = "--cov-report=" in arguments
            plugins = [_NothingKept(self._names())] if learning else []
            code = int(pytest.main(["-W", loaded, *arguments], plugins=plugins))
        except BaseException:
            traceback.print_exc()
        finally:
            sys.stderr.flush()
            os._exit(code)


class _NothingKept:
    """Before each test all that earlier ones had the program keep is forgotten.

    What is taken from a cache would count as not reached.
    """

    _outside: ClassVar = {
        name: os.environ.get(name)
        for name in ("TAPSCORE_BOARD_CACHE", "TAPSCORE_VERSIONS", "TAPSCORE_VOICE_CACHE")
    }
    """Folders that are not the tests' own."""

    def __init__(self, modules: Sequence[str]) -> None:
        self._modules = modules
        self._took_sec: dict[str, float] = {}

    @pytest.hookimpl(tryfirst=True)
    def pytest_collection(self) -> None:
        for name in self._modules:  # or the first test that loads one would seem to reach all of it
            import_module(name)

    @pytest.hookimpl(wrapper=True)
    def pytest_make_collect_report(self, collector: pytest.Collector) -> Iterator[None]:
        """What a file of tests does while it is loaded is reached by all of its tests."""
        current = coverage.Coverage.current()
        if current is None or not isinstance(collector, pytest.Module):
            return (yield)
        current.switch_context(f"{collector.nodeid}|setup")
        made = yield
        current.switch_context("")
        return made

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        """Processor time of each test: the machine may be busy with others."""
        begin = time.process_time()
        made = yield
        self._took_sec[item.nodeid] = time.process_time() - begin
        return made

    def pytest_sessionfinish(self) -> None:
        Path(_TIMES).write_text(json.dumps(self._took_sec), encoding="utf-8")

    def pytest_runtest_setup(self) -> None:
        for name, module in list(sys.modules.items()):
            if name.split(".")[0] in _OURS:
                for each in list(vars(module).values()):
                    if isinstance(each, _lru_cache_wrapper):
                        each.cache_clear()
                    plain = not isinstance(each, (type, ModuleType))
                    kept = getattr(each, "__dict__", {}) if plain else {}
                    for own in list(kept):
                        if isinstance(getattr(type(each), own, None), cached_property):
                            del kept[own]
        for name, own in self._outside.items():
            folder = os.environ.get(name)
            if folder and folder != own:
                shutil.rmtree(folder, ignore_errors=True)


_TIMES = "times.json"
_OURS = {"tapscore", "tests"}
_ABOVE = {"gui", "cli", "__main__"}
"""What may know of the window."""


def _load_libraries() -> None:
    for name in (
        *("pytest", "_pytest.assertion.rewrite", "hypothesis", "hypothesis.strategies", "attrs"),
        *("yaml", "click", "numpy", "reportlab.pdfgen.canvas", "mido", "soundfile", "PIL.Image"),
        *(
            "music21",
            "pretty_midi",
            "librosa",
            "pypdf",
            "uharfbuzz",
            "bidi",
            "scipy.linalg",
            "scipy.optimize",
            "PySide6.QtWidgets",
            "PySide6.QtTest",
        ),
    ):
        __import__(name)


def main() -> None:
    """By hand."""
    arguments = argparse.ArgumentParser()
    arguments.add_argument("packages", nargs="+", choices=sorted(PACKAGES))
    arguments.add_argument("--count", type=int, default=100)
    arguments.add_argument("--seed", type=int, default=1)
    arguments.add_argument("--again", type=Path, help="only the faults that this output lists")
    arguments.add_argument("--learnt", type=Path, help="which tests reach which line: kept here")
    arguments.add_argument("--tests", nargs="+", help="these instead of the package's own")
    said = arguments.parse_args()
    signal.signal(signal.SIGTERM, signal.default_int_handler)
    _load_libraries()
    for name in said.packages:
        begin, tally = time.monotonic(), Tally()
        with tempfile.TemporaryDirectory() as folder:
            package = PACKAGES[name]
            if said.tests:
                package = evolve(package, tests=tuple(said.tests))
            trying = Trying(Path(folder).resolve() / "copy", package)
            trying.reach(said.learnt)
            print(f"{name}: tests run in {time.monotonic() - begin:.0f} s", flush=True)
            again = said.again.read_text(encoding="utf-8") if said.again else ""
            if again:
                trying.modules = [
                    path for path in trying.modules if f"{path.relative_to(trying.copy)}:" in again
                ]
            try:
                for path, made in trying.sample(said.count, said.seed):
                    if again and _change(path, made) not in again:
                        continue
                    if trying.noticed(path, made):
                        tally.killed += 1
                    else:
                        tally.survived.append(_shown(trying.copy, path, made))
                        print(tally.survived[-1], flush=True)
            finally:  # broken off, the first of a sample are one, too
                print(
                    f"{name}: {tally.killed} of {tally.killed + len(tally.survived)} noticed "
                    f"({tally.share:.0%}), seed {said.seed}, {time.monotonic() - begin:.0f} s",
                    flush=True,
                )


def _shown(copy: Path, path: Path, made: Fault) -> str:
    return f"{path.relative_to(copy)}:{made.line} {made.what}\n{_change(path, made)}"


def _change(path: Path, made: Fault) -> str:
    sound = path.read_text(encoding="utf-8").splitlines()[made.line - 1].strip()
    lines = made.text.splitlines()
    now = lines[made.line - 1].strip() if made.line <= len(lines) else ""
    return f"    - {sound}\n    + {now}"


if __name__ == "__main__":
    main()
