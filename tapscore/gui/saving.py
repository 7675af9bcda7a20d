"""Saving: asks before it replaces, puts two people's changes together, says what went wrong."""

import errno
from functools import partial
from pathlib import Path

from attrs import frozen

from tapscore.disc.reading import read_bounded
from tapscore.disc.reasons import reason
from tapscore.gui.asking import Asking
from tapscore.gui.background import answered_at_once, patiently
from tapscore.gui.settings import Settings
from tapscore.gui.story_window import StoryWindow
from tapscore.model.story import Story
from tapscore.storyfile.read import StoryText, read_bytes
from tapscore.wording.catalogue import say
from tapscore.workflow.belongings import bring_along
from tapscore.workflow.keeping.changes import Change, story_changes
from tapscore.workflow.keeping.merge import merge
from tapscore.workflow.keeping.save_story import (
    MOST_BYTES,
    ChangedSinceError,
    ReadsOtherwiseError,
    Seen,
    UnreadableAgainError,
    save_story,
    seen_of,
)
from tapscore.workflow.names import STORY_ENDINGS, slug
from tapscore.workflow.recordings_beside import recordings_beside, recordings_folder

SEE, TOGETHER = say("See what differs"), say("Put both together")
OTHER_NAME, REPLACE, DONT_SAVE = (
    say("Save under another name"),
    say("Replace it with mine"),
    say("Don't save"),
)
SAVE_SO = say("Save it so")
MINE, THEIRS = say("Take mine there"), say("Take the file's there")
TAKE, LEAVE = say("Take them along"), say("Leave them there")
_NOT_SAVED = say("Your story is still here, and is kept safe as you write.")


@frozen
class CopiedFrom:
    """The story file that an unsaved copy was made from."""

    path: Path
    recordings: bool = False
    """Whether its recordings come along."""


