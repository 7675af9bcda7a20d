"""The language is chosen where the window's other looks are, and holds from the next start on."""

import subprocess
import sys
from pathlib import Path

import pytest

from tapscore.gui.commands.view_menu import VIEW
from tapscore.gui.language import language_commands
from tapscore.gui.main_window import MainWindow
from tapscore.gui.settings import Settings
from tests.gui.tongue.process import speaking
from tests.wording.pseudo import CODE, OPENS


def test_nothing_is_to_choose_where_there_is_only_english() -> None:
    assert language_commands() == ()
    assert not any(command.id.startswith("language") for command in VIEW)


@pytest.mark.usefixtures("qapp")
def test_a_language_is_kept_and_spoken_from_the_next_start_on(
    demo: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "languages"
    folder.mkdir()
    environment = speaking(folder)
    monkeypatch.setenv("TAPSCORE_LANGUAGES", str(folder))
    demo.settings = Settings(folder / "config" / "tapscore" / "settings.json")
    english, other = language_commands()
    assert english.name == "Language: English"
    assert english.on is not None
    assert other.on is not None
    assert english.on(demo)
    other.do(demo)
    assert other.on(demo)
    assert not english.on(demo)
    assert "From the next start on" in demo.statusBar().currentMessage()
    del environment["TAPSCORE_LANGUAGE"]
    assert _help(environment).startswith(OPENS)
    english.do(demo)
    assert _help(environment).startswith("Usage:")


def test_a_language_that_is_gone_is_told_and_english_is_spoken(tmp_path: Path) -> None:
    environment = {**speaking(tmp_path), "TAPSCORE_LANGUAGE": CODE + "x"}
    done = _started(environment)
    assert done.stdout.startswith("Usage:")
    assert f"no language {CODE}x here" in done.stderr


def _help(environment: dict[str, str]) -> str:
    return _started(environment).stdout


def _started(environment: dict[str, str]) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        [sys.executable, "-m", "tapscore", "--help"],
        env=environment,
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )


def test_qt_speaks_the_language_where_it_has_it(tmp_path: Path) -> None:
    """Polish comes with Qt, in its own translators' words."""
    environment = {**speaking(tmp_path), "TAPSCORE_LANGUAGE": "pl"}
    (tmp_path / f"{CODE}.po").rename(tmp_path / "pl.po")
    program = (
        "from PySide6.QtCore import QCoreApplication\n"
        "from PySide6.QtWidgets import QApplication\n"
        "from tapscore.gui.language import speak_qt\n"
        "app = QApplication([])\n"
        "speak_qt(app)\n"
        "print(QCoreApplication.translate('QPlatformTheme', 'Cancel'))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", program],
        env=environment,
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    assert done.stdout.strip() == "Anuluj"
