"""Cycles of Qt objects end in the window's thread, never in a worker."""

import gc
import threading
import time
from pathlib import Path

import pytest
from PySide6.QtCore import QObject

from tapscore.gui import collecting
from tapscore.gui.collecting import Collecting, put_off_collecting
from tapscore.gui.document import Document
from tapscore.storyfile.read import read_file

ENDED_IN: list[str] = []


class _Ring(QObject):
    def __init__(self) -> None:
        super().__init__()
        self.ring = self

    def __del__(self) -> None:
        ENDED_IN.append(threading.current_thread().name)


def test_a_busy_worker_collects_nothing() -> None:
    for _ in range(50):
        _Ring()

    def busy() -> None:
        for _ in range(300):
            [[] for _ in range(200)]

    worker = threading.Thread(target=busy, name="worker")
    worker.start()
    worker.join()
    assert "worker" not in ENDED_IN


@pytest.mark.parametrize(
    ("counts", "typing", "collected"),
    [
        ((700, 0, 0), False, []),
        ((701, 2, 40), False, [0]),
        ((701, 3, 40), True, [1]),
        ((701, 3, 41), False, [2]),
        ((701, 3, 41), True, [1]),
        ((701, 0, 41), True, [0]),
        ((0, 0, 400), True, []),
        ((0, 0, 401), True, [2]),
    ],
)
def test_what_takes_long_waits_for_a_pause_in_typing(
    counts: tuple[int, int, int],
    typing: bool,
    collected: list[int],
    qapp: QObject,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    now = 100.0
    done: list[int] = []
    monkeypatch.setattr(time, "monotonic", lambda: now)
    put_off_collecting()
    now += 0.1 if typing else 1.0
    with monkeypatch.context() as patched:
        patched.setattr(gc, "get_threshold", lambda: (700, 10, 10))
        each = Collecting()
        patched.setattr(gc, "get_count", lambda: counts)
        patched.setattr(gc, "collect", done.append)
        each.collect()
        patched.setattr(gc, "enable", lambda: None)  # the tests' own goes on
        each.end()
    assert done == collected


def test_a_change_of_the_story_is_typing(
    qapp: QObject, demo_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    document = Document(read_file(demo_path), demo_path)
    monkeypatch.setattr(collecting, "_last_change_sec", 0.0)
    document.show_story(document.story)
    assert collecting._last_change_sec > 0.0
