"""Files dropped on a window: stories open, words become stories, nothing else does harm."""

from pathlib import Path

from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import QDragEnterEvent, QDropEvent
from pytestqt.qtbot import QtBot

from tapscore.gui.files import FileWork
from tapscore.gui.main_window import MainWindow
from tests.gui.answers import Answers


def _drop(window: MainWindow, data: QMimeData) -> bool:
    actions, left, none = (
        Qt.DropAction.CopyAction,
        Qt.MouseButton.LeftButton,
        Qt.KeyboardModifier.NoModifier,
    )
    enter = QDragEnterEvent(QPoint(5, 5), actions, data, left, none)
    enter.ignore()
    window.dragEnterEvent(enter)
    if enter.isAccepted():
        window.dropEvent(QDropEvent(QPointF(5, 5), actions, data, left, none))
    return enter.isAccepted()


def test_what_is_dropped_opens_or_says_why_not(
    qtbot: QtBot, files: FileWork, demo: MainWindow, answers: Answers, tmp_path: Path
) -> None:
    words = tmp_path / "snow.txt"
    words.write_text("Snow on the hill\nSnow on the mill\n", encoding="utf-8")
    story = tmp_path / "other.yaml"
    story.write_bytes((tmp_path / "story.yaml").read_bytes())
    empty = tmp_path / "empty.md"
    empty.write_text("...", encoding="utf-8")
    data = QMimeData()
    data.setUrls([QUrl.fromLocalFile(str(p)) for p in (words, story, empty, tmp_path)])
    assert _drop(demo, data)
    qtbot.waitUntil(lambda: len(answers.told) == 1 and len(files.windows) == 3)
    assert "empty.md can't be used." in answers.told[0]
    assert files.windows[1].document.story.title == "Snow"
    assert files.windows[1].guesses.isVisible()
    assert files.windows[2].document.path == story
    assert f"{tmp_path.name} is neither" in demo.statusBar().currentMessage()


def test_plain_text_and_addresses_are_not_taken(demo: MainWindow) -> None:
    data = QMimeData()
    data.setText("a line")
    assert not _drop(demo, data)
    data.setUrls([QUrl("https://example.org/a.yaml")])
    assert not _drop(demo, data)
