"""Between the class record's window and the story's: the story knows nothing of the record."""

from shiboken6 import isValid

from tapscore.gui.records.record_window import RecordWindow
from tapscore.gui.story_window import StoryWindow
from tapscore.model.story import Story
from tapscore.records.said import noted_moments
from tapscore.rhythm.moments import Moment, moments
from tapscore.rhythm.perform import perform

_WINDOWS: list[RecordWindow] = []
"""Record windows that are open; each lives until it is closed."""


def open_class_record(window: StoryWindow) -> RecordWindow:
    """Show the window of the class record, for the story of ``window``."""
    for each in _WINDOWS:
        each.show_for_story(StoryLink(window, each))
        return each
    made = RecordWindow(window.files.asking)
    made.show_for_story(StoryLink(window, made))
    _WINDOWS.append(made)
    made.gone.connect(_let_go)
    return made


def _let_go() -> None:
    for window in _WINDOWS:
        window.deleteLater()
    _WINDOWS.clear()


class StoryLink:
    """The story that is open, as the record's window sees it."""

    def __init__(self, window: StoryWindow, records: RecordWindow) -> None:
        self._window, self._records = window, records
        self._last = window.document.story
        window.document.changed.connect(records.mark_soon)

    @property
    def story(self) -> Story:
        """The story as it is now, or as it was when its window was closed."""
        if isValid(self._window):
            self._last = self._window.document.story
        return self._last

    def go_to(self, name: str) -> bool:
        """Show a moment in the story; False if it has none such, or is closed."""
        moment = next((each for each in self._moments() if each.name == name), None)
        if moment is None or not isValid(self._window):
            return False
        self._window.view.go_to(moment.path)
        self._window.raise_()
        self._window.activateWindow()
        return True

    def mark(self) -> None:
        """Mark the lines that have notes, while the record is open; none while it is locked."""
        if not isValid(self._window):
            return
        sitting = self._records.sitting
        names = noted_moments(sitting.record, self.story.title) if sitting.is_open else frozenset()
        paths = (each.path for each in self._moments() if each.name in names)
        self._window.rows.set_noted(frozenset(paths) if names else frozenset())

    def unmark(self) -> None:
        """Show no marks any more."""
        if isValid(self._window):
            self._window.rows.set_noted(frozenset())
            self._window.document.changed.disconnect(self._records.mark_soon)

    def _moments(self) -> tuple[Moment, ...]:
        return moments(perform(self.story))
