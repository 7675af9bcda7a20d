"""Stopping what is being made leaves nothing half-made."""

from pathlib import Path

import pytest
from PySide6.QtCore import Qt, QUrl
from PySide6.QtGui import QDesktopServices
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from tapscore.gui.export_dialog import ExportDialog
from tapscore.gui.looks import set_scale
from tapscore.gui.main_window import MainWindow
from tests.gui.answers import Answers


def test_closing_while_a_set_is_made_stops_it(
    qtbot: QtBot, demo: MainWindow, answers: Answers, tmp_path: Path
) -> None:
    dialog = ExportDialog(demo, answers)
    dialog.folder.setText(str(tmp_path / "window"))
    for name, box in dialog.boxes.items():
        box.setChecked(name == "rehearsal-set")
    dialog.start()
    qtbot.waitUntil(lambda: dialog.bar.value() >= 1, timeout=60_000)
    assert list((tmp_path / "window").glob(".*-part")), "something is half-made"
    with qtbot.waitSignal(dialog.finished, timeout=30_000):
        dialog.reject()
        assert "Stopping" in dialog.said.text()
    left = [path for path in (tmp_path / "window").iterdir() if path.name != ".tapscore-made.json"]
    assert left == []


def test_every_sound_format_can_be_chosen(demo: MainWindow, answers: Answers) -> None:
    dialog = ExportDialog(demo, answers)
    offered = [dialog.sound.kind.itemText(i) for i in range(dialog.sound.kind.count())]
    assert offered == ["mp3", "m4a", "ogg", "flac", "wav"]
    assert "rehearsal-set" in dialog.boxes
    dialog.close()


def test_a_file_in_the_way_is_told_in_the_windows_own_words(
    qtbot: QtBot, demo: MainWindow, answers: Answers, tmp_path: Path
) -> None:
    dialog = ExportDialog(demo, answers)
    dialog.folder.setText(str(tmp_path))
    for name, box in dialog.boxes.items():
        box.setChecked(name == "pocket-key")
    card = tmp_path / "the-lantern-boat-pocket-key.pdf"
    card.write_bytes(b"with notes by hand")
    dialog.start()
    qtbot.waitUntil(lambda: "not made by tapscore" in dialog.said.text(), timeout=30_000)
    assert f"tick “{dialog.replace.text()}”" in dialog.said.text()
    assert "--" not in dialog.said.text().replace(str(tmp_path), "")
    assert card.read_bytes() == b"with notes by hand"
    dialog.close()


def test_when_all_is_made_the_folder_is_one_press_away_and_the_report_scrolls(
    qtbot: QtBot,
    demo: MainWindow,
    answers: Answers,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    opened: list[QUrl] = []
    monkeypatch.setattr(QDesktopServices, "openUrl", opened.append)
    set_scale(demo, 2.0)
    dialog = ExportDialog(demo, answers)
    dialog.folder.setText(str(tmp_path))
    for name, box in dialog.boxes.items():
        box.setChecked(name == "pocket-key")
    with qtbot.waitExposed(dialog):
        dialog.show()
    dialog.make.setFocus()
    dialog.start()
    qtbot.waitUntil(dialog.open_folder.isVisible, timeout=30_000)
    assert dialog.focusWidget() is dialog.open_folder
    QTest.keyClick(dialog.open_folder, Qt.Key.Key_Space)
    assert [url.toLocalFile() for url in opened] == [str(tmp_path)]
    before = dialog.size()
    dialog._say("\n".join(f"One more thing to look at, number {n}." for n in range(80)))
    QApplication.processEvents()
    assert dialog.size() == before
    assert dialog.report.verticalScrollBar().maximum() > 0
    dialog.close()
    set_scale(demo, 1.0)
