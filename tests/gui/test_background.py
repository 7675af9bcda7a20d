"""Work in another thread: newest wins, progress, cancelling, errors, and a collector kept out."""

import gc
import sys
import threading
import time
from functools import partial

import pytest
from PySide6.QtCore import QObject
from pytestqt.exceptions import capture_exceptions
from pytestqt.qtbot import QtBot

from tapscore.gui.background import Background, Errands, Task


def _slow(wish: int, task: Task) -> tuple[int, str]:
    for step in range(wish):
        if task.cancelled():
            return step, "cancelled"
        task.report(step)
        time.sleep(0.01)
    return wish, threading.current_thread().name


def test_only_the_newest_wish_is_answered(qtbot: QtBot) -> None:
    background = Background(_slow)
    found: list[tuple[int, str]] = []
    news: list[int] = []
    background.answered.connect(found.append)
    background.progressed.connect(news.append)
    for wish in (30, 20, 3):
        background.ask(wish)
    assert background.busy
    qtbot.waitUntil(lambda: not background.busy)
    qtbot.wait(50)
    assert [each[0] for each in found] == [3]
    assert found[0][1] != "MainThread"
    assert news[-3:] == [0, 1, 2]
    background.stop()
    assert not background.running


def test_what_is_cancelled_is_still_answered(qtbot: QtBot) -> None:
    background = Background(_slow)
    found: list[tuple[int, str]] = []
    background.answered.connect(found.append)
    background.progressed.connect(lambda step: background.cancel() if step == 2 else None)
    background.ask(1000)
    qtbot.waitUntil(lambda: bool(found))
    assert found[0][1] == "cancelled"
    background.ask(2)
    qtbot.waitUntil(lambda: len(found) == 2)
    assert found[1][0] == 2
    background.stop()


def test_what_is_given_up_is_never_answered(qtbot: QtBot) -> None:
    background = Background(_slow, pause_ms=5)
    found: list[object] = []
    background.answered.connect(found.append)
    background.ask(10_000)
    qtbot.waitUntil(lambda: background.running)
    background.give_up()
    qtbot.wait(120)
    assert found == []
    assert not background.busy
    background.stop()


def test_an_error_arrives_in_the_windows_thread(qtbot: QtBot) -> None:
    def broken(_: object, task: Task) -> None:
        raise LookupError("a fault")

    background = Background(broken)
    with capture_exceptions() as faults:
        background.ask(1)
        qtbot.waitUntil(lambda: not background.busy)
    assert [fault[0] for fault in faults] == [LookupError]
    background.stop()


def test_a_background_that_goes_while_it_works_harms_nothing(qtbot: QtBot) -> None:
    began = threading.Event()

    def long(_: object, task: Task) -> None:
        began.set()
        while not task.cancelled():
            time.sleep(0.005)

    parent = QObject()
    background = Background(long, parent)
    background.ask(1)
    assert began.wait(30)
    errands = background._errands
    del background
    parent.deleteLater()
    qtbot.waitUntil(lambda: not errands.running)


def test_the_collector_of_cycles_is_kept_out_of_workers(qtbot: QtBot) -> None:
    background = Background(_slow)
    background.ask(1)
    qtbot.waitUntil(lambda: not background.busy)
    assert not gc.isenabled()
    background.stop()


def test_errands_are_done_one_after_the_other_and_all_of_them(qtbot: QtBot) -> None:
    errands, done = Errands(), list[int]()

    def one(number: int) -> int:
        time.sleep(0.01 * (number % 2))
        done.append(number)
        if number == 3:
            raise LookupError("a fault")
        return number

    given = [errands.do(partial(one, number)) for number in range(6)]
    errands.stop()
    assert done == list(range(6))
    assert given[5].answer == 5
    with pytest.raises(LookupError):
        _ = given[3].answer
    assert not errands.running
    assert errands.do(partial(one, 7)).ended(30)


@pytest.mark.parametrize("times", [30])
def test_starting_and_stopping_many_times(qtbot: QtBot, times: int) -> None:
    for _ in range(times):
        background = Background(_slow)
        background.ask(2)
        background.stop()


def test_a_worker_gives_way_to_the_window() -> None:
    """With Python's usual 5 ms a turn of the window that asks Qt ten things waits ten times."""
    before = sys.getswitchinterval()
    try:
        sys.setswitchinterval(0.005)
        errands = Errands()
        errands.do(lambda: None)
        assert sys.getswitchinterval() < 0.001
        errands.stop()
    finally:
        sys.setswitchinterval(before)
