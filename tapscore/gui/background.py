"""Work in another thread, so that the window never waits: one way for all of it.

``Background`` answers the newest wish.  The work gets the wish and a ``Task``, with which it
says how far it is and asks whether anybody still waits.  Whatever comes of it, an error too,
arrives in the window's thread.

``patiently`` and ``answered_at_once`` are for a question to a disc that may be far away: an
answer is needed before anything else can be done.  ``Errands`` are done one after the other,
all of them.

Work holds no window or other Qt object: the last reference to one must not go in a worker,
where Qt would crash.
"""

import atexit
import errno
import queue
import sys
import threading
import time
from collections.abc import Callable
from functools import partial
from typing import Any, Generic, TypeVar

from PySide6.QtCore import QEventLoop, QObject, Qt, QTimer, Signal, Slot
from PySide6.QtWidgets import QApplication, QMainWindow

from tapscore.gui.collecting import collect_in_the_window_s_thread
from tapscore.wording.catalogue import say

T = TypeVar("T")
TYPING_PAUSE_MS = 90
"""A wish made while somebody types or drags waits so long for a further one."""
AT_ONCE_SEC = 0.2
GIVEN_UP_SEC = 20.0
_LOOK_MS = 30
_GIVE_WAY_SEC = 0.0005
"""How long a worker goes on when the window's thread wants Python.

The usual 5 ms are waited anew each time that Qt has been asked something: ten of them lie in one
turn of a window while a story is read back and checked.
"""
_PATIENCE_SEC = 5.0
"""How long an ending program waits for work that was told to end."""


class NoAnswerError(OSError):
    """The disc gave no answer in time."""


class Errand(Generic[T]):
    """One piece of work on its way."""

    def __init__(self, work: Callable[[], T]) -> None:
        self._work = work
        self._answer: T | None = None
        self.problem: BaseException | None = None
        self._ended = threading.Event()

    def run(self) -> None:
        """Do it; in the thread it was given to."""
        try:
            self._answer = self._work()
        except BaseException as problem:
            self.problem = problem
        finally:
            self._ended.set()

    def ended(self, within_sec: float = 0.0) -> bool:
        """Whether it is done or has failed, waiting for it a while."""
        return self._ended.wait(within_sec)

    @property
    def answer(self) -> T:
        """What came of it; raises what it raised."""
        if self.problem is not None:
            raise self.problem
        return self._answer  # type: ignore[return-value]


class Errands:
    """Does what it is given, one after the other, in a thread begun with the first.

    The thread is a daemon: a drive that never answers does not keep the program from ending.
    """

    def __init__(self) -> None:
        self._given: queue.SimpleQueue[Errand[Any] | None] = queue.SimpleQueue()
        self._thread: threading.Thread | None = None

    def do(self, work: Callable[[], T]) -> Errand[T]:
        """Give it something to do."""
        errand = Errand(work)
        self._given.put(errand)
        if self._thread is None:
            collect_in_the_window_s_thread()
            sys.setswitchinterval(min(sys.getswitchinterval(), _GIVE_WAY_SEC))
            self._thread = threading.Thread(target=_run, args=(self._given,), daemon=True)
            _THREADS[:] = [each for each in _THREADS if each[0].is_alive()]
            _THREADS.append((self._thread, self._given))
            self._thread.start()
        return errand

    def no_more(self) -> None:
        """Let the thread end when all is done."""
        self._given.put(None)

    def stop(self, within_sec: float = _PATIENCE_SEC) -> None:
        """Wait until all is done, and end the thread."""
        self.no_more()
        if self._thread is not None:
            self._thread.join(within_sec)
            self._thread = None
            self._given = queue.SimpleQueue()

    @property
    def running(self) -> bool:
        """Whether there is a thread."""
        return self._thread is not None and self._thread.is_alive()


_THREADS: list[tuple[threading.Thread, queue.SimpleQueue[Errand[Any] | None]]] = []


def _run(given: queue.SimpleQueue[Errand[Any] | None]) -> None:
    while (errand := given.get()) is not None:
        errand.run()
        errand = None  # nothing of it is held on to while waiting for the next


@atexit.register
def _end_all() -> None:
    end = time.monotonic() + _PATIENCE_SEC
    for _, given in _THREADS:
        given.put(None)
    for thread, _ in _THREADS:
        thread.join(max(end - time.monotonic(), 0.0))
    _THREADS.clear()


def patiently(job: Callable[[], T], window: QMainWindow | None = None, what: str = "") -> T:
    """What ``job`` gives; ``what`` is said at the window's foot where it takes long.

    The window is painted meanwhile and takes no input.  Raises what ``job`` raises, and
    NoAnswerError after ``GIVEN_UP_SEC``; it may still come to an end then.
    """
    asked = _ask(job)
    if not asked.ended(AT_ONCE_SEC):
        _wait(asked, window, what)
    return asked.answer


