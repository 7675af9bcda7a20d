"""A list of named things with a form for the chosen one: the shape of Props and Roles."""

from collections.abc import Callable, Sequence
from typing import Any

from attrs import frozen
from PySide6.QtCore import QSignalBlocker, Signal
from PySide6.QtWidgets import (
    QFrame,
    QHBoxLayout,
    QLineEdit,
    QListWidget,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from tapscore.gui.document import Document
from tapscore.gui.forms.form import Form, FormPart
from tapscore.gui.names_in_use import name_taken, thing_named, things_named
from tapscore.model.story import Story
from tapscore.wording.catalogue import say


@frozen(eq=False)
class ListedKind:
    """What is listed, and how a story holds it."""

    what: str
    example: str
    names: Callable[[Story], tuple[str, ...]]
    find: Callable[[Story, str], Any]
    add: Callable[[Story, str], Story]
    put: Callable[[Story, Any], Story]
    refuse: Callable[[str], str] = lambda _: ""
    """Why something can't be called so; empty if it can."""


class NamedListPanel(QScrollArea):
    """Names above, fields of the chosen one below, and a way to add and take away."""

    said = Signal(str)
    remove_wanted = Signal(str)
    """The name of what is to be taken away, or (with the next) renamed."""
    rename_wanted = Signal(str)

    def __init__(
        self,
        kind: ListedKind,
        parts: Sequence[FormPart],
        document: Document,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self._kind = kind
        self._document = document
        what = thing_named(kind.what)
        self.names = QListWidget()
        self.names.setAccessibleName(things_named(kind.what).lower())
        self.new_name = QLineEdit()
        self.new_name.setPlaceholderText(
            say("New {what}, for example {example}", what=what, example=kind.example)
        )
        self.new_name.setAccessibleName(say("Name of a new {what}", what=what))
        self.add = QPushButton(say("Add"))
        self.add.setAccessibleName(say("Add {what}", what=what))
        self.remove = QPushButton(say("Remove"))
        self.remove.setAccessibleName(say("Remove {what}", what=what))
        self.rename = QPushButton(say("Rename"))
        self.rename.setAccessibleName(say("Rename {what} everywhere", what=what))
        self.form = Form(parts, self._change)
        self.form.said.connect(self.said)
        content = QWidget()
        column = QVBoxLayout(content)
        self.setWidget(content)
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setAccessibleName(say("{things} of the story", things=things_named(kind.what)))
        # as high as its names, so that what is done with them stands in sight below
        self.names.setSizeAdjustPolicy(QListWidget.SizeAdjustPolicy.AdjustToContents)
        self.names.setMinimumHeight(72)
        self.names.setMaximumHeight(192)
        column.addWidget(self.names, 1)
        row = QHBoxLayout()
        row.addWidget(self.new_name, 1)
        row.addWidget(self.add)
        column.addLayout(row)
        row = QHBoxLayout()
        row.addWidget(self.rename)
        row.addWidget(self.remove)
        row.addStretch(1)
        column.addLayout(row)
        column.addWidget(self.form)
        self.names.currentRowChanged.connect(lambda _: self._show_current())
        self.add.clicked.connect(self._add)
        self.new_name.returnPressed.connect(self._add)
        self.remove.clicked.connect(lambda: self.remove_wanted.emit(self.current))
        self.rename.clicked.connect(lambda: self.rename_wanted.emit(self.current))
        document.changed.connect(self.refresh)
        self.refresh()

    @property
    def current(self) -> str:
        """The chosen name, empty if there is none."""
        item = self.names.currentItem()
        return item.text() if item else ""

    def choose(self, name: str) -> None:
        """Choose a name."""
        for number in range(self.names.count()):
            if self.names.item(number).text() == name:
                self.names.setCurrentRow(number)

    def refresh(self) -> None:
        """Show the names as they are now, the same one chosen as before."""
        names, chosen = self._kind.names(self._document.story), self.current
        if [self.names.item(i).text() for i in range(self.names.count())] != list(names):
            with QSignalBlocker(self.names):
                self.names.clear()
                self.names.addItems(list(names))
                self.names.setCurrentRow(max(names.index(chosen) if chosen in names else 0, 0))
        for button in (self.remove, self.rename):
            button.setEnabled(bool(names))
        self._show_current()

    def offer(self, story: Story) -> None:
        """What there is to choose from; for the panels that are made of this one."""
        raise NotImplementedError

    def _show_current(self) -> None:
        story = self._document.story
        self.offer(story)
        found = self._kind.find(story, self.current)
        self.form.show_things(self.current, [found] if found is not None else [], story)

    def _add(self) -> None:
        name = " ".join(self.new_name.text().split())
        if not name:
            return
        refused = self._kind.refuse(name)
        if refused:
            self.said.emit(refused)
            return
        if name in self._kind.names(self._document.story):
            self.said.emit(name_taken(self._kind.what))
        else:
            self._document.edit(
                say("Add {name}", name=name), self._kind.add(self._document.story, name)
            )
            self.new_name.clear()
        self.choose(name)

    def _change(
        self, target: Any, name: str, change: Callable[[Any], Any], join: str | None
    ) -> None:
        story = self._document.story
        found = self._kind.find(story, target)
        if found is not None:
            self._document.edit(name, self._kind.put(story, change(found)), join=join)
