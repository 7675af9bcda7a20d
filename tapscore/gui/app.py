"""Start the editor."""

import sys
from contextlib import suppress
from functools import partial
from pathlib import Path

from PySide6.QtCore import QTimer
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QApplication

from tapscore.gui.asking import Asking
from tapscore.gui.clipboard import leave_words_alone
from tapscore.gui.collecting import Collecting
from tapscore.gui.files import FileWork
from tapscore.gui.fonts import font
from tapscore.gui.language import speak_qt
from tapscore.gui.looks import dress_program
from tapscore.gui.one_program import Door, OpenedByTheSystem, handed_over, usual_place
from tapscore.gui.recovery import RecoveryFolder
from tapscore.gui.settings import Settings
from tapscore.gui.system_looks import system_looks
from tapscore.resources import resource_path
from tapscore.wording.catalogue import trouble

WARM_AFTER_MS = 1200
"""After the window is there, so that it is not held up."""


def run_editor(path: Path | None) -> int:
    """Open the editor on a story (or the page to begin on) until every window is closed."""
    app = QApplication.instance() or QApplication(sys.argv[:1])
    assert isinstance(app, QApplication)
    app.setApplicationName("tapscore")
    app.setApplicationDisplayName("tapscore")
    app.setDesktopFileName("tapscore")
    place = usual_place()
    if handed_over(path, place):
        return 0
    looks = system_looks(sys.platform)
    speak_qt(app)
    app.setStyle("Fusion")
    app.setFont(font(15))
    app.setWindowIcon(QIcon(str(resource_path("pictures/tapscore.svg"))))
    collecting = Collecting(app)
    settings = Settings(usual=looks)
    asking = Asking(partial(dress_program, settings))
    files = FileWork(settings, asking, RecoveryFolder(_recovery_folder()))
    opened = partial(_open, files)
    door = Door(place, opened, app)
    by_the_system = OpenedByTheSystem(opened, app)
    app.installEventFilter(by_the_system)
    files.offer_recovered()
    if path is not None:
        files.open_path(path)
        if not files.windows:
            return 2
    elif not files.windows:
        files.new()
    for window in files.windows if trouble() else ():
        window.say(trouble())
    QTimer.singleShot(WARM_AFTER_MS, lambda: _warm_up(files))
    try:
        return app.exec()
    finally:
        leave_words_alone()
        door.close()
        files.end()
        collecting.end()


def _open(files: FileWork, path: Path | None) -> None:
    """What a further start of the program wants, or the system."""
    if path is None:
        files.new()
        return
    window = files.open_path(path)
    if window is not None:
        window.raise_()
        window.activateWindow()


def _warm_up(files: FileWork) -> None:
    """Make ready what the first F5 and the first look at a part would wait for."""
    from tapscore.exports.paper import fonts

    for window in files.windows:
        window.listening.player.warm_up(window.document.story)
    with suppress(FileNotFoundError):  # said where a paper is made
        fonts.register()


def _recovery_folder() -> Path:
    import platformdirs

    return platformdirs.user_state_path("tapscore", appauthor=False) / "recovery"
