"""Opening, saving, keeping safe: what windows do with files."""

from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Slot
from PySide6.QtWidgets import QWidget

from tapscore.disc.ours import damaged
from tapscore.gui.asking import STORIES, STORY_KINDS, WORD_KINDS, Asking
from tapscore.gui.background import NoAnswerError, answered_at_once, patiently
from tapscore.gui.calm_wheel import calm_the_wheel, looking_away
from tapscore.gui.disc_watch import DiscWatch
from tapscore.gui.document import Document
from tapscore.gui.recovering import Recovering
from tapscore.gui.recovery import RecoveryFolder
from tapscore.gui.saving import CopiedFrom, Saving
from tapscore.gui.settings import Settings
from tapscore.gui.story_window import StoryWindow
from tapscore.storyfile.read import StoryText, read_text
from tapscore.storyfile.write import write_story
from tapscore.wording.catalogue import say
from tapscore.wording.text import Surface
from tapscore.workflow.adapt import CopyWay, adapt
from tapscore.workflow.keeping.save_story import Seen, look
from tapscore.workflow.new_story import new_story_text
from tapscore.workflow.open_story import OpenedStory, open_story
from tapscore.workflow.plain_words import UnreadableWordsError

if TYPE_CHECKING:
    from tapscore.gui.main_window import MainWindow
    from tapscore.gui.start_page import StartPage

AUTOSAVE_MS = 15_000
"""So often at least, while somebody works on without a rest."""
RESTED_MS = 2_000


_SAVE, _THROW_AWAY, _GO_ON = say("Save"), say("Throw them away"), say("Go on writing")


