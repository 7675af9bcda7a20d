"""What stands on and round the board: spots, seats and pupils' places, by keyboard."""

from functools import partial
from typing import Any

from attrs import evolve
from PySide6.QtCore import Signal
from PySide6.QtWidgets import (
    QComboBox,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from tapscore.board.default_board import USUAL_BOARD
from tapscore.gui.document import Document
from tapscore.gui.forms.choices import ChoiceEntry
from tapscore.gui.forms.entries import FlagEntry, KindEntry
from tapscore.gui.forms.form import FormPart, part
from tapscore.gui.names_in_use import not_a_letter, things_named
from tapscore.gui.panels.named_list import ListedKind, NamedListPanel
from tapscore.model import furnishing
from tapscore.model.board import Board, Place
from tapscore.model.story import Story
from tapscore.storyfile.kinds import number
from tapscore.storyfile.records import Field
from tapscore.wording.catalogue import say

_EXAMPLES = {"spot": say("by the window"), "seat": say("north-west"), "place": "A"}


class FurnishingPanel(QWidget):
    """One of three lists at a time; every change is a step at once."""

    said = Signal(str)
    remove_wanted = Signal(str, str)
    """Kind and name of what is to be taken away, or (with the next) renamed."""
    rename_wanted = Signal(str, str)
    keep_wanted = Signal()
    """This board is to be offered for the next story."""
    kept_wanted = Signal()
    """The board that was kept is to be this story's."""

    def __init__(self, document: Document) -> None:
        super().__init__()
        self.kind = QComboBox()
        self.kind.setAccessibleName(say("What to list"))
        self.kind.addItems([things_named(kind) for kind in furnishing.KINDS])
        head = QLabel(say("&On the board"))
        head.setBuddy(self.kind)
        self.keep = QPushButton(say("This is &my board"))
        self.keep.setToolTip(say("The next story is offered this board."))
        self.use_kept = QPushButton(say("Put my board here"))
        self.lists = {kind: _ThingsPanel(kind, document) for kind in furnishing.KINDS}
        stack = QStackedWidget()
        for kind, panel in self.lists.items():
            stack.addWidget(panel)
            panel.said.connect(self.said)
            panel.remove_wanted.connect(partial(self.remove_wanted.emit, kind))
            panel.rename_wanted.connect(partial(self.rename_wanted.emit, kind))
        self.kind.currentIndexChanged.connect(stack.setCurrentIndex)
        self.keep.clicked.connect(self.keep_wanted)
        self.use_kept.clicked.connect(self.kept_wanted)
        row = QHBoxLayout()
        row.addWidget(head)
        row.addWidget(self.kind, 1)
        buttons = QHBoxLayout()
        buttons.addWidget(self.keep)
        buttons.addWidget(self.use_kept)
        column = QVBoxLayout(self)
        column.setContentsMargins(8, 0, 8, 0)
        column.addLayout(row)
        column.addWidget(stack, 1)
        column.addLayout(buttons)

    def show_thing(self, kind: str, name: str) -> None:
        """Choose what was chosen on the picture."""
        if kind in self.lists:
            self.kind.setCurrentIndex(furnishing.KINDS.index(kind))
            self.lists[kind].choose(name)


class _ThingsPanel(NamedListPanel):
    """All spots, all seats or all places."""

    def __init__(self, kind: str, document: Document) -> None:
        parts = [
            _centimetres("x_mm", say("From the west, cm")),
            _centimetres("y_mm", say("From the south, cm")),
        ]
        if kind == "place":
            parts += [
                part(Place, "lying", "", FlagEntry(say("Lying"))),
                part(Place, "head", say("Head points"), nothing=lambda _: say("not said")),
                part(
                    Place,
                    "with",
                    say("With this pupil"),
                    ChoiceEntry(),
                    nothing=lambda _: say("nobody"),
                ),
            ]
        self._on_board = kind
        super().__init__(_kind(kind), parts, document)

    def offer(self, story: Story) -> None:
        """What there is to choose from."""
        if self._on_board == "place":
            self.form["with"].offer([(name, name) for name in story.role_names])


def _kind(kind: str) -> ListedKind:
    def changed(story: Story, board: Board) -> Story:
        return evolve(story, board=board)

    def put(story: Story, thing: Any) -> Story:
        return changed(story, furnishing.put(story.board or USUAL_BOARD, kind, thing))

    return ListedKind(
        kind,
        _EXAMPLES[kind],
        lambda story: furnishing.names(story.board, kind),
        lambda story, name: furnishing.found(story.board, kind, name),
        lambda story, name: changed(
            story, furnishing.added(story.board or USUAL_BOARD, kind, name)
        ),
        put,
        not_a_letter if kind == "place" else lambda _: "",
    )


def _centimetres(axis: str, label: str) -> FormPart:
    field = Field(axis, axis, number(0, 500, "60", "centimetres"), required=True)

    def put(thing: Any, cm: Any) -> Any:
        return evolve(thing, at=evolve(thing.at, **{axis: 10 * cm}))

    return FormPart(axis, label, KindEntry(field, step=5), lambda t: getattr(t.at, axis) / 10, put)
