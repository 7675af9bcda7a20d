"""What else the clipboard and the system bring: tables, pictures, rich text, too much."""

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData
from PySide6.QtGui import QColor, QGuiApplication, QImage
from PySide6.QtWidgets import QApplication

from tapscore.gui.clipboard import copied_now, leave_words_alone, read_copied
from tapscore.gui.main_window import MainWindow
from tapscore.model.story import Line

FIRST_LINE = ("story", 0, "lines", 0)
COPY_AND_QUIT = """
import sys
from pathlib import Path
from PySide6.QtCore import QTimer
from PySide6.QtWidgets import QApplication
from tapscore.gui.app import run_editor
app = QApplication([])
def copy_and_close():
    window = next(w for w in app.topLevelWidgets() if hasattr(w, "actions_by_id"))
    window.view.selectRow(1)
    window.actions_by_id["copy"].trigger()
    window.close()
QTimer.singleShot(500, copy_and_close)
sys.exit(run_editor(Path(sys.argv[1])))
"""


@pytest.fixture(autouse=True)
def empty_clipboard(qapp: QApplication) -> Iterator[None]:
    """What Python put there must not outlive Python."""
    yield
    qapp.clipboard().clear()


def _paste(window: MainWindow, data: QMimeData) -> str:
    QGuiApplication.clipboard().setMimeData(data)
    window.view.go_to(FIRST_LINE)
    window.statusBar().clearMessage()
    window.actions_by_id["paste"].trigger()
    return window.statusBar().currentMessage()


def test_a_table_comes_in_as_lines_of_words(demo: MainWindow) -> None:
    data = QMimeData()
    data.setHtml("<table><tr><td>the cat</td><td>sat</td></tr><tr><td>on the mat</td></tr></table>")
    data.setText("the cat\tsat\non the mat")
    _paste(demo, data)
    items = demo.document.story.sections[0].items
    words = [item.words.replace("-", "") for item in items[1:3] if isinstance(item, Line)]
    assert words == ["the cat sat", "on the mat"]


def test_pictures_and_rich_text_without_words_are_refused(demo: MainWindow) -> None:
    before = demo.document.story
    picture = QImage(8, 8, QImage.Format.Format_RGB32)
    picture.fill(QColor("teal"))
    data = QMimeData()
    data.setImageData(picture)
    assert "no words" in _paste(demo, data)
    data = QMimeData()
    data.setData("text/rtf", b"{\\rtf1 the cat}")
    assert "no words" in _paste(demo, data)
    assert demo.document.story is before


@pytest.mark.parametrize(
    "text", ["word " * 1_000_000, "a\n" * 150_000, "\0\0\0"], ids=["words", "lines", "signs"]
)
def test_five_megabytes_are_refused_and_nothing_is_lost(demo: MainWindow, text: str) -> None:
    before = demo.document.story
    data = QMimeData()
    data.setText(text)
    said = _paste(demo, data)
    assert demo.document.story is before
    assert "no words" in said if text.startswith("\0") else "far too much" in said
    demo.actions_by_id["words"].trigger()
    field = demo.view.delegate.field
    assert field is not None
    field.paste()  # past our own way of pasting, as dropping does
    assert len(field.text()) <= 600
    assert len(demo.document.story.sections[0].items) == len(before.sections[0].items)


def test_words_of_a_damaged_copy_of_lines_are_taken_as_words(demo: MainWindow) -> None:
    data = QMimeData()
    data.setData("application/x-tapscore-lines", b"tapscore: 99\n\xff: [")
    data.setText("the cat sat")
    _paste(demo, data)
    line = demo.document.story.sections[0].items[1]
    assert isinstance(line, Line)
    assert line.words == "the cat sat"


def test_the_program_ends_well_after_copying(tmp_path: Path, demo_path: Path) -> None:
    """Qt let go of copied lines after Python was gone, and crashed."""
    story = tmp_path / "story.yaml"
    story.write_bytes(demo_path.read_bytes())
    places = {f"XDG_{each}_HOME": str(tmp_path / each) for each in ("CONFIG", "STATE", "CACHE")}
    done = subprocess.run(
        [sys.executable, "-c", COPY_AND_QUIT, str(story)],
        env={**os.environ, **places, "QT_QPA_PLATFORM": "offscreen"},
        capture_output=True,
        text=True,
        timeout=100,
        check=False,
    )
    assert done.returncode == 0, done.stderr


def test_a_platform_that_gives_no_clipboard_has_nothing_copied(
    qapp: QApplication, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Nothing:
        def mimeData(self, mode: object = None) -> None:  # noqa: N802
            return None

    class Platform:
        clipboard = Nothing

    monkeypatch.setattr("tapscore.gui.clipboard.QGuiApplication", Platform)
    assert "no words" in read_copied(copied_now()).problem
    leave_words_alone()
