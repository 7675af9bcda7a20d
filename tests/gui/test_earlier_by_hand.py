"""Earlier versions by themselves: which can be opened, what is said, and what is taken back."""

from pathlib import Path
from typing import Any, cast

import pytest
from attrs import evolve
from PySide6.QtWidgets import QWidget
from pytestqt.qtbot import QtBot

from tapscore.gui import earlier_dialog
from tapscore.gui.document import Document
from tapscore.gui.earlier_dialog import NONE, SAME, EarlierDialog
from tapscore.storyfile.read import read_text
from tests.gui.answers import Answers
from tests.gui.test_keeping_by_hand import TEXT


class Kept:
    """Versions as the dialog knows them."""

    def __init__(self, *texts: str) -> None:
        self._texts = texts

    def of(self, _: Path) -> tuple[Any, ...]:
        return tuple(Version(f"state {n}", text) for n, text in enumerate(self._texts))

    def place(self, path: Path) -> Path:
        return path.with_name("earlier")


class Version:
    def __init__(self, when_words: str, text: str) -> None:
        self.when_words, self._text = when_words, text

    def data(self) -> bytes:
        return self._text.encode()


class Story(QWidget):
    """Stands for the story's window."""

    def __init__(self, path: Path | None) -> None:
        super().__init__()
        self.document = Document(read_text(TEXT), path)


class Earlier:
    def __init__(self, qtbot: QtBot, *texts: str, path: Path | None = Path("/s/boat.yaml")) -> None:
        self.window = cast(Any, Story(path))
        qtbot.addWidget(self.window)
        self.answers = Answers()
        kept: Any = Kept(*texts)
        self.dialog = EarlierDialog(self.window, self.answers, kept)

    @property
    def said(self) -> str:
        return self.dialog.said.text()

    def changes(self) -> list[str]:
        listed = self.dialog.changes
        return [listed.item(n).text() for n in range(listed.count())]

    def enabled(self) -> tuple[bool, bool, bool]:
        made = self.dialog
        return made.line_back.isEnabled(), made.whole_back.isEnabled(), made.read.isEnabled()


RAFT = TEXT.replace("title: Boat", "title: Raft")
OTHER = RAFT.replace("row it home", "row it far")


def test_without_versions_or_a_file_there_is_nothing_to_do(qtbot: QtBot) -> None:
    for earlier in (Earlier(qtbot), Earlier(qtbot, RAFT, path=None)):
        assert earlier.said == NONE
        assert earlier.enabled() == (False, False, False)
        assert earlier.dialog.states.count() == 0


def test_the_one_before_the_last_is_chosen_first(qtbot: QtBot) -> None:
    earlier = Earlier(qtbot, TEXT, OTHER, "no: [")
    assert earlier.dialog.states.currentRow() == 1
    assert earlier.dialog.states.item(1).text() == "saved state 1"
    assert len(earlier.changes()) == 2
    assert earlier.said == ""
    assert earlier.enabled() == (True, True, True)
    earlier.dialog.states.setCurrentRow(0)
    assert earlier.said == SAME
    assert earlier.enabled() == (False, False, True)
    earlier.dialog.states.setCurrentRow(2)
    assert earlier.said == "This version can't be opened as a story."
    assert earlier.enabled() == (False, False, True)
    earlier.dialog.read.click()
    assert earlier.answers.told == ["Saved state 2 no: ["]
    single = Earlier(qtbot, RAFT)  # kept: its window takes the dialog along
    assert single.dialog.states.currentRow() == 0


def test_one_change_or_all_are_taken_back_and_undone(qtbot: QtBot) -> None:
    earlier = Earlier(qtbot, TEXT, OTHER)
    document = earlier.window.document
    before = document.story
    sentence = earlier.changes()[0]
    earlier.dialog.line_back.click()
    assert earlier.said == f"Taken back: {sentence}. Undo undoes it."
    assert document.undo_stack.undoText() == "Take back what was earlier"
    assert len(earlier.changes()) == 1
    earlier.dialog.whole_back.click()
    assert earlier.said == "The story is as it was then. Undo undoes it."
    assert earlier.changes() == []
    assert document.story == read_text(OTHER).story
    for _ in range(2):
        document.undo_stack.undo()
    assert document.story == before
    assert len(earlier.changes()) == 2


def test_the_change_that_is_chosen_is_taken_back(qtbot: QtBot) -> None:
    earlier = Earlier(qtbot, TEXT, OTHER)
    first, second = earlier.changes()
    earlier.dialog.changes.setCurrentRow(1)
    earlier.dialog.line_back.click()
    assert earlier.said == f"Taken back: {second}. Undo undoes it."
    assert earlier.changes() == [first]
    assert earlier.window.document.story.title == "Boat"


def test_what_can_not_be_taken_back_alone_is_said(
    qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    earlier = Earlier(qtbot, TEXT, OTHER)
    monkeypatch.setattr(earlier_dialog, "taken_back", lambda *_: None)
    earlier.dialog.line_back.click()
    assert earlier.said == "That can't be taken back alone. Take the whole, or read it."
    monkeypatch.setattr(earlier_dialog, "taken_back", lambda story, _: evolve(story))
    earlier.dialog.line_back.click()
    assert earlier.said == "That can't be taken back alone. Take the whole, or read it."
    assert earlier.window.document.undo_stack.count() == 0
