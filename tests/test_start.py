"""How the program starts: a page, a plain check, a command, or the editor, and where it can't."""

import ctypes
import errno
import gc
import io
import sys
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

import tapscore.__main__ as start
from tapscore.cli import app
from tapscore.cli.first_page import first_page
from tapscore.resources import PartMissingError


class Left(BaseException):
    """The process would be gone."""


class Started:
    """One start with these words; what was printed, and the code it ended with."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
        self.patch, self.capsys = monkeypatch, capsys
        self.opened: list[Path | None] = []
        self.left: list[int] = []
        self.out = self.err = ""
        gui: Any = SimpleNamespace(run_editor=self._run_editor)
        monkeypatch.setitem(sys.modules, "tapscore.gui.app", gui)
        monkeypatch.setattr(start, "_has_screen", lambda: True)
        monkeypatch.setattr(start, "guard_streams", lambda: None)
        monkeypatch.setattr("os._exit", self._left)
        monkeypatch.setattr(start, "trouble", lambda: "")
        monkeypatch.setattr(start, "translations", lambda: None)

    def _run_editor(self, file: Path | None) -> int:
        self.opened.append(file)
        return 7

    def _left(self, code: int) -> None:
        self.left.append(code)
        raise Left

    def __call__(self, *words: str) -> object:
        self.patch.setattr(sys, "argv", ["tapscore", *words])
        code: object = None
        try:
            start.main()
        except SystemExit as ended:
            code = ended.code
        except Left:
            code = self.left[-1]
        finally:
            gc.enable()
        self.out, self.err = self.capsys.readouterr()
        return code


@pytest.fixture
def started(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Started:
    return Started(monkeypatch, capsys)


def test_without_a_command_the_editor_opens(started: Started, tmp_path: Path) -> None:
    assert started() == 7
    assert started.opened == [None]
    story = tmp_path / "s.yaml"
    story.write_text("tapscore: 2\ntitle: T\nstory: []\n", encoding="utf-8")
    assert started(str(story)) == 7
    assert started.opened == [None, story]
    assert started.left == []


@pytest.mark.parametrize("word", ["--help", "-h"])
def test_the_first_page_is_printed_and_no_more(started: Started, word: str) -> None:
    assert started(word) is None
    assert (started.out, started.err) == (f"{first_page()}\n", "")
    assert started.opened == []


@pytest.mark.parametrize("words", [("--help", "x"), ("--help",)])
def test_the_page_is_click_s_where_there_is_more_or_a_translation(
    started: Started, words: tuple[str, ...]
) -> None:
    asked: list[dict[str, object]] = []
    started.patch.setattr(app, "main", lambda **more: asked.append(more))
    if len(words) == 1:
        started.patch.setattr(start, "translations", object)
    started(*words)
    assert asked == [{"obj": start.open_editor, "prog_name": "tapscore"}]
    assert started.out == ""


def test_trouble_with_a_language_is_told_and_the_command_goes_on(started: Started) -> None:
    started.patch.setattr(start, "trouble", lambda: "There is no such language.")
    assert started("--help") is None
    assert started.err == "There is no such language.\n"
    assert started.out == f"{first_page()}\n"
    started.patch.setattr(start, "trouble", lambda: "")
    started("--help")
    assert started.err == ""


def test_a_plain_check_ends_at_once_with_its_code(started: Started, tmp_path: Path) -> None:
    sound, torn = tmp_path / "s.yaml", tmp_path / "t.yaml"
    sound.write_text("tapscore: 2\ntitle: T\nstory: []\n", encoding="utf-8")
    torn.write_text("\t", encoding="utf-8")
    assert started("check", str(sound)) == 0
    assert "s.yaml" in started.out
    assert started("check", str(torn)) == 2
    assert started.left == [0, 2]
    assert started("check", str(torn), "--format", "text") == 2
    assert started.left == [0, 2], "with options it is click's"


def test_all_that_was_said_is_out_before_it_leaves(
    monkeypatch: pytest.MonkeyPatch, started: Started
) -> None:
    class Kept(io.StringIO):
        flushed = 0

        def flush(self) -> None:
            Kept.flushed += 1

    monkeypatch.setattr(sys, "stdout", Kept())
    monkeypatch.setattr(sys, "stderr", Kept())
    with pytest.raises(Left):
        start._leave(3)
    assert Kept.flushed == 2
    assert started.left == [3]


@pytest.mark.parametrize(
    ("system", "name", "plain"),
    [
        ("posix", "a*.yaml", True),
        ("posix", "$HOME/a.yaml", True),
        ("nt", "a.yaml", True),
        ("nt", "a*.yaml", False),
        ("nt", "a?.yaml", False),
        ("nt", "[ab].yaml", False),
        ("nt", "~/a.yaml", False),
        ("nt", "%HOME%/a.yaml", False),
        ("nt", "-a.yaml", False),
    ],
)
def test_where_the_shell_looks_for_no_names_click_does(
    system: str, name: str, plain: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(start, "os", SimpleNamespace(name=system))
    assert start._is_plain_check(["check", name]) is plain
    assert not start._is_plain_check(["timing", name])
    assert not start._is_plain_check(["check", name, "x"])


def test_a_part_that_is_missing_is_told_in_a_sentence(started: Started) -> None:
    def missing(**_: object) -> None:
        raise PartMissingError("tapscore's own file a.txt is missing: install tapscore again")

    started.patch.setattr(app, "main", missing)
    assert started("rules") == 2
    assert started.err == "tapscore's own file a.txt is missing: install tapscore again.\n"
    assert started.out == ""


def test_a_full_disc_is_told_and_other_faults_are_not_hidden(
    started: Started, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(**_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    started.patch.setattr(app, "main", full)
    monkeypatch.setattr(sys, "stdout", sys.stdout)
    assert started("rules") == 2
    assert sys.stdout is None, "what it holds is not tried again at the end"
    assert started.err == (
        "There is no room left on the disc: what was printed breaks off. Make room first.\n"
    )

    def broken(**_: object) -> None:
        raise OSError(errno.EIO, "Input/output error")

    started.patch.setattr(app, "main", broken)
    with pytest.raises(OSError, match="Input/output"):
        started("rules")


@pytest.mark.parametrize("window", [False, True])
def test_rubbish_is_not_looked_for_while_it_starts(started: Started, window: bool) -> None:
    seen: list[bool] = []
    frozen: list[bool] = []
    started.patch.setattr(app, "main", lambda **_: seen.append(gc.isenabled()))
    started.patch.setattr(gc, "freeze", lambda: frozen.append(True))
    if window:
        started.patch.setitem(sys.modules, "PySide6", SimpleNamespace())
    else:
        started.patch.delitem(sys.modules, "PySide6", raising=False)
    gc.enable()
    started("rules")
    assert seen == [False]
    assert frozen == ([] if window else [True]), "a window ends its own things first"


# --- the editor


def test_without_a_screen_it_says_so(
    monkeypatch: pytest.MonkeyPatch, started: Started, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(start, "_has_screen", lambda: False)
    monkeypatch.setattr(sys, "platform", "linux")
    assert start.open_editor(None) == 2
    said = capsys.readouterr()
    assert said.err == "There is no screen here to open the editor on. See tapscore --help.\n"
    assert (said.out, started.opened) == ("", [])
    for other in ("win32", "darwin"):
        monkeypatch.setattr(sys, "platform", other)
        assert start.open_editor(None) == 7


def test_a_library_that_is_missing_is_named(
    monkeypatch: pytest.MonkeyPatch, started: Started, capsys: pytest.CaptureFixture[str]
) -> None:
    class Gone:
        def __getattr__(self, name: str) -> object:
            raise ImportError("libGL.so.1: cannot open shared object file")

    gone: Any = Gone()
    monkeypatch.setitem(sys.modules, "tapscore.gui.app", gone)
    assert start.open_editor(Path("a.yaml")) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith("The editor can't be opened: libGL.so.1 is missing on this computer")
    assert "cannot open" not in said.err
    assert started.opened == []


class Display:
    """Stands for libxcb."""

    def __init__(self, *, answers: bool) -> None:
        self.gone: list[object] = []

        class Function:
            restype: object = int
            argtypes: object = None

            def __init__(self, do: Any) -> None:
                self.do = do

            def __call__(self, *given: object) -> object:
                return self.do(*given)

        self.xcb_connect = Function(lambda *_: 2**40 + 1)
        self.xcb_connection_has_error = Function(lambda _: 0 if answers else 1)
        self.xcb_disconnect = Function(self.gone.append)


@pytest.fixture
def nowhere(monkeypatch: pytest.MonkeyPatch) -> pytest.MonkeyPatch:
    for name in ("WAYLAND_DISPLAY", "QT_QPA_PLATFORM", "DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    return monkeypatch


def test_a_screen_is_one_that_answers(nowhere: pytest.MonkeyPatch) -> None:
    assert not start._has_screen()
    nowhere.setenv("DISPLAY", ":7")
    for answers in (True, False):
        library = Display(answers=answers)
        nowhere.setattr(ctypes, "CDLL", lambda name, library=library: library)
        assert start._has_screen() is answers
        assert library.gone == [2**40 + 1], "it is asked, and let go of"
        assert library.xcb_connect.restype is ctypes.c_void_p
        for asked in (library.xcb_connection_has_error, library.xcb_disconnect):
            assert asked.argtypes == [ctypes.c_void_p], "a pointer is longer than a number of C's"


def test_where_the_library_is_missing_qt_says_it(nowhere: pytest.MonkeyPatch) -> None:
    def missing(name: str) -> None:
        raise OSError(name)

    nowhere.setenv("DISPLAY", ":7")
    nowhere.setattr(ctypes, "CDLL", missing)
    assert start._has_screen()


@pytest.mark.parametrize("name", ["WAYLAND_DISPLAY", "QT_QPA_PLATFORM"])
def test_another_kind_of_screen_is_not_asked(nowhere: pytest.MonkeyPatch, name: str) -> None:
    nowhere.setenv(name, "wayland-0")
    assert start._has_screen()
