"""Spelling in the window: marked, gone through, own words, and off by one press."""

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from tapscore.gui.files import FileWork
from tapscore.gui.main_window import MainWindow
from tapscore.gui.spelling import check
from tapscore.model.story import Line

TEXT = """\
tapscore: 2
title: Small
metre: 6/8
glossary: {higgledy: HIG-gle-dy}
story:
  - section: One
    lines:
      - words: the lan-turn is a freind
      - words: a lan-turn, hig-gle-dy
        do: show the lanturn
"""


@pytest.fixture(autouse=True)
def _soon(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(check, "PAUSE_MS", 30)


@pytest.fixture
def window(qtbot: QtBot, window_on: Callable[[str], MainWindow]) -> MainWindow:
    window = window_on(TEXT)
    qtbot.waitUntil(lambda: window.spelling.unknown == {"lanturn", "freind"})
    return window


def words(window: MainWindow) -> list[str]:
    items = window.document.story.sections[0].items
    return [item.words.replace("-", "") for item in items if isinstance(item, Line)]


def test_rows_say_what_the_dictionary_lacks(window: MainWindow) -> None:
    said = window.rows.data(window.rows.index(1, 0), int(Qt.ItemDataRole.AccessibleTextRole))
    assert said.endswith("Not in the dictionary: lanturn, freind")


def test_one_goes_through_them_by_keyboard(qtbot: QtBot, window: MainWindow) -> None:
    window.actions_by_id["spelling"].trigger()
    strip = window.spelling_strip
    assert strip.said.text().startswith("“lanturn” is not in the dictionary (1 of 4)")
    assert "lantern" in [strip.instead.itemText(n) for n in range(strip.instead.count())]
    strip.instead.setCurrentText("lantern")
    strip.change_all.click()
    assert words(window) == ["the lantern is a freind", "a lantern, higgledy"]
    assert strip.said.text().startswith("“freind”")
    strip.instead.setCurrentText("friend")
    QTest.keyClick(strip.instead, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: not window.spelling.unknown)
    assert strip.said.text().startswith("The dictionary has every word")
    QTest.keyClick(strip, Qt.Key.Key_Escape)
    assert strip.isHidden()
    window.document.undo_stack.undo()
    window.document.undo_stack.undo()
    assert words(window)[0] == "the lanturn is a freind"


def test_own_words_are_right_in_every_story(
    qtbot: QtBot, window: MainWindow, files: FileWork, window_on: Callable[[str], MainWindow]
) -> None:
    window.actions_by_id["spelling"].trigger()
    window.spelling_strip.right.click()
    assert window.spelling.unknown == {"freind"}
    assert files.settings.own_words == ("lanturn",)
    other = window_on(TEXT)
    qtbot.waitUntil(lambda: other.spelling.unknown == {"freind"})


def test_off_by_one_press(window: MainWindow) -> None:
    window.actions_by_id["mark spelling"].trigger()
    assert window.spelling.unknown == frozenset()
    assert not window.actions_by_id["mark spelling"].isChecked()
    assert not window.actions_by_id["spelling"].isEnabled()


def test_another_language_is_let_be(qtbot: QtBot, window_on: Callable[[str], MainWindow]) -> None:
    window = window_on(TEXT.replace("title: Small", "title: Small\nlanguage: cy"))
    looking = window.spelling._background
    assert looking.busy
    qtbot.waitUntil(lambda: not looking.busy)
    assert window.spelling.unknown == frozenset()
