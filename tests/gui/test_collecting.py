"""Cycles of Qt objects end in the window's thread, never in a worker."""

import threading

from PySide6.QtCore import QObject

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
