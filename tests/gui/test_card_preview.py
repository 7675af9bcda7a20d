"""Parts looked through before they are made."""

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from tapscore.exports.paper.part_sheets import part_sheets
from tapscore.gui.card_preview import CardPreview
from tapscore.gui.main_window import MainWindow
from tapscore.rhythm.perform import perform
from tapscore.workflow.product import Choices


def test_shows_the_pages_of_the_export(qtbot: QtBot, demo: MainWindow) -> None:
    story = demo.document.story
    preview = CardPreview(story)
    qtbot.addWidget(preview)
    preview.role.setCurrentText("beat-keeper")
    preview.role.activated.emit(preview.role.currentIndex())
    pages = part_sheets(story, perform(story), "beat-keeper").pages
    assert preview.where.text() == f"1 of {pages}"
    assert "sheet 1 of" in preview.picture.accessibleName()
    QTest.mouseClick(preview.next, Qt.MouseButton.LeftButton)
    assert preview.where.text() == f"2 of {pages}"
    assert not preview.picture.pixmap().isNull()
    preview.show_choices(Choices(part_paper="A4"))
    assert preview.where.text() != f"2 of {pages}"


def test_paper_too_small_says_so(qtbot: QtBot, demo: MainWindow) -> None:
    preview = CardPreview(demo.document.story)
    qtbot.addWidget(preview)
    preview.show_choices(Choices(part_paper="A6", distance_m=3.0))
    assert preview.picture.text()
    assert not preview.next.isEnabled()
