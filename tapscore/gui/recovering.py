"""Keeping unsaved work as it is written, and offering what an earlier run left."""

from collections.abc import Callable
from datetime import datetime
from functools import partial
from pathlib import Path

from PySide6.QtCore import QObject, Signal

from tapscore.disc.reading import read_bounded
from tapscore.disc.reasons import reason
from tapscore.disc.whole import write_whole_bytes
from tapscore.gui.asking import Asking
from tapscore.gui.background import Errand, Errands, answered_at_once
from tapscore.gui.recovery import Recovered, RecoveryFolder
from tapscore.gui.saving import with_ending
from tapscore.gui.story_window import StoryWindow
from tapscore.model.story import Story
from tapscore.storyfile.read import StoryText, read_bytes, read_text
from tapscore.storyfile.write import write_story
from tapscore.wording.catalogue import say
from tapscore.workflow.keeping.changes import story_changes
from tapscore.workflow.keeping.save_story import MOST_BYTES, Seen
from tapscore.workflow.keeping.versions import when_in_words
from tapscore.workflow.names import slug

OPEN, SEE, READ = say("Open it"), say("See what differs"), say("Read it")
READ_FILE, COPY = say("Read the file"), say("Save a copy ...")
PUT_AWAY, LATER = say("Put it away"), say("Ask again next time")
OpenStory = Callable[[StoryText, Path | None, Seen], StoryWindow]


class _Failed(QObject):
    failed = Signal(str, str)
    """The key of a window whose work could not be kept, and why."""


class Recovering:
    """Keeps the work of all windows safe, and brings it back.

    What touches the disc runs in another thread, in the order it was asked for: typing never
    waits for it, and what is forgotten stays forgotten.
    """

    def __init__(self, folder: RecoveryFolder, asking: Asking) -> None:
        self._folder = folder
        self._asking = asking
        self._errands = Errands()
        self._kept: dict[str, tuple[Story, Path | None, Seen]] = {}
        """What of each window lies in the folder, or will in a moment."""
        self._windows: dict[str, StoryWindow] = {}
        self._news = _Failed()
        self._news.failed.connect(self._say_not_kept)

    @property
    def folder(self) -> Path:
        """Where kept work lies; what is damaged there is offered like the rest."""
        return self._folder.folder

    def keep(self, window: StoryWindow, seen: Seen) -> Errand[None] | None:
        """Keep a window's unsaved work; what stands in the way is said in the window.

        This is the last net, so whatever goes wrong with one window is said and does not
        keep the others from being kept.  None where there is nothing new to keep.
        """
        document, key = window.document, _key(window)
        if not (document.modified or window.isWindowModified()):
            self.forget(window)
            return None
        story, path, before = document.story, document.path, self._kept.get(key)
        if before is not None and before[0] is story and before[1:] == (path, seen):
            return None
        self._kept[key] = (story, path, seen)
        self._windows[key] = window
        return self._errands.do(
            partial(_keep, self._folder, key, path, story, seen, self._news.failed.emit)
        )

    def forget(self, window: StoryWindow) -> None:
        """Its work is saved, or thrown away on purpose."""
        key = _key(window)
        self._kept.pop(key, None)
        if self._windows.pop(key, None) is not None:
            self._errands.do(partial(self._folder.forget, key))

    def end(self) -> None:
        """This run ends; what it kept and nobody decided about is offered to the next one."""
        self._errands.stop()
        self._folder.let_go()

    def _say_not_kept(self, key: str, reason: str) -> None:
        self._kept.pop(key, None)  # it is tried again the next time
        window = self._windows.get(key)
        if window is not None:
            window.statusBar().showMessage(
                say(
                    "Your work can't be kept safe just now: {reason}. Save it, please.",
                    reason=reason,
                ),
                14_000,
            )

    def offer(self, open_story: OpenStory) -> None:
        """Offer all that earlier runs left, one after the other."""
        for left in self._folder.left_behind():
            self._offer(left, open_story)

    def _offer(self, left: Recovered, open_story: OpenStory) -> None:
        source = None if left.text is None else read_text(left.text)
        readable = source is not None and source.story is not None
        file_data = (
            None
            if left.path is None
            else answered_at_once(partial(read_bounded, left.path, MOST_BYTES), None)
        )
        answers = [OPEN] if readable else []
        answers += [SEE] if readable and file_data is not None else []
        answers += [READ, *([READ_FILE] if file_data is not None else [])]
        answers += [COPY, PUT_AWAY, LATER]
        title, more = _title(left, source), _times(left, file_data is not None)
        while True:
            answer = self._asking.choose(None, title, more, tuple(answers))
            if answer == SEE and source is not None and file_data is not None:
                self._asking.show(None, say("What differs"), _differences(source, file_data))
            elif answer == READ:
                self._asking.show(None, say("Kept, and not saved"), _text_of(left))
            elif answer == READ_FILE and file_data is not None:
                self._asking.show(None, say("In the file"), file_data.decode("utf-8", "replace"))
            elif answer == COPY:
                self._save_copy(left)
            elif answer == PUT_AWAY:
                self._put_away(left, source)
                return
            elif answer == OPEN and source is not None:
                window = open_story(source, left.path, left.seen or Seen(None))
                window.setWindowModified(True)
                kept = self.keep(window, left.seen or Seen(None))
                self._errands.do(partial(_take_over, self._folder, left, kept))
                return
            else:
                return

    def _save_copy(self, left: Recovered) -> None:
        path = self._asking.save_file(
            None, say("Save a copy of the kept work"), with_ending(Path(say("kept work")))
        )
        if path is None:
            return
        named = with_ending(path)
        try:
            if named != path and named.exists():
                self._asking.tell(
                    None, say("There is a file {named} already. Choose another.", named=named.name)
                )
                return
            data = left.kept_in.read_bytes() if left.text is None else left.text.encode()
            write_whole_bytes(named, data)
        except (OSError, UnicodeEncodeError) as error:
            self._asking.tell(None, say("{named} was not saved.", named=named.name), str(error))

    def _put_away(self, left: Recovered, source: StoryText | None) -> None:
        name = slug(source.story.title) if source and source.story else say("kept work")
        try:
            kept = self._folder.put_away(left, left.path.stem if left.path else name)
        except (OSError, UnicodeEncodeError) as error:
            self._asking.tell(None, say("It could not be put away."), reason(error))
        else:
            there = say("It lies in {kept}.", kept=kept)
            if left.text is not None:
                there += " " + say("It opens there like any story.")
            self._asking.tell(None, say("It is not deleted."), there)


