"""A window on a story, with answers instead of dialogs."""

import json
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tapscore.gui import background, one_program
from tapscore.gui.collecting import Collecting
from tapscore.gui.files import FileWork
from tapscore.gui.main_window import MainWindow
from tapscore.gui.recovery import RecoveryFolder
from tapscore.gui.settings import Settings
from tapscore.storyfile.read import read_file, read_text
from tests.gui import offscreen
from tests.gui.answers import Answers

PATIENCE_SEC = 30
"""A wait ends as soon as it may: it is long only where the machine is busy."""


@pytest.fixture(scope="session", autouse=True)
def patient_on_a_busy_machine() -> Iterator[None]:
    """What a disc did not answer in a fifth of a second is left out, and so tests would differ."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(background, "AT_ONCE_SEC", PATIENCE_SEC)
        patch.setattr(one_program, "LONGEST_MS", PATIENCE_SEC * 1000)
        for wait in (QtBot.waitUntil, QtBot.waitSignal):
            assert wait.__kwdefaults__ is not None
            patch.setitem(wait.__kwdefaults__, "timeout", PATIENCE_SEC * 1000)
        yield


@pytest.fixture(scope="session", autouse=True)
def collect_in_the_gui_thread(qapp: QApplication) -> Iterator[None]:
    usual = json.loads(offscreen.SCREEN.read_text(encoding="utf-8"))["screens"][0]
    if qapp.platformName() == "offscreen":
        wide = qapp.primaryScreen().size().width()
        assert wide == usual["width"], "something set QT_QPA_PLATFORM after tests/gui/offscreen.py"
    collecting = Collecting(qapp)
    yield
    collecting.end()


@pytest.fixture(autouse=True)
def no_stray_dialog(qapp: QApplication) -> Iterator[None]:
    yield
    stray = QApplication.activeModalWidget()
    if stray is not None:
        stray.close()
        pytest.fail(f"a dialog was left open: {stray.windowTitle()}")


@pytest.fixture(autouse=True)
def no_window_left(qapp: QApplication) -> Iterator[None]:
    """What is to be deleted later goes now: no loop runs that would do it.

    Else each new style sheet dresses the windows of all tests before.  And as at the program's
    start no sheet is there yet when a window is made: Qt would dress its controls anew at each
    step of putting them together, which takes four times as long as the window itself.
    """
    yield
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    qapp.setStyleSheet("")


@pytest.fixture
def answers() -> Answers:
    return Answers()


@pytest.fixture
def files(qtbot: QtBot, tmp_path: Path, answers: Answers) -> Iterator[FileWork]:
    work = FileWork(
        Settings(tmp_path / "settings.json"), answers, RecoveryFolder(tmp_path / "recovery")
    )
    yield work
    for window in list(work.windows):
        answers.choices[:] = ["Throw them away"]
        window.close()
    work.end()


@pytest.fixture
def demo(files: FileWork, tmp_path: Path, demo_path: Path) -> MainWindow:
    """A window on a copy of the demo story."""
    copy = tmp_path / "story.yaml"
    copy.write_bytes(demo_path.read_bytes())
    return _usual(files.show_story(read_file(copy), copy))


def _usual(window: MainWindow) -> MainWindow:
    """The size on a usual screen; the one of the tests is smaller."""
    window.resize(1280, 800)
    return window


@pytest.fixture
def window_on(files: FileWork) -> Callable[[str], MainWindow]:
    """Opens a window on a text."""
    return lambda text: _usual(files.show_story(read_text(text), None))
