"""A program in the current folder is not an installed one."""

import os
import stat
import sys
from pathlib import Path

import pytest

from tapscore.disc.programs import installed_program
from tapscore.workflow.neural_voice import neural_program


@pytest.mark.skipif(os.name != "posix", reason="how programs are marked differs")
def test_only_what_is_installed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    program = tmp_path / "piper"
    program.write_text("#!/bin/sh\ntouch started\n")
    program.chmod(program.stat().st_mode | stat.S_IXUSR)
    monkeypatch.setenv("PATH", f".{os.pathsep}{tmp_path}")
    assert installed_program("piper") == str(program)
    monkeypatch.chdir(tmp_path)
    assert installed_program("piper") is None


def test_a_module_in_the_current_folder_is_not_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "piper.py").write_text("raise SystemExit(3)")
    monkeypatch.chdir(tmp_path)
    monkeypatch.syspath_prepend(str(tmp_path))
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr("tapscore.workflow.neural_voice.distribution", _missing)
    assert neural_program() is None
    monkeypatch.setattr("tapscore.workflow.neural_voice.distribution", lambda name: name)
    command = neural_program()
    assert command is not None
    assert command[:2] == [sys.executable, "-P"]


def _missing(name: str) -> object:
    from importlib.metadata import PackageNotFoundError

    raise PackageNotFoundError(name)