def _keep(
    folder: RecoveryFolder,
    key: str,
    path: Path | None,
    story: Story,
    seen: Seen,
    failed: Callable[[str, str], None],
) -> None:
    """Write a story and keep it; in the worker."""
    try:
        folder.keep(key, path, write_story(story), seen)
    except Exception as error:
        failed(key, reason(error) or type(error).__name__)
        raise


def _take_over(folder: RecoveryFolder, left: Recovered, kept: Errand[None] | None) -> None:
    """Let go of what an earlier run left, once this run has it safe; in the worker."""
    if kept is not None and kept.ended() and kept.problem is None:
        folder.take_over(left)


def _key(window: StoryWindow) -> str:
    return str(id(window))


def _title(left: Recovered, source: StoryText | None) -> str:
    if source is None:
        return say("The program ended before some work was saved. What was kept of it is damaged.")
    if left.path is not None:
        return say("The program ended before {path} was saved.", path=left.path.name)
    if source.story is None:
        return say("The program ended before a story was saved that has no file yet.")
    return say(
        "The program ended before “{title}” was saved, which has no file yet.",
        title=source.story.title,
    )


def _times(left: Recovered, has_file: bool) -> str:
    said = []
    if left.when is not None:
        said.append(say("Kept: {when_in_words}.", when_in_words=when_in_words(left.when)))
    saved = None
    if has_file and left.path is not None:
        stamp = answered_at_once(left.path.stat, None)
        saved = None if stamp is None else datetime.fromtimestamp(stamp.st_mtime)
        if saved is not None:
            said.append(
                say("The file was saved: {when_in_words}.", when_in_words=when_in_words(saved))
            )
    if saved is not None and left.when is not None and saved > left.when:
        said.append(say("The file is newer than what was kept."))
    said.append(
        say(
            "Nothing is overwritten until you save, and nothing is deleted: "
            "what you put away stays in its folder."
        )
    )
    return "\n".join(said)


def _text_of(left: Recovered) -> str:
    if left.text is not None:
        return left.text
    try:
        return read_bounded(left.kept_in, MOST_BYTES).decode("utf-8", "replace")
    except OSError as error:
        return say("It can't be read: {reason}.", reason=reason(error))


def _differences(kept: StoryText, file_data: bytes) -> str:
    saved = read_bytes(file_data)
    if saved.story is None or kept.story is None:
        return (
            say("The file can't be read as a story:")
            + "\n\n"
            + file_data.decode("utf-8", "replace")
        )
    changes = story_changes(saved.story, kept.story)
    if not changes:
        return say("They say the same.")
    return "\n".join(
        (say("From the file to what was kept:"), "", *(each.sentence for each in changes))
    )
