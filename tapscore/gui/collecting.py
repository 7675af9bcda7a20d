"""Python's collector of cycles kept to the window's own thread.

Left alone, it runs in whichever thread happens to make objects.  In a worker it would
destroy windows and timers there, and Qt crashes when a timer ends in a foreign thread.
"""

import gc
import time

from PySide6.QtCore import QCoreApplication, QObject, QTimer

INTERVAL_MS = 400
YOUNG, MIDDLE, OLD = range(3)
_LIMITS = {MIDDLE: 2, OLD: 40}
"""Collections of the generation below before one is collected.

Python's 10 let so much gather in the middle one that it held a key up for 36 ms in a story of
1,000 lines; looking through all that is old (80 ms at 500 lines) waits for a pause.
"""
PAUSE_SEC = 0.8
_MOST_PUT_OFF = 10
"""So many times its limit, and the oldest is collected while somebody types on."""

_last_change_sec = float("-inf")


def put_off_collecting() -> None:
    """Say that somebody is typing: what takes long waits for a pause."""
    global _last_change_sec  # noqa: PLW0603
    _last_change_sec = time.monotonic()


class Collecting(QObject):
    """Collects from a timer of the thread it is made in, until ``end`` is called."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._limits = gc.get_threshold()
        gc.disable()
        self._timer = QTimer(self)
        self._timer.setInterval(INTERVAL_MS)
        self._timer.timeout.connect(self.collect)
        self._timer.start()

    def collect(self) -> None:
        """Collect the oldest generation that has reached its limit; of all, in a pause."""
        counts = gc.get_count()
        typing = time.monotonic() - _last_change_sec < PAUSE_SEC
        limits = {YOUNG: self._limits[YOUNG], **_LIMITS}
        limits[OLD] *= _MOST_PUT_OFF if typing else 1
        for generation in (OLD, MIDDLE, YOUNG):
            if counts[generation] > limits[generation] > 0:
                gc.collect(generation)
                return

    def end(self) -> None:
        """Give collecting back to Python."""
        self._timer.stop()
        self.setParent(None)
        gc.enable()


def collect_in_the_window_s_thread() -> None:
    """See to it that there is a ``Collecting`` before a worker begins."""
    app = QCoreApplication.instance()
    if app is not None and app.findChild(Collecting) is None:
        Collecting(app)
