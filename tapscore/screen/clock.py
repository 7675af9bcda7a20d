"""What time it is for the listening cursor."""

import time
from typing import Protocol

FREEST_SEC = 0.1
"""How far the cursor may run ahead of what the sound device last said."""
_FOLLOW = 0.1


class Clock(Protocol):
    """Seconds that never go back, from any beginning."""

    def now_sec(self) -> float:
        """Seconds now."""


class MonotonicClock:
    """The computer's own steady clock."""

    def now_sec(self) -> float:
        """Seconds now."""
        return time.perf_counter()


class SmoothPosition:
    """Follows a sound device that says only every 20 ms or so how far it has come.

    Between two of its answers the steady clock counts on; each new answer draws the count
    a little nearer.  The result never goes back, and stands still while the device does.
    """

    def __init__(self) -> None:
        self._offset_sec: float | None = None
        self._heard_sec = 0.0
        self._last_sec = 0.0

    def at(self, now_sec: float, heard_sec: float) -> float:
        """Seconds heard so far, smoothly.

        The first answer above 0 is taken as it is: some devices say it half a second
        before they really begin.
        """
        if heard_sec != self._heard_sec:
            offset = heard_sec - now_sec
            if self._offset_sec is None or abs(offset - self._offset_sec) > FREEST_SEC:
                self._offset_sec = offset if self._heard_sec > 0 else None
            else:
                self._offset_sec += _FOLLOW * (offset - self._offset_sec)
            self._heard_sec = heard_sec
        reached = heard_sec
        if self._offset_sec is not None:
            reached = min(now_sec + self._offset_sec, heard_sec + FREEST_SEC)
        self._last_sec = max(self._last_sec, reached)
        return self._last_sec
