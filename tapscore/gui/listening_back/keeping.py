"""What is kept of a rehearsal on purpose: the recording, or a text without names."""

import shutil
from collections.abc import Callable
from pathlib import Path

from PySide6.QtWidgets import QWidget

from tapscore.disc.reasons import reason
from tapscore.disc.whole import write_whole, write_whole_bytes
from tapscore.gui.asking import Asking, kinds
from tapscore.gui.recording.recording_dialog import kinds_of_recordings
from tapscore.wording.catalogue import say

RECORDINGS = kinds_of_recordings("*.amr", "*.3gp", "*.webm")
TEXTS = kinds(say("Texts"), "*.txt")


class Keeping:
    """Asks where, writes whole files, and says what came of it."""

    def __init__(
        self,
        window: QWidget,
        asking: Asking,
        folder: Callable[[], Path],
        say: Callable[[str], None],
    ) -> None:
        self._window = window
        self._asking = asking
        self._folder = folder
        self._say = say

    def recording(self, source: Path) -> None:
        """Keep the recording, as it came."""
        kept = self._asking.save_file(
            self._window,
            say("Keep the recording"),
            self._folder() / f"rehearsal{source.suffix}",
            RECORDINGS,
        )
        if kept is None:
            return
        try:
            write_whole(kept, lambda path: _copy(source, path))
        except OSError as error:
            self._tell(say("{kept} was not kept.", kept=kept.name), error)
        else:
            self._say(say("The recording is kept as {kept}.", kept=kept.name))

    def text(self, report: str) -> None:
        """Save what was said as a text."""
        path = self._asking.save_file(
            self._window, say("Save as text"), self._folder() / "rehearsal.txt", TEXTS
        )
        if path is None:
            return
        try:
            write_whole_bytes(path, report.encode("utf-8"))
        except OSError as error:
            self._tell(say("{path} was not saved.", path=path.name), error)
        else:
            self._say(say("Saved as {path}, without names.", path=path.name))

    def _tell(self, what: str, error: OSError) -> None:
        self._asking.tell(self._window, what, reason(error))


def _copy(source: Path, path: Path) -> None:
    shutil.copyfile(source, path)
