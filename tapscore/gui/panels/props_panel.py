"""Props: what they are, how many sets, what to use instead, what to mind."""

from collections.abc import Callable

from attrs import evolve
from PySide6.QtWidgets import QCheckBox, QGridLayout, QWidget

from tapscore.gui.document import Document
from tapscore.gui.panels.fields import (
    choice_field,
    show_choice,
    show_number,
    show_words,
    whole_field,
    words_field,
)
from tapscore.gui.panels.named_list import NamedListPanel
from tapscore.model import edits
from tapscore.model.story import CAUTIONS, Prop, Story

USUAL = "whoever handles props"


class PropsPanel(NamedListPanel):
    """The story's props; every change is a step at once."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__("prop", "beads", parent)
        self._document = document
        self.what = words_field(
            self.form, "What it is", lambda t: self._change(lambda p: evolve(p, what=t))
        )
        self.sets = whole_field(
            self.form, "Sets", 1, 30, "", lambda n: self._change(lambda p: evolve(p, sets=n))
        )
        self.instead = words_field(
            self.form,
            "Instead of it",
            lambda t: self._change(lambda p: evolve(p, instead=t or None)),
        )
        self.by = choice_field(
            self.form,
            "Brought by",
            lambda t: self._change(lambda p: evolve(p, by=None if t == USUAL else t)),
        )
        self.cautions = {word: QCheckBox(shown) for word, shown in CAUTIONS.items()}
        box = QWidget()
        grid = QGridLayout(box)
        grid.setContentsMargins(0, 0, 0, 0)
        for number, (word, check) in enumerate(self.cautions.items()):
            check.setAccessibleName(f"Caution: {CAUTIONS[word]}")
            check.clicked.connect(self._cautions_changed)
            grid.addWidget(check, number // 2, number % 2)
        self.form.addRow("Mind", box)
        self.connect_changes(
            lambda name: self._add(Prop(name)),
            self._remove,
        )
        document.changed.connect(self._story_changed)
        self.refresh()

    def _story_changed(self, old: Story, new: Story) -> None:
        if (old.props, old.roles, old.board) != (new.props, new.roles, new.board):
            self.refresh()

    def refresh(self) -> None:
        """Show the props as they are now."""
        self.show_names(tuple(prop.name for prop in self._document.story.props))

    def show_current(self) -> None:
        """Fill the form with the chosen prop."""
        prop = self._document.story.prop(self.current)
        for field in (self.what, self.sets, self.instead, self.by, *self.cautions.values()):
            field.setEnabled(prop is not None)
        prop = prop or Prop("")
        show_words(self.what, prop.what)
        show_number(self.sets, prop.sets)
        show_words(self.instead, prop.instead or "")
        roles = (USUAL, *self._document.story.role_names)
        show_choice(self.by, roles, prop.by or USUAL)
        for word, check in self.cautions.items():
            check.setChecked(word in prop.cautions)

    def _cautions_changed(self) -> None:
        chosen = tuple(word for word, check in self.cautions.items() if check.isChecked())
        self._change(lambda prop: evolve(prop, cautions=chosen))

    def _change(self, change: Callable[[Prop], Prop]) -> None:
        story = self._document.story
        prop = story.prop(self.current)
        if prop is not None:
            new = edits.with_prop(story, change(prop))
            self._document.edit(f"Change {prop.name}", new, join=f"prop {prop.name}")

    def _add(self, prop: Prop) -> None:
        self._document.edit(f"Add {prop.name}", edits.with_prop(self._document.story, prop))

    def _remove(self, name: str) -> None:
        story = edits.without_prop(self._document.story, name)
        self._document.edit(f"Take {name} away", story)
