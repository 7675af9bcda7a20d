"""The program as a process of its own: exit codes, streams, and what is not imported."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import tapscore
from tapscore.__main__ import _is_plain_check
from tapscore.cli import app, at_once
from tapscore.cli.first_page import first_page
from tapscore.resources import resource_path

HEAVY = ("music21", "scipy", "numpy", "PySide6", "reportlab", "pydub", "soundfile", "mido")


def _run(*args: str, **more: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "tapscore", *args],
        capture_output=True,
        text=True,
        encoding="utf-8",
        env={**os.environ, "PYTHONUTF8": "1", **more},
        timeout=60,
        check=False,
    )


def _modules_after(*args: str, whole: bool = False) -> set[str]:
    """Modules that a command has loaded when it ends: of the outermost, or of all their names."""
    code = (
        "import os, sys, json\n"
        "os._exit = sys.exit\n"  # a plain check ends before anybody could look
        "from tapscore.__main__ import main\n"
        f"sys.argv = ['tapscore', *{list(args)!r}]\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "print(json.dumps(list(sys.modules)), file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )
    names: list[str] = json.loads(done.stderr.strip().splitlines()[-1])
    return set(names) if whole else {name.partition(".")[0] for name in names}


@pytest.mark.parametrize("args", [["--help"], ["check", "DEMO"], ["timing", "DEMO"], ["rules"]])
def test_heavy_libraries_stay_away(args: list[str], demo_path: Path) -> None:
    loaded = _modules_after(*(str(demo_path) if arg == "DEMO" else arg for arg in args))
    assert loaded.isdisjoint(HEAVY)


def test_the_window_waits_for_no_heavy_library_but_its_own() -> None:
    code = (
        "import sys\nimport tapscore.gui.app, tapscore.gui.main_window\n"
        "print(*{name.partition('.')[0] for name in sys.modules})"
    )
    loaded = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    ).stdout.split()
    assert set(HEAVY) & set(loaded) == {"PySide6"}


def test_check_of_the_demo(demo_path: Path) -> None:
    done = _run("check", str(demo_path))
    assert done.returncode == 0
    assert done.stdout.splitlines()[-1].startswith("the-lantern-boat.yaml: ")
    assert done.stderr == ""


@pytest.mark.parametrize(
    ("text", "code"),
    [("tapscore: 2\ntitle: T\nstory: []\n", 0), ("tapscore: 2\ntitle: T\n", 1), ("\t", 2)],
)
def test_exit_codes(tmp_path: Path, text: str, code: int) -> None:
    path = tmp_path / "s.yaml"
    path.write_text(text, encoding="utf-8")
    done = _run("check", str(path))
    assert done.returncode == code
    assert "Traceback" not in done.stdout + done.stderr


def test_findings_go_to_stdout_and_failures_to_stderr(tmp_path: Path) -> None:
    path = tmp_path / "s.yaml"
    path.write_text("tapscore: 2\ntitle: T\n", encoding="utf-8")
    assert "`story:` is missing" in _run("check", str(path)).stdout
    done = _run("export", str(path), "--out", str(tmp_path / "out"))
    assert done.stdout == ""
    assert "Nothing was made" in done.stderr


def test_letters_and_pictures_in_names(tmp_path: Path) -> None:
    path = tmp_path / "Über 磨坊 🙂.yaml"
    path.write_text("tapscore: 2\ntitle: 磨坊 🙂\nstory: []\n", encoding="utf-8")
    done = _run("check", str(path))
    assert done.returncode == 0
    assert path.name in done.stdout


def test_a_story_read_from_another_folder(tmp_path: Path, demo_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "tapscore", "help", "lane"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(demo_path.parent.parent)},
        capture_output=True,
        text=True,
        check=False,
        timeout=60,
    )
    assert done.returncode == 0
    assert done.stdout.startswith("THE RHYTHM OF A LINE")


def test_output_that_is_cut_off(demo_path: Path) -> None:
    """``tapscore help lane | head -1``: a reader that goes away is no traceback."""
    with subprocess.Popen(
        [sys.executable, "-m", "tapscore", "help", "lane"],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        process.stdout.close()
        assert b"Traceback" not in process.stderr.read()
        process.wait(timeout=60)


def test_a_half_copied_program_says_so_without_a_traceback(tmp_path: Path) -> None:
    """The package with one of its own files missing, started as it is installed."""
    package = Path(tapscore.__file__).parent
    shutil.copytree(package, tmp_path / "tapscore", ignore=shutil.ignore_patterns("__pycache__"))
    resources = tmp_path / "tapscore" / "_resources"
    shutil.copytree(resource_path("lane.txt").parent, resources, dirs_exist_ok=True)
    (resources / "lane.txt").unlink()
    done = subprocess.run(
        [sys.executable, "-m", "tapscore", "help", "lane"],
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(tmp_path)},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert done.stderr == "tapscore's own file lane.txt is missing: install tapscore again.\n"


@pytest.mark.parametrize("columns", [20, 52, 61, 80, 97, 98, 140])
def test_the_first_page_is_laid_out_as_click_does_it(
    columns: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", str(columns))
    context = app.main.make_context("tapscore", [], resilient_parsing=True)
    assert first_page() == context.get_help()


def test_the_first_page_needs_hardly_more_than_python_itself() -> None:
    """Paths, patterns, types and lists of options each take a third of Python's own start."""
    show = "import sys\nprint(*sys.modules, file=sys.stderr)\n"
    page = "from tapscore.__main__ import main\nsys.argv = ['tapscore', '--help']\nmain()\n"
    bare, ours = (
        subprocess.run(
            [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
        ).stderr.split()
        for code in (show, f"import sys\n{page}{show}")
    )
    assert "tapscore.cli.first_page" in ours
    foreign = {name for name in set(ours) - set(bare) if not name.startswith("tapscore")}
    assert foreign <= {"errno", "gc"}  # built into the interpreter: no file is read for them


UNMENDED = """\
tapscore: 2
title: "T \\e[1mbold"
story:
  - section: A
    lines:
      - words: Out
        lane: "| X x |"
"""


@pytest.mark.parametrize("text", [UNMENDED, "tapscore: 2\ntitle: T\n", "\t", None])
def test_a_check_without_options_says_what_one_with_options_says(
    tmp_path: Path, text: str | None
) -> None:
    path = tmp_path / "s.yaml"
    if text is not None:
        path.write_text(text, encoding="utf-8")
    plain, by_click = _run("check", str(path)), _run("check", str(path), "--format", "text")
    assert plain.stdout
    assert (plain.stdout, plain.stderr, plain.returncode) == (
        *(by_click.stdout, by_click.stderr, by_click.returncode),
    )


def test_a_check_reads_only_what_this_story_needs(demo_path: Path) -> None:
    """The demo has no fault, accepts none and is asked for nothing more."""
    loaded = _modules_after("check", str(demo_path), whole=True)
    assert loaded.isdisjoint(
        {
            *("click", "difflib", "tapscore.checks.all_rules", "tapscore.model.day"),
            *("tapscore.rhythm.describe", "tapscore.wording.said"),
        }
    )
    assert "click" in _modules_after("check", str(demo_path), "--accepted")


@pytest.mark.parametrize(
    ("arguments", "plain"),
    [
        (["check", "a.yaml"], True),
        (["check", "a [1].yaml"], os.name != "nt"),
        (["check", "--help"], False),
        (["check", "-h"], False),
        (["check"], False),
        (["check", "a.yaml", "--felt"], False),
        (["timing", "a.yaml"], False),
    ],
)
def test_only_a_check_of_one_file_does_without_options(arguments: list[str], plain: bool) -> None:
    assert _is_plain_check(arguments) is plain


@pytest.mark.skipif(os.name != "posix", reason="pipes as POSIX has them")
def test_a_check_whose_reader_went_away(demo_path: Path) -> None:
    reading, writing = os.pipe()
    os.close(reading)
    done = subprocess.run(
        [sys.executable, "-m", "tapscore", "check", str(demo_path)],
        stdout=writing,
        stderr=subprocess.PIPE,
        timeout=60,
        check=False,
    )
    os.close(writing)
    assert (done.returncode, done.stderr) == (1, b"")


@pytest.mark.skipif(os.name != "posix", reason="streams as POSIX has them")
@pytest.mark.parametrize("streams", [">&-", "2>&-", ">&- 2>&-"])
def test_a_check_without_streams(demo_path: Path, streams: str) -> None:
    command = f'"$0" -m tapscore check "$1" {streams}'
    done = subprocess.run(
        ["sh", "-c", command, sys.executable, str(demo_path)],
        capture_output=True,
        timeout=60,
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, b"")


def test_a_check_that_is_stopped(
    demo_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def stopped(path: Path) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(at_once, "open_story", stopped)
    assert at_once.check_at_once(str(demo_path)) == 1
    assert capsys.readouterr().err == "Stopped. Nothing is half-made.\n"


@pytest.mark.parametrize(
    "args", [["--help"], ["check", "DEMO"], ["timing", "DEMO"], ["check", "--help"]]
)
def test_output_that_has_no_room_is_told_in_a_sentence(args: list[str], demo_path: Path) -> None:
    """``/dev/full`` (Linux) answers every write with 'no space left', as a full disc does."""
    if not Path("/dev/full").exists():
        pytest.skip("this system has no /dev/full")
    words = (str(demo_path) if arg == "DEMO" else arg for arg in args)
    with Path("/dev/full").open("wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "tapscore", *words],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            env={**os.environ, "PYTHONUTF8": "1"},
            timeout=60,
            check=False,
        )
    said = "There is no room left on the disc: what was printed breaks off. Make room first.\n"
    assert (done.returncode, done.stderr) == (2, said)
