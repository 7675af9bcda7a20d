"""Swap packs from the list of stories: one made for another school, one of theirs opened."""

import zlib
from functools import partial
from pathlib import Path

from attrs import frozen
from PySide6.QtCore import QObject, Signal
from PySide6.QtWidgets import QWidget

from tapscore.disc.reasons import reason
from tapscore.gui.asking import Asking, kinds
from tapscore.gui.background import Background, Task, patiently
from tapscore.gui.next_year_dialog import NextYearDialog
from tapscore.wording.catalogue import say
from tapscore.workflow.belongings import belongings
from tapscore.workflow.names import slug
from tapscore.workflow.open_story import open_story
from tapscore.workflow.pack_opened import look_into, open_pack
from tapscore.workflow.swap_pack import PackError, for_others, make_pack

PACKS = kinds(say("Swap packs"), "*.zip")
OPEN, LEAVE = say("Open it here"), say("Leave it closed")
WITH, WITHOUT = say("With the recordings"), say("Without them")
SHOWN = 30
AFTER = say(
    "They go into one file for another school, with the papers. It says nothing of your class,"
    " your term, or who is here, and holds no observation slips."
)


@frozen
class _Wish:
    path: Path
    text: str
    beside: Path
    recordings: Path | None


def _make(wish: _Wish, _: Task) -> str:
    """Make a pack; gives what to say of it."""
    try:
        make_pack(wish.path, wish.text, beside=wish.beside, recordings=wish.recordings)
    except PackError as error:
        return str(error)
    except OSError as error:
        return say("{path} was not made: {reason}.", path=wish.path.name, reason=reason(error))
    return say("Made {path}.", path=wish.path.name)


class Swapping(QObject):
    """Makes packs in another thread; says what came of it."""

    said = Signal(object)
    """A sentence on what was done, or why not."""
    opened = Signal()
    """A pack was opened: there is one story more."""

    def __init__(self, parent: QWidget, asking: Asking) -> None:
        super().__init__(parent)
        self._parent, self._asking = parent, asking
        self.making = Background(_make, self)
        self.making.answered.connect(self.said)

    def make(self, path: Path) -> None:
        """Ask what stays, and where the pack goes."""
        opened = patiently(partial(open_story, path))
        if opened.story is None or opened.must_mend:
            self.said.emit(say("{path} has something to mend first: open it.", path=path.name))
            return
        copy = for_others(opened.source, opened.story)
        title = opened.story.title
        dialog = NextYearDialog(
            self._parent,
            title,
            copy,
            name=say("A swap pack"),
            after=AFTER,
            make=say("&Make the pack ..."),
        )
        dialog.made.connect(partial(self._make, path, title))
        dialog.open()

    def _make(self, path: Path, title: str, text: str) -> None:
        near = Path(f"{slug(title)}.zip")
        target = self._asking.save_file(self._parent, say("Where the pack goes"), near, PACKS)
        if target is None:
            return
        recordings = belongings(path, None).recordings
        if recordings is not None:
            asked = say("Shall the recordings of “{title}” be in it?", title=title)
            voices = say("They are adults' own voices: ask those who speak.")
            if self._asking.choose(self._parent, asked, voices, (WITH, WITHOUT)) != WITH:
                recordings = None
        self.said.emit(say("Making the pack and its papers ..."))
        self.making.ask(_Wish(target, text, path.parent, recordings))

    def open(self, folder: Path) -> None:
        """Show what is in a pack, and open it in the folder if that is wished."""
        path = self._asking.open_file(self._parent, say("The pack to open"), PACKS)
        if path is None:
            return
        try:
            contents = patiently(partial(look_into, path))
            names = sorted((each.name for each in contents.files), key=lambda name: "/" in name)
            more = (
                [say("... and {count} more", count=len(names) - SHOWN)]
                if len(names) > SHOWN
                else []
            )
            listed = "\n".join((*names[:SHOWN], *more))
            asked = say(
                "“{title}”: {count} files. Nothing is written yet.",
                title=contents.title,
                count=len(names),
            )
            if self._asking.choose(self._parent, asked, listed, (OPEN, LEAVE)) != OPEN:
                return
            story = patiently(partial(open_pack, contents, folder))
        except PackError as error:
            self.said.emit(str(error))
        except (OSError, zlib.error) as error:
            self.said.emit(
                say(
                    "{path} was not opened: {reason}.",
                    path=path.name,
                    reason=reason(error),
                )
            )
        else:
            self.opened.emit()
            self.said.emit(
                say("Opened: {story} in {parent}.", story=story.name, parent=story.parent.name)
            )
