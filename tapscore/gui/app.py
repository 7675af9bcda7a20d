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
from tapscore.resources import resource_path

WARM_AFTER_MS = 1200
"""After the window is there, so that it is not held up."""


def run_editor(path: Path | None) -> int:
    """Open the editor on a story (or the page to begin on) until every window is closed."""
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
        if not files.windows:
            return 2
    elif not files.windows:
        files.new()
    QTimer.singleShot(WARM_AFTER_MS, lambda: _warm_up(files))
    try:
        return app.exec()
    finally:
        files.end()
        collecting.end()


def _warm_up(files: FileWork) -> None:
    for window in files.windows:
        window.listening.player.warm_up(window.document.story)


def _recovery_folder() -> Path:
    import platformdirs

    return platformdirs.user_state_path("tapscore", appauthor=False) / "recovery"
