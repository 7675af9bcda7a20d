"""Start the editor."""

import sys
from pathlib import Path

from PySide6.QtCore import QTimer
from PySide6.QtGui import QIcon
from PySide6.QtWidgets import QApplication

from tapscore.gui.asking import Asking
from tapscore.gui.collecting import Collecting
from tapscore.gui.files import FileWork
from tapscore.gui.fonts import font
from tapscore.gui.recovery import RecoveryFolder
from tapscore.gui.settings import Settings
from tapscore.resources import demo_stories, resource_path
from tapscore.storyfile.read import read_file

WARM_AFTER_MS = 1200
"""After the window is there, so that it is not held up."""


def run_editor(path: Path | None) -> int:
    """Open the editor on a story (or a demo story) and stay until every window is closed."""
    app = QApplication.instance() or QApplication(sys.argv[:1])
    assert isinstance(app, QApplication)
    app.setApplicationName("tapscore")
    app.setApplicationDisplayName("tapscore")
    app.setStyle("Fusion")
    app.setFont(font(15))
    app.setWindowIcon(QIcon(str(resource_path("pictures/tapscore.svg"))))
    collecting = Collecting(app)
    files = FileWork(Settings(), Asking(), RecoveryFolder(_recovery_folder()))
    files.offer_recovered()
    if path is not None:
        files.open_path(path)
    elif not files.windows:
        recent = files.settings.recent
        if recent:
            files.open_path(recent[0])
    if not files.windows:
        if path is not None:
            return 2
        open_demo(files)
    QTimer.singleShot(WARM_AFTER_MS, lambda: _warm_up(files))
    try:
        return app.exec()
    finally:
        files.end()
        collecting.end()


def _warm_up(files: FileWork) -> None:
    for window in files.windows:
        window.listening.player.warm_up(window.document.story)


def open_demo(files: FileWork) -> None:
    """Open a demo story as a copy that has no file yet."""
    window = files.show_story(read_file(_first_demo()), None)
    window.show_hints()
    window.statusBar().showMessage("A demo story to try things out: save it to keep it.")


def _first_demo() -> Path:
    stories = demo_stories()
    return next((path for path in stories if "lantern" in path.name), stories[0])


def _recovery_folder() -> Path:
    import platformdirs

    return platformdirs.user_state_path("tapscore", appauthor=False) / "recovery"
