"""How the program begins: the editor or a command, click's words, streams and the first page."""

import io
import os
import signal
import sys
from importlib import import_module
from importlib.metadata import version
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from tapscore.cli import at_once, click_words, first_page, terminal
from tapscore.cli.app import main
from tests.cli.running import MISTAKEN, SOUND, UNREADABLE, Said, run


def _begun(*words: str, code: int = 7) -> tuple[int, list[Path | None], str]:
    """Exit code, what the editor was opened on, and what was said."""
    opened: list[Path | None] = []

    def editor(file: Path | None) -> int:
        opened.append(file)
        return code

    result = CliRunner().invoke(main, list(words), obj=editor)
    return result.exit_code, opened, result.output


def test_without_a_command_the_editor_opens(tmp_path: Path) -> None:
    assert _begun() == (7, [None], "")
    assert _begun(code=0) == (0, [None], "")


@pytest.mark.parametrize("name", ["boat.yaml", "boat.tapscore", "none.txt"])
def test_the_name_of_a_file_opens_it(name: str) -> None:
    assert _begun(name) == (7, [Path(name)], "")
    assert _begun("edit", name)[0] == 2, "there is no such command to type"


def test_a_file_without_an_ending_is_opened_where_it_is_there(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert _begun("boat")[:2] == (2, [])
    Path("boat").write_text(SOUND)
    assert _begun("boat") == (7, [Path("boat")], "")
    Path("check").write_text(SOUND)
    assert _begun("check")[1] == [], "a command's name stands for the command"
    assert _begun("boat", "more")[0] == 2


def test_the_version() -> None:
    assert run("--version") == Said(0, f"tapscore {version('tapscore')}\n", "")


def test_click_speaks_the_language_of_the_program(monkeypatch: pytest.MonkeyPatch) -> None:
    parts = {name: vars(import_module(f"click.{name}")) for name in click_words._MODULES}
    for part in parts.values():
        for name in {"_", "ngettext"} & set(part):
            monkeypatch.setitem(part, name, part[name])
    before = parts["core"]["_"]
    click_words.speak_click()
    assert parts["core"]["_"] is before, "English is click's own"
    monkeypatch.setattr(click_words, "translations", lambda: {})
    words = {
        "Options": "Was man wählt",
        "Missing option": "Es fehlt",
        "Got unexpected extra argument ({args})": "eins",
        "Got unexpected extra arguments ({args})": "mehr",
    }
    monkeypatch.setattr(click_words, "click_words", lambda: words)
    click_words.speak_click()
    assert parts["core"]["_"]("Options") == "Was man wählt"
    assert parts["core"]["_"]("Something else") == "Something else"
    assert parts["exceptions"]["_"]("Missing option") == "Es fehlt"
    one, many = list(words)[2:]
    counted = parts["core"]["ngettext"]
    assert [counted(one, many, number) for number in (0, 1, 2)] == ["mehr", "eins", "mehr"]


def test_every_text_of_click_s_is_its_own_in_english() -> None:
    words = click_words.click_words()
    assert {text: said for text, said in words.items() if text != said} == {}
    assert "Missing argument" in words


class _Stream(io.BytesIO):
    def __init__(self, *, terminal: bool) -> None:
        super().__init__()
        self._terminal = terminal

    def isatty(self) -> bool:
        return self._terminal


@pytest.mark.parametrize("name", ["stdout", "stderr"])
def test_what_a_terminal_and_a_file_get(monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    """Neither what acts; a file gets marks of direction; what is no Unicode is shown in both."""
    said = {}
    for is_terminal in (True, False):
        raw = _Stream(terminal=is_terminal)
        stream = io.TextIOWrapper(raw, "utf-8", line_buffering=True)
        monkeypatch.setattr(sys, "stdout", io.StringIO())
        monkeypatch.setattr(sys, "stderr", io.StringIO())
        monkeypatch.setattr(sys, name, stream)
        terminal.guard_streams()
        guarded = getattr(sys, name)
        guarded.write("a\x1b[2J\u202e\udcff\n")
        assert guarded.line_buffering
        said[is_terminal] = raw.getvalue()
    assert said == {
        True: b"a<1b>[2J<202e>\\udcff\n",
        False: b"a<1b>[2J\xe2\x80\xae\\udcff\n",
    }


@pytest.mark.parametrize(
    ("asked", "columns"),
    [("100", 100), ("1", 1), ("0", 80), ("-5", 80), ("many", 80), ("", 80)],
)
def test_how_wide_the_first_page_is(
    monkeypatch: pytest.MonkeyPatch, asked: str, columns: int
) -> None:
    monkeypatch.setenv("COLUMNS", asked)
    monkeypatch.setattr(sys, "__stdout__", None)
    assert first_page._columns() == columns


def test_the_first_page_without_a_width_asks_the_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("COLUMNS", raising=False)
    with Path("/dev/null").open() as no_terminal:
        monkeypatch.setattr(sys, "__stdout__", no_terminal)
        assert first_page._columns() == 80
        sizes = [(120, 30), (0, 0)]
        monkeypatch.setattr("os.get_terminal_size", lambda _: os.terminal_size(sizes.pop(0)))
        assert [first_page._columns() for _ in range(2)] == [120, 80]


def test_every_command_is_read_when_it_is_called() -> None:
    assert isinstance(main, click.Group)
    context = click.Context(main)
    for name in main.list_commands(context):
        command = main.get_command(context, name)
        assert command is not None
        assert command.name == name
    assert main.get_command(context, "edit") is None


@pytest.mark.parametrize(("text", "code"), [(SOUND, 0), (MISTAKEN, 1), (UNREADABLE, 2)])
def test_a_check_without_options_says_the_same_as_click_s(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    text: str,
    code: int,
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("mill.yaml").write_text(text)
    assert at_once.check_at_once("mill.yaml") == code
    told = capsys.readouterr()
    assert Said(code, told.out, told.err) == run("check", "mill.yaml")


STOPPED = "Stopped. Nothing is half-made.\n"


@pytest.mark.parametrize("stopped", [KeyboardInterrupt, EOFError])
def test_a_command_that_is_stopped_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, stopped: type[BaseException]
) -> None:
    def stops(*_: object, **__: object) -> None:
        raise stopped

    monkeypatch.chdir(tmp_path)
    Path("mill.yaml").write_text(SOUND)
    monkeypatch.setattr("tapscore.cli.adapt.open_story", stops)
    said = run("adapt", "mill.yaml", "out.yaml", "--short")
    assert said == Said(1, "", STOPPED)


@pytest.mark.parametrize(
    ("stopped", "told"),
    [(KeyboardInterrupt, STOPPED), (EOFError, STOPPED), (BrokenPipeError, "")],
)
def test_a_check_that_is_stopped_ends_with_1(
    monkeypatch: pytest.MonkeyPatch,
    capfd: pytest.CaptureFixture[str],
    stopped: type[BaseException],
    told: str,
) -> None:
    def stops(*_: object) -> None:
        raise stopped

    monkeypatch.setattr(at_once, "show_findings", stops)
    copies: list[int] = []
    monkeypatch.setattr("os.dup2", lambda _, to: copies.append(to))
    assert at_once.check_at_once("none.yaml") == 1
    if stopped is BrokenPipeError:
        assert copies == [sys.stdout.fileno()], "nothing more is written to who went away"
    else:
        assert copies == []
    captured = capfd.readouterr()
    assert (captured.out, captured.err) == ("", told)


@pytest.mark.skipif(os.name != "posix", reason="signals as POSIX has them")
@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_a_command_told_to_end_tidies_up_as_by_ctrl_c(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    number = getattr(signal, name)
    before = signal.signal(number, signal.SIG_DFL)

    def told_to_end(_: Path) -> None:
        assert len(list(tmp_path.iterdir())) == 2, "what is half made"
        signal.raise_signal(number)

    monkeypatch.chdir(tmp_path)
    Path("mill.yaml").write_text(SOUND)
    monkeypatch.setattr("tapscore.disc.whole._settle", told_to_end)
    try:
        assert run("adapt", "mill.yaml", "out.yaml", "--short") == Said(1, "", STOPPED)
        assert signal.getsignal(number) is signal.SIG_DFL
        assert [each.name for each in tmp_path.iterdir()] == ["mill.yaml"]
        signal.signal(number, signal.SIG_IGN)  # as nohup does
        monkeypatch.undo()
        assert CliRunner().invoke(main, ["check", str(tmp_path / "mill.yaml")]).exit_code == 0
        assert signal.getsignal(number) is signal.SIG_IGN
    finally:
        signal.signal(number, before)
