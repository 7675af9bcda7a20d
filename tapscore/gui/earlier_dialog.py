"""Earlier versions of a story: what differed, one line of it back, or the whole."""

from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QHBoxLayout,
    QLabel,
    QListWidget,
    QPushButton,
    QVBoxLayout,
)

from tapscore.gui.asking import Asking
from tapscore.gui.background import answered_at_once
from tapscore.gui.enter import CalmDialog
from tapscore.gui.story_window import StoryWindow
from tapscore.gui.wrapped_items import wrap_items
from tapscore.model.story import Story
from tapscore.storyfile.read import read_bytes
from tapscore.wording.catalogue import say
from tapscore.workflow.keeping.changes import Change, story_changes, taken_back
from tapscore.workflow.keeping.versions import Version, Versions

SAME = say("It says the same as the story now.")
NONE = say("There are none yet: each time the story is saved, its state is kept.")


class EarlierDialog(CalmDialog):
    """Kept states on the left; how the story differs from the chosen one on the right."""

    def __init__(self, window: StoryWindow, asking: Asking, versions: Versions) -> None:
        super().__init__(window)
        self.setWindowTitle(say("Earlier versions"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.resize(900, 560)
        self._document = window.document
        self._asking = asking
        path = window.document.path
        self._versions = () if path is None else versions.of(path)
        self._story: Story | None = None
        """The story of the chosen version; None where it can't be read."""
        self._changes: tuple[Change, ...] = ()
        self.states = QListWidget()
        self.changes = QListWidget()
        self.line_back = QPushButton(say("Take &this back"))
        self.whole_back = QPushButton(say("Take the &whole back"))
        self.read = QPushButton(say("&Read it"))
        self.said = QLabel()
        self._build("" if path is None else str(versions.place(path)))
        self.states.currentRowChanged.connect(self._show_version)
        self.changes.currentRowChanged.connect(self._allow)
        self.changes.itemActivated.connect(self._take_line_back)
        self._document.changed.connect(self._story_changed)
        self.states.addItems(
            [say("saved {when}", when=version.when_words) for version in self._versions]
        )
        if self._versions:
            self.states.setCurrentRow(min(1, len(self._versions) - 1))
        else:
            self.said.setText(NONE)
        self._allow()
        self.states.setFocus()

    def _build(self, place: str) -> None:
        left, right = QVBoxLayout(), QVBoxLayout()
        for column, title, field, about in (
            (left, say("&Saved"), self.states, say("Earlier versions, the newest first")),
            (right, say("&What is otherwise now"), self.changes, say("Changes since then")),
        ):
            label = QLabel(title)
            label.setBuddy(field)
            field.setAccessibleName(about)
            wrap_items(field)
            column.addWidget(label)
            column.addWidget(field)
        across = QHBoxLayout()
        across.addLayout(left, 1)
        across.addLayout(right, 2)
        buttons = QHBoxLayout()
        close = QPushButton(say("&Close"))
        for button, do in (
            (self.line_back, self._take_line_back),
            (self.whole_back, self._take_whole_back),
            (self.read, self._read),
            (close, self.reject),
        ):
            button.clicked.connect(partial(_call, do))
            buttons.addWidget(button)
        self.said.setWordWrap(True)
        self.said.setTextFormat(Qt.TextFormat.PlainText)
        self.said.setAccessibleDescription(say("What was done"))
        where = QLabel(say("They lie in {place}", place=place) if place else "")
        where.setTextFormat(Qt.TextFormat.PlainText)
        where.setWordWrap(True)
        where.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        whole = QVBoxLayout(self)
        whole.addLayout(across, 1)
        whole.addWidget(self.said)
        whole.addWidget(where)
        whole.addLayout(buttons)

    @property
    def _version(self) -> Version | None:
        row = self.states.currentRow()
        return self._versions[row] if 0 <= row < len(self._versions) else None

    def _show_version(self) -> None:
        version = self._version
        self._story = None
        if version is not None:
            data = answered_at_once(version.data, b"")
            self._story = read_bytes(data).story if data else None
        self._show_changes()

    def _show_changes(self) -> None:
        row = self.changes.currentRow()
        self.changes.clear()
        self._changes = ()
        if self._story is None:
            self.said.setText(
                say("This version can't be opened as a story.") if self._version else ""
            )
        else:
            self._changes = story_changes(self._story, self._document.story)
            self.changes.addItems([change.sentence for change in self._changes])
            self.said.setText("" if self._changes else SAME)
            self.changes.setCurrentRow(min(max(row, 0), len(self._changes) - 1))
        self._allow()

    def _allow(self) -> None:
        chosen = 0 <= self.changes.currentRow() < len(self._changes)
        self.line_back.setEnabled(chosen)
        self.whole_back.setEnabled(bool(self._changes))
        self.read.setEnabled(self._version is not None)

    def _take_line_back(self) -> None:
        row = self.changes.currentRow()
        if not 0 <= row < len(self._changes):
            return
        change = self._changes[row]
        story = taken_back(self._document.story, change)
        if story is None or not self._document.edit(say("Take back what was earlier"), story):
            self.said.setText(say("That can't be taken back alone. Take the whole, or read it."))
            return
        self.said.setText(say("Taken back: {sentence}. Undo undoes it.", sentence=change.sentence))

    def _take_whole_back(self) -> None:
        if self._story is not None and self._document.edit(say("Take back the whole"), self._story):
            self.said.setText(say("The story is as it was then. Undo undoes it."))

    def _read(self) -> None:
        version = self._version
        if version is not None:
            data = answered_at_once(version.data, b"")
            title = say("Saved {when}", when=version.when_words)
            self._asking.show(self, title, data.decode("utf-8", "replace"))

    def _story_changed(self) -> None:
        self._show_changes()


def _call(do: "object", *_: object) -> None:
    assert callable(do)
    do()