class FileWork(QObject):
    """All windows and their files."""

    def __init__(self, settings: Settings, asking: Asking, recovery: RecoveryFolder) -> None:
        super().__init__()
        self.settings = settings
        self.asking = asking
        self.windows: list[MainWindow] = []
        self.start_page: StartPage | None = None
        self._saving = Saving(settings, asking)
        self._recovering = Recovering(recovery, asking)
        self._watch = DiscWatch(self._watched, self)
        self._watch.changed.connect(self._changed_on_disc)
        self._timer = QTimer(self)
        self._timer.setInterval(AUTOSAVE_MS)
        self._timer.timeout.connect(self.keep_all)
        self._timer.start()
        self._rested = QTimer(self)
        self._rested.setSingleShot(True)
        self._rested.setInterval(RESTED_MS)
        self._rested.timeout.connect(self.keep_all)

    def show_story(
        self, source: StoryText, path: Path | None, seen: Seen | None = None
    ) -> "MainWindow":
        """Open a window on a story; ``seen`` is what was in its file when it was read."""
        from tapscore.gui.main_window import MainWindow

        with looking_away():
            window = MainWindow(Document(source, path), self.settings, self)
        calm_the_wheel(window)
        window.document.changed.connect(lambda *_: self._rested.start())
        self.windows.append(window)
        if seen is None:
            seen = answered_at_once(partial(look, path), Seen(None))
        self._saving.begin(window, seen)
        if path is not None:
            self.settings.remember(path)
        window.show()
        return window

    def open_path(self, path: Path, parent: StoryWindow | None = None) -> "MainWindow | None":
        """Open a window on a file; says why where it can't be opened."""
        there = self._window_on(path)
        if there is not None:
            there.raise_()
            there.activateWindow()
            return there
        try:
            opened, seen = patiently(
                partial(_open, path), parent, say("Opening {path}", path=path.name)
            )
        except NoAnswerError:
            self.asking.tell(
                parent,
                say("{path} can't be opened.", path=path.name),
                say("The disc gives no answer. Try it later."),
            )
            return None
        if opened.story is None:
            first = opened.findings[0]
            said = first.said(Surface.WINDOW)
            place = (
                say("Line {line}: ", line=first.span.line)
                if first.span and first.span.line > 1
                else ""
            )
            self.asking.tell(
                parent,
                say("{path} can't be opened.", path=path.name),
                f"{place}{said.message}\n{said.remedy}",
            )
            return None
        return self.show_story(opened.source, path, seen)

    def open(self, window: StoryWindow) -> None:
        """Ask for a file and open it."""
        path = self.asking.open_file(window, say("Open a story"), STORIES)
        if path is not None:
            self.open_path(path, window)

    def new(self, window: StoryWindow | None = None) -> None:
        """Show the page to begin on: from words, from another story, or with an old one."""
        from tapscore.gui.start_page import StartPage

        self.start_page = StartPage(self, window)
        self.start_page.open()

    def show_new(
        self, text: str, *, guessed: bool = False, copied: CopiedFrom | None = None
    ) -> "MainWindow":
        """Open a window on a story that has no file yet; ``guessed`` shows what was guessed.

        What lies beside a story it was ``copied`` from comes along when it is saved.
        """
        made = self.show_story(read_text(text), None)
        if copied is not None:
            self._saving.bring_along(made, copied)
        made.document.undo_stack.resetClean()
        made.setWindowModified(True)
        if guessed:
            made.guesses.begin()
        return made

    def dropped(self, window: StoryWindow, paths: Sequence[Path]) -> None:
        """Open what was dropped on a window: stories, and words as new stories."""
        others: list[str] = []
        for path in paths:
            ending = path.suffix.casefold()
            if f"*{ending}" in STORY_KINDS:
                self.open_path(path, window)
            elif f"*{ending}" in WORD_KINDS:
                self.from_words(window, partial(new_story_text, path), path.name)
            else:
                others.append(path.name)
        if others:
            window.say(
                say("Drop stories or files of words here; {others} is neither.", others=others[0])
            )

    def from_words(
        self, parent: QWidget, text_of: Callable[[], str], name: str
    ) -> "MainWindow | None":
        """A window on a story made from plain words; says why where there is none to make."""
        try:
            text = patiently(text_of)
        except (UnreadableWordsError, OSError) as error:
            self.asking.tell(parent, say("{name} can't be used.", name=name), str(error))
            return None
        return self.show_new(text, guessed=True)

    def adapted(self, window: StoryWindow, way: CopyWay) -> None:
        """Open a copy of the story that is gentler, livelier or shorter, and say what differs."""
        document = window.document
        found = adapt(document.story, way)
        if not found.changes:
            self.asking.tell(
                window,
                say(
                    "A {way:gentler=gentler|livelier=livelier|short=short} copy would be just the "
                    "same.",
                    way=way.value,
                ),
            )
            return
        copy = self.show_new(write_story(found.story))
        changes = "\n".join(found.said)
        self.asking.show(
            copy,
            say(
                "A {way:gentler=gentler|livelier=livelier|short=short} copy: look at each change",
                way=way.value,
            ),
            changes,
        )

    def save(self, window: StoryWindow) -> bool:
        """Save to the story's own file; False if it was not saved."""
        return self._kept_no_more(window, self._saving.save(window))

    def save_as(self, window: StoryWindow) -> bool:
        """Ask for a name and save under it."""
        return self._kept_no_more(window, self._saving.save_as(window))

    def look_at_disc(self, window: StoryWindow) -> None:
        """Look at once whether another program has changed the window's file."""
        self._watch.look(window)

    def may_close(self, window: StoryWindow) -> bool:
        """Ask what to do with unsaved work; False if the window stays."""
        if not window.document.modified:
            return True
        answer = self.asking.choose(
            window,
            say("“{title}” has changes that are not saved.", title=window.document.story.title),
            "",
            (_SAVE, _THROW_AWAY, _GO_ON),
        )
        if answer == _SAVE:
            return self.save(window)
        return answer == _THROW_AWAY

    def closed(self, window: StoryWindow) -> None:
        """Forget a window that is gone."""
        self._recovering.forget(window)
        self._saving.end(window)
        self.windows = [each for each in self.windows if each is not window]

    def keep_all(self) -> None:
        """Keep every window's unsaved work."""
        for window in self.windows:
            self._recovering.keep(window, self._saving.seen(window))

    def offer_recovered(self) -> None:
        """Open what an earlier run left unsaved, if the user wants it."""
        self._recovering.offer(self._show_recovered)
        files = [file for file in damaged() if file.parent != self._recovering.folder]
        if files:
            names = "\n".join(str(file) for file in files)
            self.asking.tell(
                None, say("A file of the program's own is damaged; it goes on without it."), names
            )

    def end(self) -> None:
        """The program ends: nothing is looked at or kept any more."""
        self._timer.stop()
        self._rested.stop()
        self._watch.stop()
        self._recovering.end()

    def _show_recovered(self, source: StoryText, path: Path | None, seen: Seen) -> StoryWindow:
        window = self.show_story(source, path, seen)
        window.document.undo_stack.resetClean()
        return window

    def _window_on(self, path: Path) -> "MainWindow | None":
        def same(open_path: Path | None) -> bool:
            if open_path is None:
                return False
            return open_path.absolute() == path.absolute() or open_path.samefile(path)

        for window in self.windows:
            if answered_at_once(partial(same, window.document.path), False):
                return window
        return None

    def _kept_no_more(self, window: StoryWindow, saved: bool) -> bool:
        if saved:
            self._recovering.forget(window)
        return saved

    def _watched(self) -> dict[StoryWindow, Path]:
        return {
            window: window.document.path
            for window in self.windows
            if window.document.path is not None
        }

    @Slot(object, object)
    def _changed_on_disc(self, window: StoryWindow, now: Seen) -> None:
        if window in self.windows and self._saving.changed_on_disc(window, now):
            assert window.document.path is not None
            window.statusBar().showMessage(
                say(
                    "Somebody else has changed {path}. Saving will ask what to do; it can "
                    "put both together.",
                    path=window.document.path.name,
                )
            )


def _open(path: Path) -> tuple[OpenedStory, Seen]:
    seen = Seen(None)
    with suppress(OSError):  # opening says why
        seen = look(path)
    return open_story(path), seen
