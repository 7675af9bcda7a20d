"""Answers a wish by a function in another thread, so that typing never waits."""

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, QThread, QTimer, Signal, Slot

PAUSE_MS = 90


class _Worker(QObject):
    done = Signal(int, object)

    def __init__(self, answer: Callable[[Any], object]) -> None:
        super().__init__()
        self._answer = answer
        self.wanted = 0
        """Number of the newest wish, set from the window's thread."""

    @Slot(int, object)
    def work(self, number: int, wish: object) -> None:
        if number == self.wanted:
            self.done.emit(number, self._answer(wish))


class Working(QObject):
    """Answers the newest wish by a function, a moment after it was made, with ``answered``."""

    answered = Signal(object)
    _asked = Signal(int, object)

    def __init__(self, answer: Callable[[Any], object], parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._number = 0
        self._wish: object = None
        self._thread: QThread | None = None
        self._worker = _Worker(answer)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(PAUSE_MS)
        self._timer.timeout.connect(self._start)

    def ask(self, wish: object) -> None:
        """Wish for something; whatever was wished for before is dropped."""
        self.give_up()
        self._wish = wish
        self._timer.start()

    def give_up(self) -> None:
        """Nobody waits for an answer any more."""
        self._timer.stop()
        self._number += 1
        self._worker.wanted = self._number

    def stop(self) -> None:
        """End the thread; to be called before the window goes."""
        self.give_up()
        if self._thread is not None:
            self._thread.quit()
            self._thread.wait(5000)
            self._thread = None

    @Slot()
    def _start(self) -> None:
        if self._thread is None:
            self._thread = QThread(self)
            self._worker.moveToThread(self._thread)
            self._asked.connect(self._worker.work)
            self._worker.done.connect(self._finished)
            self._thread.start()
        self._asked.emit(self._number, self._wish)

    @Slot(int, object)
    def _finished(self, number: int, found: object) -> None:
        if number == self._number:
            self.answered.emit(found)
