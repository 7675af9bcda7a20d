"""Roles: who does what at the board, and where each adult sits."""

from attrs import evolve
from PySide6.QtWidgets import QWidget

from tapscore.gui.document import Document
from tapscore.gui.panels.fields import choice_field, show_choice
from tapscore.gui.panels.named_list import NamedListPanel
from tapscore.model import edits
from tapscore.model.story import Role, Story

NO_SEAT = "no seat yet"


class RolesPanel(NamedListPanel):
    """The story's roles; every change is a step at once."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__("role", "second tapper", parent)
        self._document = document
        self.seat = choice_field(self.form, "Sits", self._seat_changed)
        self.connect_changes(
            lambda name: self._apply(f"Add {name}", Role(name)),
            self._remove,
        )
        document.changed.connect(self._story_changed)
        self.refresh()

    def _story_changed(self, old: Story, new: Story) -> None:
        if (old.roles, old.roles, old.board) != (new.roles, new.roles, new.board):
            self.refresh()

    def refresh(self) -> None:
        """Show the roles as they are now."""
        self.show_names(tuple(role.name for role in self._document.story.roles))

    def show_current(self) -> None:
        """Fill the form with the chosen role."""
        story = self._document.story
        role = next((r for r in story.roles if r.name == self.current), None)
        seats = tuple(seat.name for seat in story.board.seats) if story.board else ()
        self.seat.setEnabled(role is not None)
        show_choice(self.seat, (NO_SEAT, *seats), (role.seat if role else None) or NO_SEAT)

    def _seat_changed(self, seat: str) -> None:
        role = next((r for r in self._document.story.roles if r.name == self.current), None)
        if role is not None:
            changed = evolve(role, seat=None if seat == NO_SEAT else seat)
            self._apply(f"Move {role.name}", changed)

    def _remove(self, name: str) -> None:
        story = edits.without_role(self._document.story, name)
        self._document.edit(f"Take {name} away", story)

    def _apply(self, name: str, role: Role) -> None:
        self._document.edit(name, edits.with_role(self._document.story, role))
