"""Looks in the background whether somebody else has changed an open story's file.

By asking from time to time: what tells of changes at once (inotify and its like) knows nothing
of what another computer does on a drive of the network.
"""

import os
from collections.abc import Callable, Mapping
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal, Slot

from tapscore.gui.background import Background, Task
from tapscore.gui.story_window import StoryWindow
from tapscore.workflow.keeping.save_story import Seen, look

LOOK_MS = 4000
Stamp = tuple[int, int, int]
Wish = tuple[tuple[int, Path, Stamp | None], ...]
"""For each window a number, its file, and how that looked last."""


class DiscWatch(QObject):
    """Says ``changed`` with a window and what is in its file, whenever the file looks new."""

    changed = Signal(object, object)

    def __init__(
        self, watched: Callable[[], Mapping[StoryWindow, Path]], parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._watched = watched
        self._stamps: dict[tuple[int, Path], Stamp] = {}
        self._background = Background(_look, self)
        self._background.answered.connect(self._looked)
        self._timer = QTimer(self)
        self._timer.setInterval(LOOK_MS)
        self._timer.timeout.connect(self.look)
        self._timer.start()

    @Slot()
    def look(self, _: object = None) -> None:
        """Look now; nothing is asked of a disc that has not answered yet."""
        windows = self._watched()
        known = {(id(window), path) for window, path in windows.items()}
        self._stamps = {key: stamp for key, stamp in self._stamps.items() if key in known}
        if known and not self._background.busy:
            self._background.ask(
                tuple((number, path, self._stamps.get((number, path))) for number, path in known)
            )

    def stop(self) -> None:
        """End the looking; to be called before the program ends."""
        self._timer.stop()
        self._background.stop()

    @Slot(object)
    def _looked(self, found: object) -> None:
        windows = {id(window): (window, path) for window, path in self._watched().items()}
        assert isinstance(found, tuple)
        for number, path, stamp, seen in found:
            window, path_now = windows.get(number, (None, None))
            if window is not None and path_now == path:
                self._stamps[number, path] = stamp
                self.changed.emit(window, seen)


def _look(wish: Wish, task: Task) -> object:
    found: list[tuple[int, Path, Stamp, Seen]] = []
    for number, path, before in wish:
        if task.cancelled():
            break
        try:
            status = os.stat(path)  # noqa: PTH116 - one answer of the disc for all three
            stamp = status.st_mtime_ns, status.st_size, status.st_ino
            if stamp != before:
                found.append((number, path, stamp, look(path)))
        except OSError:
            continue  # gone for a while; it is looked at again
    return tuple(found)
