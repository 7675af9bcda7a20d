"""Earlier versions in the window: by keyboard, undone like any step."""

from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tapscore.gui.earlier_dialog import NONE, SAME, EarlierDialog
from tapscore.gui.main_window import MainWindow
from tapscore.storyfile.read import read_file
from tapscore.workflow.keeping.versions import Versions
from tests.gui.answers import Answers

FIRST_LINE = ("story", 0, "lines", 0)


def _saved_twice(window: MainWindow) -> None:
    window.view.go_to(FIRST_LINE)
    for _ in range(2):
        window.actions_by_id["louder"].trigger()
        window.actions_by_id["save"].trigger()


def _dialog(window: MainWindow, answers: Answers) -> EarlierDialog:
    dialog = EarlierDialog(window, answers, Versions())
    dialog.show()
    return dialog


def test_one_line_back_and_undone(demo: MainWindow, answers: Answers, tmp_path: Path) -> None:
    _saved_twice(demo)
    louder = demo.document.story
    dialog = _dialog(demo, answers)
    assert dialog.states.count() == 3
    assert dialog.states.currentRow() == 1
    (change,) = [dialog.changes.item(i).text() for i in range(dialog.changes.count())]
    assert "loudness was" in change
    dialog.changes.setFocus()
    QTest.keyClick(dialog.changes, Qt.Key.Key_Return)
    assert dialog.said.text() == SAME or dialog.said.text().startswith("Taken back")
    assert dialog.changes.count() == 0
    assert demo.document.story != louder
    assert demo.document.undo_stack.undoText() == "Take back what was earlier"
    demo.actions_by_id["undo"].trigger()
    assert demo.document.story == louder
    assert dialog.changes.count() == 1
    dialog.close()


def test_the_whole_back(demo: MainWindow, answers: Answers, tmp_path: Path) -> None:
    first = demo.document.story
    text = (tmp_path / "story.yaml").read_bytes()
    _saved_twice(demo)
    dialog = _dialog(demo, answers)
    dialog.states.setCurrentRow(2)
    dialog.whole_back.click()
    assert demo.document.story == first
    assert dialog.changes.count() == 0
    assert not dialog.whole_back.isEnabled()
    dialog.read.click()
    assert text.decode() in answers.told[-1]
    demo.actions_by_id["save"].trigger()
    assert (tmp_path / "story.yaml").read_bytes() == text
    dialog.close()


def test_none_and_unreadable(demo: MainWindow, answers: Answers, tmp_path: Path) -> None:
    dialog = _dialog(demo, answers)
    assert dialog.said.text() == NONE
    assert not dialog.read.isEnabled()
    dialog.close()
    Versions().keep(tmp_path / "story.yaml", b"title: [")
    dialog = _dialog(demo, answers)
    assert "can't be opened" in dialog.said.text()
    assert not dialog.line_back.isEnabled()
    assert not dialog.whole_back.isEnabled()
    dialog.close()


def test_the_command_saves_first(window_on: object, answers: Answers, tmp_path: Path) -> None:
    assert callable(window_on)
    text = "tapscore: 2\ntitle: Boat\nstory:\n  - section: One\n    lines:\n      - words: Row\n"
    window = window_on(text)
    answers.choices = ["Not now"]
    window.actions_by_id["versions"].trigger()
    assert answers.asked == ["Save the story first."]
    answers.choices = ["Save"]
    answers.files = [tmp_path / "boat"]
    window.actions_by_id["versions"].trigger()
    dialog = window.findChild(EarlierDialog)
    assert dialog is not None
    assert dialog.states.count() == 1
    dialog.close()
    assert read_file(tmp_path / "boat.tapscore").story is not None
