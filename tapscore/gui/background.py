"""Work in another thread, so that the window never waits: one way for all of it.

``Background`` answers the newest wish.  The work gets the wish and a ``Task``, with which it
says how far it is and asks whether anybody still waits.  Whatever comes of it, an error too,
arrives in the window's thread.  Work holds no window or other Qt object: the last reference to
one must not go in a worker, where Qt would crash.
"""

import atexit
from collections.abc import Callable
from functools import partial
from typing import Any

from PySide6.QtCore import QObject, QThread, QTimer, Signal, Slot

from tapscore.gui.collecting import collect_in_the_window_s_thread

TYPING_PAUSE_MS = 90
"""A wish made while somebody types or drags waits so long for a further one."""
_PATIENCE_MS = 5000


class _Worker(QObject):
    done = Signal(int, object, object)
    """Number, answer, and the error instead of one."""
    reported = Signal(int, object)

    def __init__(self, work: "Work") -> None:
        super().__init__()
        self._work = work
        self.wanted = 0
        """Number of the newest wish; it and the next are set from the window's thread."""
        self.cancelled = 0

    @Slot(int, object)
    def start(self, number: int, wish: object) -> None:
        if number != self.wanted:
            return
        answer, problem = None, None
        try:
            answer = self._work(wish, Task(self, number))
        except Exception as error:
            problem = error
        self.done.emit(number, answer, problem)


class Task:
    """What the work knows of the window."""

    def __init__(self, worker: _Worker, number: int) -> None:
        self._worker = worker
        self._number = number

    def report(self, news: object) -> None:
        """Say how far it is, or hand over something that is ready already."""
        self._worker.reported.emit(self._number, news)

    def cancelled(self) -> bool:
        """Whether to stop: nobody waits for it any more, or somebody wants it to end."""
        return self._number != self._worker.wanted or self._number == self._worker.cancelled


Work = Callable[[Any, Task], object]


class Background(QObject):
    """Answers the newest wish by ``work`` in a thread of its own, begun with the first wish."""

    answered = Signal(object)
    progressed = Signal(object)
    """What the work reports of the newest wish."""
    _asked = Signal(int, object)

    def __init__(self, work: Work, parent: QObject | None = None, *, pause_ms: int = 0) -> None:
        super().__init__(parent)
        self.busy = False
        """Whether an answer is still to come."""
        self._number = 0
        self._wish: object = None
        self._thread: QThread | None = None
        self._worker = _Worker(work)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(pause_ms)
        self._timer.timeout.connect(self._start)

    def ask(self, wish: object) -> None:
        """Wish for something; whatever was wished for before is given up."""
        self.give_up()
        self.busy = True
        self._wish = wish
        if self._timer.interval():
            self._timer.start()
        else:
            self._start()

    def give_up(self) -> None:
        """Nobody waits for an answer any more."""
        self._timer.stop()
        self.busy = False
        self._wish = None
        self._number += 1
        self._worker.wanted = self._number

    def cancel(self) -> None:
        """Let the work end as soon as it can; what came of it is still answered."""
        self._worker.cancelled = self._number

    def stop(self) -> None:
        """End the thread; to be called before the window goes."""
        self.give_up()
        if self._thread is not None:
            self._thread.quit()
            self._thread.wait(_PATIENCE_MS)
            self._thread = None

    @property
    def running(self) -> bool:
        """Whether there is a thread."""
        return self._thread is not None and self._thread.isRunning()

    @Slot()
    def _start(self) -> None:
        if self._thread is None:
            collect_in_the_window_s_thread()
            self._thread = _new_thread(self._worker)
            self.destroyed.connect(partial(_let_go, self._thread, self._worker))
            self._asked.connect(self._worker.start)
            self._worker.done.connect(self._done)
            self._worker.reported.connect(self._reported)
            self._thread.start()
        wish, self._wish = self._wish, None
        self._asked.emit(self._number, wish)

    @Slot(int, object)
    def _reported(self, number: int, news: object) -> None:
        if number == self._number:
            self.progressed.emit(news)

    @Slot(int, object, object)
    def _done(self, number: int, answer: object, problem: Exception | None) -> None:
        if number == self._number:
            self.busy = False
            if problem is not None:
                raise problem
            self.answered.emit(answer)


_THREADS: list[tuple[QThread, _Worker]] = []
"""All that may still run: a thread destroyed before it has ended would end the program."""


def _new_thread(worker: _Worker) -> QThread:
    _THREADS[:] = [each for each in _THREADS if not each[0].isFinished()]
    thread = QThread()
    worker.moveToThread(thread)
    _THREADS.append((thread, worker))
    return thread


def _let_go(thread: QThread, worker: _Worker) -> None:
    worker.wanted = -1
    if (thread, worker) in _THREADS:
        thread.quit()


@atexit.register
def _end_all() -> None:
    for thread, worker in _THREADS:
        _let_go(thread, worker)
        thread.wait(_PATIENCE_MS)
    _THREADS.clear()