class Saving:
    """Saves the stories of all windows, and knows what was in each file last."""

    def __init__(self, settings: Settings, asking: Asking) -> None:
        self._settings = settings
        self._asking = asking
        self._seen: dict[StoryWindow, Seen] = {}
        self._base: dict[StoryWindow, Story] = {}
        """The story in each window's file when it was last read or written."""
        self._warned: set[StoryWindow] = set()
        self._copied: dict[StoryWindow, CopiedFrom] = {}

    def begin(self, window: StoryWindow, seen: Seen) -> None:
        """A window is on a file that was as ``seen``."""
        self._seen[window] = seen
        self._base[window] = window.document.story

    def end(self, window: StoryWindow) -> None:
        """Forget a window that is gone."""
        self._seen.pop(window, None)
        self._base.pop(window, None)
        self._copied.pop(window, None)
        self._warned.discard(window)

    def bring_along(self, window: StoryWindow, copied: CopiedFrom) -> None:
        """When this window's story is saved first, what lies beside the old one comes along."""
        self._copied[window] = copied

    def seen(self, window: StoryWindow) -> Seen:
        """What was in the window's file when it was last read or written."""
        return self._seen.get(window, Seen(None))

    def save(self, window: StoryWindow) -> bool:
        """Save to the story's own file; False if it was not saved."""
        path = window.document.path
        if path is None:
            return self.save_as(window)
        return self._write(window, path, self.seen(window))

    def save_as(self, window: StoryWindow) -> bool:
        """Ask for a name and save under it; an existing file is never replaced unasked."""
        story = window.document.story
        near = window.document.path or Path(f"{slug(story.title)}{STORY_ENDINGS[0]}")
        path = self._asking.save_file(window, say("Save the story as"), near)
        if path is None:
            return False
        named = with_ending(path)
        # the platform's dialog has asked about the name as it was typed, not as it is now
        if named != path and patiently(named.exists, window):
            answer = self._asking.choose(
                window,
                say("There is a file {named} already.", named=named.name),
                say("Saving would put your story in its place."),
                (REPLACE, OTHER_NAME, DONT_SAVE),
                loses=True,
            )
            if answer == OTHER_NAME:
                return self.save_as(window)
            if answer != REPLACE:
                return False
        return self._write(window, named, None)

    def changed_on_disc(self, window: StoryWindow, now: Seen) -> bool:
        """Note what is in the window's file; whether that is news to the user."""
        if now.digest is None or now == self.seen(window) or window in self._warned:
            return False
        self._warned.add(window)
        return True

    def _write(
        self, window: StoryWindow, path: Path, seen: Seen | None, *, even_so: bool = False
    ) -> bool:
        text, story = window.document.text(), None if even_so else window.document.story
        try:
            saved = patiently(
                partial(save_story, path, text, story, seen=seen),
                window,
                say("Saving {path}", path=path.name),
            )
        except ChangedSinceError:
            return self._ask_about_change(window, path)
        except ReadsOtherwiseError as error:
            answer = self._asking.choose(
                window,
                say("Something here can't be written as it stands. In the file would be missing:"),
                str(error),
                (SAVE_SO, DONT_SAVE),
            )
            return answer == SAVE_SO and self._write(window, path, seen, even_so=True)
        except UnreadableAgainError as error:
            self._asking.tell(
                window,
                say("{path} was not saved: it could not be opened again.", path=path.name),
                f"{error}\n{_NOT_SAVED}",
            )
            return False
        except OSError as error:
            answer = self._asking.choose(
                window,
                say("{path} was not saved.", path=path.name),
                f"{why_not_saved(path, error)} {_NOT_SAVED}",
                (OTHER_NAME, DONT_SAVE),
            )
            return answer == OTHER_NAME and self.save_as(window)
        before = window.document.path
        window.document.mark_saved(path)
        self.begin(window, saved.seen)
        self._warned.discard(window)
        self._settings.remember(path)
        done = (
            say("Saved {path}.", path=path.name)
            if saved.earlier_in
            else say("Saved {path}. Its earlier versions could not be kept.", path=path.name)
        )
        window.statusBar().showMessage(done, 4000)
        copied = self._copied.pop(window, None)
        if copied is None and before is not None and before.absolute() != path.absolute():
            copied = CopiedFrom(before, self._takes_recordings(window, before, path))
        if copied is not None:
            self._bring(window, path, copied)
        return True

    def _takes_recordings(self, window: StoryWindow, before: Path, path: Path) -> bool:
        """Whether recordings go along to another name: asked where there are any to take."""
        old, new = recordings_beside(before), recordings_folder(path)
        if answered_at_once(new.exists, True) or not answered_at_once(old.is_dir, False):
            return False
        answer = self._asking.choose(
            window,
            say("Take the recordings along to {name}?", name=path.name),
            say("They lie in {folder} and belong to the old name.", folder=old.name),
            (TAKE, LEAVE),
        )
        return answer == TAKE

    def _bring(self, window: StoryWindow, path: Path, copied: CopiedFrom) -> None:
        story = window.document.story
        bring = partial(bring_along, copied.path, path, story, recordings=copied.recordings)
        said = patiently(bring, window, say("Copying pictures and recordings"))
        if said:
            self._asking.tell(window, say("With the copy came along:"), "\n".join(said))

    def _ask_about_change(self, window: StoryWindow, path: Path) -> bool:
        """Somebody else changed the file: what to do about it."""
        try:
            theirs, seen = patiently(
                partial(_read, path), window, say("Reading {path}", path=path.name)
            )
        except OSError:
            theirs, seen = StoryText("", None, None, ()), None
        can_merge = theirs.story is not None and window in self._base
        while True:
            answer = self._asking.choose(
                window,
                say("{path} was changed by somebody else since it was opened.", path=path.name),
                say("Saving here would put your story in the place of that one."),
                (SEE, *((TOGETHER,) if can_merge else ()), OTHER_NAME, REPLACE, DONT_SAVE),
            )
            if answer == SEE:
                self._asking.show(window, say("What differs"), what_differs(window, theirs))
            elif answer == TOGETHER and seen is not None:
                return self._put_together(window, path, theirs, seen)
            elif answer == OTHER_NAME:
                return self.save_as(window)
            else:
                return answer == REPLACE and self._write(window, path, None)

    def _put_together(self, window: StoryWindow, path: Path, theirs: StoryText, seen: Seen) -> bool:
        document = window.document
        assert theirs.story is not None
        base, mine, other = self._base[window], document.story, theirs.story
        found = merge(base, mine, other)
        if found.clashes:
            answer = self._asking.choose(
                window,
                say("Both of you changed the same in some places. Which way shall it be there?"),
                "\n".join(clash.sentence for clash in found.clashes),
                (MINE, THEIRS, DONT_SAVE),
            )
            if answer == DONT_SAVE:
                return False
            found = merge(base, mine, other, mine_wins=answer == MINE)
        if found.story is None:
            self._asking.tell(window, say("They can't be put together. Save under another name."))
            return False
        document.put_together(found.story)
        if not self._write(window, path, seen):
            return False
        self._tell_of_merging(window, story_changes(mine, found.story))
        return True

    def _tell_of_merging(self, window: StoryWindow, changes: tuple[Change, ...]) -> None:
        sentences = [change.sentence for change in changes]
        if sentences:
            self._asking.show(
                window,
                say("Put together and saved"),
                "\n".join((say("This came in from the file; Undo takes it back:"), "", *sentences)),
            )


def with_ending(path: Path) -> Path:
    """A story file's name: what ends otherwise gets ``.tapscore`` behind it, dots or not."""
    if path.suffix.lower() in STORY_ENDINGS:
        return path
    return path.with_name(f"{path.name}{STORY_ENDINGS[0]}")


def what_differs(window: StoryWindow, theirs: StoryText) -> str:
    """Each change from the file's story to the window's, in words."""
    if theirs.story is None:
        return say("The file can't be read as a story:") + "\n\n" + theirs.text
    changes = story_changes(theirs.story, window.document.story)
    if not changes:
        return say("They say the same.")
    return "\n".join((say("From the file's to yours:"), "", *(each.sentence for each in changes)))


def why_not_saved(path: Path, error: OSError) -> str:
    """A sentence on what stood in the way, and what may help."""
    if isinstance(error, FileNotFoundError):
        return say("The folder {parent} is not there. Is its drive connected?", parent=path.parent)
    if error.errno == errno.ENOSPC:
        return say("The disc is full. Make room, or save on another one.")
    if error.errno == errno.ENAMETOOLONG:
        return say("The name is too long. Choose a shorter one.")
    if isinstance(error, PermissionError):
        if "protected" in reason(error):
            return say("The file is write-protected. Save under another name, or ask its owner.")
        return say("You may not write there, or another program holds the file open.")
    return f"{reason(error).capitalize().rstrip('.')}."


def _read(path: Path) -> tuple[StoryText, Seen]:
    data = read_bounded(path, MOST_BYTES)
    return read_bytes(data), seen_of(data)
