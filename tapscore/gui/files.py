"""Opening, saving, keeping safe: what windows do with files."""

from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer

from tapscore.disc.whole import write_whole_bytes
from tapscore.gui.asking import STORIES, WORDS, Asking
from tapscore.gui.document import Document
from tapscore.gui.recovery import Recovered, RecoveryFolder
from tapscore.gui.settings import Settings
from tapscore.gui.story_window import StoryWindow
from tapscore.storyfile.read import StoryText, read_text
from tapscore.storyfile.write import write_story
from tapscore.workflow.adapt import Way, adapt
from tapscore.workflow.differences import differences
from tapscore.workflow.names import slug
from tapscore.workflow.new_story import new_story_text
from tapscore.workflow.open_story import open_story
from tapscore.workflow.plain_words import UnreadableWordsError

if TYPE_CHECKING:
    from tapscore.gui.main_window import MainWindow

AUTOSAVE_MS = 15_000
SEE, OTHER_NAME, REPLACE = "See what differs", "Save under another name", "Replace it with mine"
DONT_SAVE = "Don't save"
OPEN, THROW_AWAY, LATER = "Open it", "Throw it away", "Ask again next time"


class FileWork(QObject):
    """All windows and their files."""

    def __init__(self, settings: Settings, asking: Asking, recovery: RecoveryFolder) -> None:
        super().__init__()
        self.settings = settings
        self.asking = asking
        self.windows: list[MainWindow] = []
        """How cards were made or printed last."""
        self._recovery = recovery
        self._on_disc: dict[StoryWindow, bytes | None] = {}
        self._warned: set[StoryWindow] = set()
        self._timer = QTimer(self)
        self._timer.setInterval(AUTOSAVE_MS)
        self._timer.timeout.connect(self.keep_all)
        self._timer.start()

    def show_story(self, source: StoryText, path: Path | None) -> "MainWindow":
        """Open a window on a story."""
        from tapscore.gui.main_window import MainWindow

        window = MainWindow(Document(source, path), self.settings, self)
        self.windows.append(window)
        self._on_disc[window] = _bytes_of(path)
        if path is not None:
            self.settings.remember(path)
        window.show()
        return window

    def open_path(self, path: Path, parent: StoryWindow | None = None) -> "MainWindow | None":
        """Open a window on a file; says why where it can't be opened."""
        for window in self.windows:
            if (
                window.document.path is not None
                and window.document.path.resolve() == path.resolve()
            ):
                window.raise_()
                window.activateWindow()
                return window
        opened = open_story(path)
        if opened.story is None:
            first = opened.findings[0]
            place = f"Line {first.span.line}: " if first.span and first.span.line > 1 else ""
            self.asking.tell(
                parent, f"{path.name} can't be opened.", f"{place}{first.message}\n{first.remedy}"
            )
            return None
        return self.show_story(opened.source, path)

    def open(self, window: StoryWindow) -> None:
        """Ask for a file and open it."""
        path = self.asking.open_file(window, "Open a story", STORIES)
        if path is not None:
            self.open_path(path, window)

    def new(self, window: StoryWindow) -> None:
        """Make a story from a file of plain words."""
        source = self.asking.open_file(window, "Words of the new story", WORDS)
        if source is None:
            return
        try:
            text = new_story_text(source)
        except UnreadableWordsError as error:
            self.asking.tell(window, f"{source.name} can't be used.", str(error))
            return
        made = self.show_story(read_text(text), None)
        made.document.undo_stack.resetClean()

    def adapted(self, window: StoryWindow, way: Way) -> None:
        """Open a copy of the story that is gentler, livelier or shorter, and say what differs."""
        document = window.document
        found = adapt(document.story, way)
        if not found.changes:
            self.asking.tell(window, f"A {way.value} copy would be just the same.")
            return
        copy = self.show_story(read_text(write_story(found.story, document.source)), None)
        copy.document.undo_stack.resetClean()
        copy.setWindowModified(True)
        changes = "\n".join(f"{change.where}: {change.what}" for change in found.changes)
        self.asking.tell(copy, f"A {way.value} copy. Look at each change:", changes)

    def save(self, window: StoryWindow) -> bool:
        """Save to the story's own file; False if it was not saved."""
        path = window.document.path
        if path is None:
            return self.save_as(window)
        if _bytes_of(path) != self._on_disc.get(window) and path.exists():
            answer = self._ask_about_change(window, path)
            if answer == OTHER_NAME:
                return self.save_as(window)
            if answer != REPLACE:
                return False
        return self._write(window, path)

    def _ask_about_change(self, window: StoryWindow, path: Path) -> str:
        """Another program changed the file: what to do about it."""
        while True:
            answer = self.asking.choose(
                window,
                f"{path.name} was changed by another program since it was opened.",
                "Saving here would put your story in the place of that one.",
                (SEE, OTHER_NAME, REPLACE, DONT_SAVE),
            )
            if answer != SEE:
                return answer
            self.asking.tell(
                window, "What differs", differences(window.document.text(), _text_of(path))
            )

    def save_as(self, window: StoryWindow) -> bool:
        """Ask for a name and save under it."""
        story = window.document.story
        near = window.document.path or Path(f"{slug(story.title)}.yaml")
        path = self.asking.save_file(window, "Save the story as", near)
        if path is None:
            return False
        return self._write(window, path if path.suffix else path.with_suffix(".yaml"))

    def look_at_disc(self, window: StoryWindow) -> None:
        """Say so, once, when another program has changed the window's file."""
        path = window.document.path
        if path is None or window in self._warned or not path.exists():
            return
        if _bytes_of(path) != self._on_disc.get(window):
            self._warned.add(window)
            window.statusBar().showMessage(
                f"Another program has changed {path.name}. Saving will ask what to do.", 15_000
            )

    def may_close(self, window: StoryWindow) -> bool:
        """Ask what to do with unsaved work; False if the window stays."""
        if not window.document.modified:
            return True
        answer = self.asking.choose(
            window,
            f"“{window.document.story.title}” has changes that are not saved.",
            "",
            ("Save", "Throw them away", "Go on writing"),
        )
        if answer == "Save":
            return self.save(window)
        return answer == "Throw them away"

    def closed(self, window: StoryWindow) -> None:
        """Forget a window that is gone."""
        self._recovery.forget(self._key(window))
        self._on_disc.pop(window, None)
        self._warned.discard(window)
        self.windows = [each for each in self.windows if each is not window]

    def keep_all(self) -> None:
        """Keep every window's unsaved work; a full disc is said once, in the window."""
        for window in self.windows:
            document = window.document
            try:
                if document.modified:
                    self._recovery.keep(self._key(window), document.path, document.text())
                else:
                    self._recovery.forget(self._key(window))
            except OSError as error:
                window.statusBar().showMessage(
                    f"Your work can't be kept safe just now: {error.strerror or error}.", 10_000
                )

    def offer_recovered(self) -> None:
        """Open what an earlier run left unsaved, if the user wants it."""
        for left in self._recovery.left_behind():
            self._offer(left)

    def _offer(self, left: Recovered) -> None:
        source = read_text(left.text)
        name = left.path.name if left.path else "a story that was never saved"
        answer = SEE
        while answer == SEE:
            answer = self.asking.choose(
                None,
                f"The program ended before {name} was saved.",
                "Open the unsaved story beside the file? Nothing is overwritten until you save.",
                (OPEN, SEE, THROW_AWAY, LATER) if left.path else (OPEN, THROW_AWAY, LATER),
            )
            if answer == SEE and left.path:
                self.asking.tell(None, "What differs", differences(left.text, _text_of(left.path)))
        if answer == LATER:
            return
        if answer == OPEN and source.story is not None:
            window = self.show_story(source, left.path)
            window.document.undo_stack.resetClean()
            window.setWindowModified(True)
            self._recovery.keep(self._key(window), left.path, left.text)
        left.kept_in.unlink(missing_ok=True)

    def _write(self, window: StoryWindow, path: Path) -> bool:
        text = window.document.text()
        try:
            write_whole_bytes(path, text.encode("utf-8"))
        except OSError as error:
            self.asking.tell(
                window,
                f"{path.name} was not saved.",
                f"{error.strerror or error}. Your story is still here: save it in another folder.",
            )
            return False
        window.document.mark_saved(text, path)
        self._on_disc[window] = _bytes_of(path)
        self._warned.discard(window)
        self._recovery.forget(self._key(window))
        self.settings.remember(path)
        window.statusBar().showMessage(f"Saved {path.name}.", 4000)
        return True

    def _key(self, window: StoryWindow) -> str:
        return str(id(window))


def _text_of(path: Path) -> str:
    try:
        return path.read_text(encoding="utf-8", errors="replace")
    except OSError:
        return ""


def _bytes_of(path: Path | None) -> bytes | None:
    import hashlib

    try:
        return hashlib.sha256(path.read_bytes()).digest() if path is not None else None
    except OSError:
        return None
