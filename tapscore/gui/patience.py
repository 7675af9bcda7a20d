"""Waiting for a disc that may be far away, without the window going grey.

A drive of the network can be slow or gone; what asks it runs in a thread of its own.  A short
answer comes at once.  A longer one is waited for with the window painted and no input taken,
and given up after a while: the drive is then said to give no answer.
"""

import errno
import threading
import time
from collections.abc import Callable
from typing import TypeVar

from PySide6.QtCore import QEventLoop, Qt, QTimer
from PySide6.QtWidgets import QApplication, QMainWindow

from tapscore.gui.collecting import collect_in_the_window_s_thread

T = TypeVar("T")
AT_ONCE_SEC = 0.2
GIVEN_UP_SEC = 20.0
_LOOK_MS = 30


class NoAnswerError(OSError):
    """The disc gave no answer in time."""


class _Asked:
    """A question to the disc that is on its way."""

    def __init__(self, job: Callable[[], object]) -> None:
        self._job = job
        self.answer: object = None
        self.problem: BaseException | None = None
        collect_in_the_window_s_thread()
        self._thread = threading.Thread(target=self._run, daemon=True)
        self._thread.start()

    def here(self, within_sec: float) -> bool:
        """Whether the answer has come."""
        self._thread.join(within_sec)
        return not self._thread.is_alive()

    def _run(self) -> None:
        try:
            self.answer = self._job()
        except BaseException as problem:
            self.problem = problem


def patiently(job: Callable[[], T], window: QMainWindow | None = None, what: str = "") -> T:
    """What ``job`` gives; ``what`` is said at the window's foot where it takes long.

    ``job`` runs in another thread and touches nothing of Qt.  Raises what it raises, and
    NoAnswerError after ``GIVEN_UP_SEC``; it may still come to an end then.
    """
    asked = _Asked(job)
    if not asked.here(AT_ONCE_SEC):
        _wait(asked, window, what)
    if asked.problem is not None:
        raise asked.problem
    return asked.answer  # type: ignore[return-value]


def answered_at_once(job: Callable[[], T], otherwise: T) -> T:
    """What ``job`` gives, or ``otherwise`` where that takes long or fails."""
    asked = _Asked(job)
    if not asked.here(AT_ONCE_SEC) or asked.problem is not None:
        return otherwise
    return asked.answer  # type: ignore[return-value]


def _wait(asked: _Asked, window: QMainWindow | None, what: str) -> None:
    end = time.monotonic() + GIVEN_UP_SEC
    if window is not None and what:
        window.statusBar().showMessage(f"{what} ... the disc is slow.")
    app = QApplication.instance()
    loop, look = QEventLoop(), QTimer()
    look.setInterval(_LOOK_MS)
    look.timeout.connect(lambda: loop.quit() if asked.here(0) or time.monotonic() > end else None)
    look.start()
    if isinstance(app, QApplication):
        app.setOverrideCursor(Qt.CursorShape.WaitCursor)
    try:
        loop.exec(QEventLoop.ProcessEventsFlag.ExcludeUserInputEvents)
    finally:
        look.stop()
        if isinstance(app, QApplication):
            app.restoreOverrideCursor()
        if window is not None:
            window.statusBar().clearMessage()
    if not asked.here(0):
        raise NoAnswerError(errno.ETIMEDOUT, "the disc gives no answer")
