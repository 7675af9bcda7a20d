"""What dialogs and the work on files know of a window, so that none of them knows all of it."""

from collections.abc import Sequence
from pathlib import Path
from typing import Protocol

from PySide6.QtWidgets import QMainWindow

from tapscore.gui.asking import Asking
from tapscore.gui.checking import Checking
from tapscore.gui.document import Document
from tapscore.gui.editor.editing import StoryEditing
from tapscore.gui.editor.story_rows import StoryRows
from tapscore.gui.editor.story_view import StoryView
from tapscore.gui.felt.pane import FeltPane
from tapscore.gui.listening.session import Listening
from tapscore.gui.panels.board_panel import BoardPanel
from tapscore.gui.settings import Settings
from tapscore.gui.spelling.check import SpellingCheck
from tapscore.model.finding import StoryPath
from tapscore.workflow.adapt import CopyWay


class StoryFiles(Protocol):
    """What a window asks of the work on files."""

    asking: Asking

    def new(self, window: "StoryWindow | None" = None) -> None:
        """Show the page to begin on."""

    def open(self, window: "StoryWindow") -> None:
        """Ask for a file and open it."""

    def dropped(self, window: "StoryWindow", paths: Sequence[Path]) -> None:
        """Open what was dropped on a window."""

    def open_path(self, path: Path, parent: "StoryWindow | None" = None) -> "StoryWindow | None":
        """Open a window on a file; says why where it can't be opened."""

    def save(self, window: "StoryWindow") -> bool:
        """Save to the story's own file; False if it was not saved."""

    def save_as(self, window: "StoryWindow") -> bool:
        """Ask for a name and save under it."""

    def adapted(self, window: "StoryWindow", way: CopyWay) -> None:
        """Open a copy of the story that is gentler, livelier or shorter."""

    def look_at_disc(self, window: "StoryWindow") -> None:
        """Say so, once, when another program has changed the window's file."""

    def may_close(self, window: "StoryWindow") -> bool:
        """Ask what to do with unsaved work; False if the window stays."""

    def closed(self, window: "StoryWindow") -> None:
        """Forget a window that is gone."""


class StoryWindow(QMainWindow):
    """A window on one story, as commands and dialogs know it."""

    document: Document
    settings: Settings
    files: StoryFiles
    checking: Checking
    listening: Listening
    editing: StoryEditing
    rows: StoryRows
    view: StoryView
    spelling: SpellingCheck
    board: BoardPanel
    felt: FeltPane

    def say(self, text: str) -> None:
        """Say something short at the window's foot."""
        raise NotImplementedError

    def look(self) -> None:
        """Show itself in the looks that are set."""
        raise NotImplementedError

    def show_details(self) -> None:
        """Open the details of what is chosen, or close them."""
        raise NotImplementedError

    def show_place(self, path: StoryPath) -> None:
        """Open the panel in which something beside the lines stands."""
        raise NotImplementedError

    def show_finding(self) -> None:
        """Show the fields in which words are looked for."""
        raise NotImplementedError

    def show_spelling(self) -> None:
        """Go through the words that the dictionary lacks."""
        raise NotImplementedError

    def keys(self) -> tuple[tuple[str, str], ...]:
        """Every key, and what it does."""
        raise NotImplementedError
