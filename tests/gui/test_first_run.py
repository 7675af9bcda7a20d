"""The first time: a demo story as a copy, with hints that can be put away."""

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from tapscore.gui.app import open_demo
from tapscore.gui.files import FileWork
from tapscore.gui.hints import HINTS


def test_opens_a_copy_of_a_demo_story_with_hints(files: FileWork) -> None:
    open_demo(files)
    window = files.windows[-1]
    assert window.document.path is None
    assert window.document.story.title == "The Lantern Boat"
    assert window.hints.isVisible()
    for _ in HINTS:
        QTest.mouseClick(window.hints.next, Qt.MouseButton.LeftButton)
    assert not window.hints.isVisible()
    assert files.settings.hints_seen
    open_demo(files)
    assert not files.windows[-1].hints.isVisible()
