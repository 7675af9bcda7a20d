"""Roles: who does what at the board, and where each adult sits."""

from PySide6.QtWidgets import QWidget

from tapscore.gui.document import Document
from tapscore.gui.forms.choices import ChoiceEntry
from tapscore.gui.forms.form import part
from tapscore.gui.panels.named_list import ListedKind, NamedListPanel
from tapscore.model import edits
from tapscore.model.story import Role, Story
from tapscore.wording.catalogue import say

ROLES = ListedKind(
    "role",
    say("second tapper"),
    lambda story: tuple(role.name for role in story.roles),
    lambda story, name: next((role for role in story.roles if role.name == name), None),
    lambda story, name: edits.with_role(story, Role(name)),
    edits.with_role,
)


class RolesPanel(NamedListPanel):
    """The story's roles; every change is a step at once."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        seat = part(Role, "seat", say("Sits"), ChoiceEntry(), nothing=lambda _: say("no seat yet"))
        super().__init__(ROLES, [seat], document, parent)

    def offer(self, story: Story) -> None:
        """What there is to choose from."""
        seats = [seat.name for seat in story.board.seats] if story.board else []
        self.form["seat"].offer([(name, name) for name in seats])
