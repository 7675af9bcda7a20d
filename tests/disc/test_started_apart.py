"""Other programs are started as from outside, whatever the app brings for itself."""

import ast
import sys
from pathlib import Path

import pytest

from tapscore.disc.programs import installed_program, outside, packed
from tapscore.workflow import neural_voice


def test_from_python_nothing_is_changed() -> None:
    assert not packed()
    assert outside() is None


def test_the_app_s_own_libraries_are_not_handed_on(monkeypatch: pytest.MonkeyPatch) -> None:
    """PyInstaller's start keeps what stood there in ``LD_LIBRARY_PATH_ORIG``."""
    monkeypatch.setattr(sys, "frozen", True, raising=False)
    monkeypatch.setenv("LD_LIBRARY_PATH", "/app/_internal")
    monkeypatch.setenv("LD_LIBRARY_PATH_ORIG", "/school/lib")
    monkeypatch.setenv("DYLD_LIBRARY_PATH", "/app/_internal")
    monkeypatch.setenv("QT_PLUGIN_PATH", "/app/plugins")
    monkeypatch.setenv("HOME", "/home/é")
    told = outside()
    assert told is not None
    assert told["LD_LIBRARY_PATH"] == "/school/lib"
    assert told["HOME"] == "/home/é"
    assert not {"DYLD_LIBRARY_PATH", "QT_PLUGIN_PATH", "LD_LIBRARY_PATH_ORIG"} & set(told)
    monkeypatch.delenv("LD_LIBRARY_PATH_ORIG")
    assert "LD_LIBRARY_PATH" not in (outside() or {})


def test_the_app_is_never_started_as_a_voice(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setattr(neural_voice, "distribution", lambda name: object())
    monkeypatch.setenv("PATH", str(tmp_path))
    assert neural_voice.neural_program() is not None
    monkeypatch.setattr(sys, "frozen", True, raising=False)
    assert neural_voice.neural_program() is None


@pytest.mark.skipif(sys.platform == "win32", reason="a script stands for the program")
def test_a_mac_finds_what_a_terminal_finds(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    import tapscore.disc.programs as programs

    there = tmp_path / "opt" / "espeak-ng"
    there.parent.mkdir()
    there.write_text("#!/bin/sh\n", encoding="utf-8")
    there.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path / "nothing"))
    assert installed_program("espeak-ng") is None
    monkeypatch.setitem(programs._FURTHER, sys.platform, (str(there.parent),))
    assert installed_program("espeak-ng") == str(there)


def test_every_program_is_started_so() -> None:
    """No start that hands the app's libraries on, or would open a black window on Windows."""
    found = 0
    for file in Path(neural_voice.__file__).parents[1].rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and ast.unparse(node.func) in (
                "subprocess.run",
                "subprocess.Popen",
            ):
                found += 1
                assert {"env", "creationflags"} <= {word.arg for word in node.keywords}, file
    assert found >= 5
