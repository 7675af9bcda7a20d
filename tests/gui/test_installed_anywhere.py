"""The window works from a folder of any name, and says so where the computer lacks a library."""

import shutil
import sys
from importlib.metadata import version
from pathlib import Path

import pytest
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QComboBox, QPlainTextEdit, QWidget
from pytestqt.qtbot import QtBot

from tapscore.__main__ import open_editor
from tapscore.gui import palettes
from tapscore.gui.help_windows import AboutDialog
from tapscore.resources import resource_path

ODD = "é ü ' & \" 学校 (1) #2 %20"


def drawn(qtbot: QtBot) -> QImage:
    box = QComboBox()
    qtbot.addWidget(box)
    box.setStyleSheet(palettes.style_sheet(palettes.LIGHT, 20))
    box.resize(200, 40)
    return box.grab().toImage()


@pytest.mark.skipif(sys.platform == "win32", reason="a folder can't be called so")
def test_arrows_are_drawn_from_a_folder_of_any_name(
    qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    usual = drawn(qtbot)
    there = tmp_path / ODD
    shutil.copytree(resource_path("pictures"), there / "pictures")
    monkeypatch.setattr(palettes, "resource_path", lambda name: there / name)
    assert drawn(qtbot) == usual
    monkeypatch.setattr(palettes, "resource_path", lambda name: tmp_path / "gone" / name)
    assert drawn(qtbot) != usual


def test_a_missing_library_is_said_in_a_sentence(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """What Python says where a library of the system can't be loaded."""

    class Missing:
        def find_spec(self, name: str, *_: object) -> None:
            if name == "tapscore.gui.app":
                raise ImportError("libGL.so.1: cannot open shared object file: No such file")

    monkeypatch.delitem(sys.modules, "tapscore.gui.app", raising=False)
    monkeypatch.setattr(sys, "meta_path", [Missing(), *sys.meta_path])
    monkeypatch.setenv("QT_QPA_PLATFORM", "offscreen")
    assert open_editor(None) == 2
    said = capsys.readouterr().err
    assert "libGL.so.1 is missing on this computer" in said
    assert "Traceback" not in said


@pytest.mark.skipif(sys.platform != "linux", reason="X is Linux's")
@pytest.mark.parametrize("display", ["", ":4095", "nowhere"])
def test_where_no_screen_answers_it_is_said(
    display: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Qt itself would end the program with a core dump."""
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    monkeypatch.delenv("QT_QPA_PLATFORM", raising=False)
    monkeypatch.setenv("DISPLAY", display)
    assert open_editor(None) == 2
    assert "There is no screen here" in capsys.readouterr().err


def test_about_says_the_version_and_that_nobody_is_asked(qtbot: QtBot) -> None:
    parent = QWidget()
    qtbot.addWidget(parent)
    shown = AboutDialog(parent).findChild(QPlainTextEdit)
    assert shown is not None
    text = shown.toPlainText()
    assert text.startswith(f"tapscore {version('tapscore')}")
    assert "asks nobody" in text
