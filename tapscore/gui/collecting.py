"""Python's collector of cycles kept to the window's own thread.

Left alone, it runs in whichever thread happens to make objects.  In a worker it would
destroy windows and timers there, and Qt crashes when a timer ends in a foreign thread.
"""

import gc

from PySide6.QtCore import QCoreApplication, QObject, QTimer

INTERVAL_MS = 400


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
        """Collect the oldest generation that has reached its usual limit."""
        counts = gc.get_count()
        for generation in (2, 1, 0):
            if counts[generation] > self._limits[generation] > 0:
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