def answered_at_once(job: Callable[[], T], otherwise: T) -> T:
    """What ``job`` gives, or ``otherwise`` where that takes long or fails."""
    asked = _ask(job)
    if not asked.ended(AT_ONCE_SEC) or asked.problem is not None:
        return otherwise
    return asked.answer


def _ask(job: Callable[[], T]) -> Errand[T]:
    errands = Errands()
    asked = errands.do(job)
    errands.no_more()
    return asked


def _wait(asked: Errand[Any], window: QMainWindow | None, what: str) -> None:
    end = time.monotonic() + GIVEN_UP_SEC
    if window is not None and what:
        window.statusBar().showMessage(say("{what} ... the disc is slow.", what=what))
    loop, look = QEventLoop(), QTimer()
    look.setInterval(_LOOK_MS)
    look.timeout.connect(lambda: loop.quit() if asked.ended() or time.monotonic() > end else None)
    look.start()
    QApplication.setOverrideCursor(Qt.CursorShape.WaitCursor)
    try:
        loop.exec(QEventLoop.ProcessEventsFlag.ExcludeUserInputEvents)
    finally:
        look.stop()
        QApplication.restoreOverrideCursor()
        if window is not None:
            window.statusBar().clearMessage()
    if not asked.ended():
        raise NoAnswerError(errno.ETIMEDOUT, say("the disc gives no answer"))


class _News(QObject):
    """Brings what happens in the worker to the window's thread, and holds no more than numbers."""

    done = Signal(int, object, object)
    """Number, answer, and the error instead of one."""
    reported = Signal(int, object)

    def __init__(self) -> None:
        super().__init__()
        self.wanted = 0
        """Number of the newest wish; it and the next are set from the window's thread."""
        self.cancelled = 0


class Task:
    """What the work knows of the window."""

    def __init__(self, news: _News, number: int) -> None:
        self._news = news
        self._number = number

    def report(self, news: object) -> None:
        """Say how far it is, or hand over something that is ready already."""
        self._news.reported.emit(self._number, news)

    def cancelled(self) -> bool:
        """Whether to stop: nobody waits for it any more, or somebody wants it to end."""
        return self._number != self._news.wanted or self._number == self._news.cancelled


Work = Callable[[Any, Task], object]
_NEWS: list[tuple[threading.Event, _News]] = []
"""All that workers may still emit, so that none of it goes in a worker."""


class Background(QObject):
    """Answers the newest wish by ``work`` in a thread of its own, begun with the first wish."""

    answered = Signal(object)
    progressed = Signal(object)
    """What the work reports of the newest wish."""

    def __init__(self, work: Work, parent: QObject | None = None, *, pause_ms: int = 0) -> None:
        super().__init__(parent)
        self.busy = False
        """Whether an answer is still to come."""
        self._work = work
        self._number = 0
        self._wish: object = None
        self._errands = Errands()
        self._news = _News()
        self._news.done.connect(self._done)
        self._news.reported.connect(self._reported)
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(pause_ms)
        self._timer.timeout.connect(self._start)
        self._all_errands = [self._errands]
        self.destroyed.connect(partial(_let_go, self._all_errands, self._news))

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
        self._news.wanted = self._number

    def leave_it(self) -> None:
        """Give up, and leave work that does not end to a thread that nothing waits for."""
        self.give_up()
        self._errands.no_more()
        self._errands = Errands()
        self._all_errands[:] = [self._errands]

    def cancel(self) -> None:
        """Let the work end as soon as it can; what came of it is still answered."""
        self._news.cancelled = self._number

    def stop(self) -> None:
        """End the thread; to be called before the window goes."""
        self.give_up()
        self._errands.stop()

    @property
    def running(self) -> bool:
        """Whether there is a thread."""
        return self._errands.running

    @Slot()
    def _start(self) -> None:
        wish, self._wish = self._wish, None
        done = threading.Event()
        _NEWS[:] = [each for each in _NEWS if not each[0].is_set()]
        _NEWS.append((done, self._news))
        self._errands.do(partial(_answer, self._work, self._news, self._number, wish, done))

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


def _answer(work: Work, news: _News, number: int, wish: object, done: threading.Event) -> None:
    """Do the work, if it is still wanted; in the worker."""
    try:
        if number != news.wanted:
            return
        answer, problem = None, None
        try:
            answer = work(wish, Task(news, number))
        except Exception as error:
            problem = error
        news.done.emit(number, answer, problem)
    finally:
        done.set()


def _let_go(all_errands: list[Errands], news: _News) -> None:
    news.wanted = -1
    for errands in all_errands:
        errands.no_more()
