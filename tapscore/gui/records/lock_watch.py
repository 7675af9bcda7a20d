"""Says when nobody touched keys or mouse for a while, and when the computer slept."""

import time
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import SLOT, QEvent, QObject, QTimer, Signal, Slot

if TYPE_CHECKING:
    from PySide6.QtDBus import QDBusConnection

LOOK_MS = 1000
USUAL_IDLE_MINUTES = 10
SLEPT_SEC = 20.0
"""A second's pause that took so long was the computer asleep (or stopped)."""
_LOGIND = (
    "org.freedesktop.login1",
    "/org/freedesktop/login1",
    "org.freedesktop.login1.Manager",
    "PrepareForSleep",
)
_TOUCHES = (
    QEvent.Type.KeyPress,
    QEvent.Type.MouseButtonPress,
    QEvent.Type.Wheel,
    QEvent.Type.InputMethod,
    QEvent.Type.TouchBegin,
)


class LockWatch(QObject):
    """Looks every second; clocks that stand still in sleep and clocks that don't both tell.

    It is to be an event filter of the window (of the system's, not of each widget: that would
    cost at every painting).
    """

    due = Signal()

    def __init__(
        self,
        parent: QObject | None = None,
        *,
        running: Callable[[], float] = time.monotonic,
        wall: Callable[[], float] = time.time,
    ) -> None:
        super().__init__(parent)
        self.idle_minutes = USUAL_IDLE_MINUTES
        self._running, self._wall = running, wall
        self._touched = self._looked = 0.0
        self._ahead = 0.0
        self._timer = QTimer(self)
        self._timer.setInterval(LOOK_MS)
        self._timer.timeout.connect(self.look)

    def listen(self, bus: "QDBusConnection | None" = None) -> bool:
        """Hear of sleep before it comes, where logind says so (its D-Bus interface, Manager).

        Elsewhere the clocks tell as soon as the computer wakes.  False if there is no bus.
        """
        from PySide6.QtDBus import QDBusConnection

        system = bus or QDBusConnection.systemBus()
        # PySide6's stub asks for bytes, the function itself for what SLOT gives
        slot: Any = SLOT("sleeps(bool)")
        return system.isConnected() and system.connect(*_LOGIND, self, slot)

    @Slot(bool)
    def sleeps(self, before: bool) -> None:
        """Qt: the computer is about to sleep, or has woken."""
        if before and self._timer.isActive():
            self.due.emit()

    def start(self) -> None:
        """Begin to watch."""
        self._touched = self._looked = self._running()
        self._ahead = self._wall() - self._running()
        self._timer.start()

    def stop(self) -> None:
        """Watch no more."""
        self._timer.stop()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:  # noqa: ARG002, N802
        """Qt: somebody is there."""
        if event.type() in _TOUCHES:
            self._touched = self._running()
        return False

    def look(self) -> None:
        """See whether it is time."""
        now = self._running()
        ahead = self._wall() - now
        # Where the running clock stands still in sleep, the wall clock jumps ahead of it; a
        # wall clock that is set back, or by hand, is no sleep.
        slept = now - self._looked > SLEPT_SEC or ahead - self._ahead > SLEPT_SEC
        idle = now - self._touched >= self.idle_minutes * 60
        self._looked, self._ahead = now, ahead
        if slept or idle:
            self.due.emit()
