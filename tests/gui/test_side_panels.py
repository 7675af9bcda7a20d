"""Panels that are made when somebody first looks at them are as if they had always been there."""

import pytest
from attrs import evolve
from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractSpinBox,
    QApplication,
    QCheckBox,
    QComboBox,
    QToolButton,
    QWidget,
)

from tapscore.gui.forms.entries import WordsEntry
from tapscore.gui.main_window import MainWindow
from tapscore.gui.panels.named_list import NamedListPanel
from tapscore.screen.rows import RowKind


def by_key(window: MainWindow) -> list[QWidget]:
    """What the Tab key reaches, in order."""
    found: list[QWidget] = []
    each = window.nextInFocusChain()
    while each is not None and each is not window:
        if each.isVisible() and each.focusPolicy() & Qt.FocusPolicy.TabFocus:
            found.append(each)
        each = each.nextInFocusChain()
    return found


def words(window: MainWindow, reached: list[QWidget]) -> list[int]:
    """Where the panels' words are among what keys reach, by title."""
    place = {
        each.text(): n
        for n, each in enumerate(reached)
        if isinstance(each, QToolButton) and window.side.isAncestorOf(each)
    }
    return [place[title] for title in ("Props", "Roles", "Story", "On the board", "Time")]


def test_keys_reach_a_panel_s_fields_before_its_own_word(demo: MainWindow) -> None:
    for number, title in ((4, "Story"), (2, "Props")):
        demo.side.show_number(number)
        assert demo.side.title(demo.side.current) == title
        reached = by_key(demo)
        fields = [
            n
            for n, each in enumerate(reached)
            if isinstance(each, WordsEntry) and demo.side.current.isAncestorOf(each)
        ]
        assert fields
        end = reached.index(demo.side._group.button(number))
        start = reached.index(demo.side._group.button(number - 1))
        assert start < min(fields) <= max(fields) < end
        assert words(demo, reached) == sorted(words(demo, reached))


def test_a_panel_is_made_once_and_shows_what_the_story_says_now(demo: MainWindow) -> None:
    assert not demo.side.findChildren(WordsEntry)
    demo.document.edit("Title", demo.document.story.__class__("Other", board=None))
    panel = demo.story_details
    assert panel.story["title"].text() == "Other"
    demo.side.show_panel(panel)
    assert demo.side.current is panel is demo.story_details
    assert panel in demo.side.panels
    for field in (*panel.findChildren(QComboBox), *panel.findChildren(QAbstractSpinBox)):
        assert field.focusPolicy() != Qt.FocusPolicy.WheelFocus


def test_a_short_list_is_hardly_higher_than_its_names(demo: MainWindow) -> None:
    """What is done with them is in sight below."""
    demo.resize(1280, 700)
    demo.show()
    for number in (2, 3):
        demo.side.show_number(number)
        QApplication.processEvents()
        panel = demo.side.current
        assert isinstance(panel, NamedListPanel)
        last = panel.names.visualItemRect(panel.names.item(panel.names.count() - 1))
        assert 0 <= panel.names.viewport().height() - last.bottom() <= 2 * last.height() + 12


def test_keys_reach_the_details_from_the_top_down(demo: MainWindow) -> None:
    """Boxes of adults are made when a line is first shown, and again when a role is added."""
    mole = evolve(demo.document.story.roles[0], name="Mole")
    for roles in (demo.document.story.roles, (*demo.document.story.roles, mole)):
        demo.document.edit("roles", evolve(demo.document.story, roles=roles))
        demo.view.go_to(next(row.path for row in demo.rows.rows if row.kind is RowKind.LINE))
        demo.side.show_panel(demo.details)
        QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        QApplication.processEvents()
        line = demo.details.line
        reached = [each for each in by_key(demo) if line.isAncestorOf(each)]
        heights = [each.mapTo(line, QPoint(0, 0)).y() for each in reached]
        assert any(isinstance(each, QCheckBox) for each in reached)
        assert heights == sorted(heights)


@pytest.mark.parametrize(
    ("kind", "first"),
    [
        (RowKind.SECTION, "Heading"),
        (RowKind.LINE, "Loudness"),
        (RowKind.WAIT, "Seconds at least"),
        (RowKind.OFFER, "Prop"),
    ],
)
def test_keys_begin_at_the_first_detail_and_go_round_the_whole_window(
    demo: MainWindow, kind: RowKind, first: str
) -> None:
    demo.show()
    demo.activateWindow()
    demo.view.setFocus()
    number = next(n for n, row in enumerate(demo.rows.rows) if row.kind is kind)
    demo.view.setCurrentIndex(demo.rows.index(number, 0))
    demo.show_details()
    reached: list[QWidget] = []
    for _ in range(80):
        at = demo.focusWidget()
        if at in reached:
            break
        reached.append(at)
        QTest.keyClick(at, Qt.Key.Key_Tab)
    assert reached[0].accessibleName() == first
    assert at is reached[0]
    assert demo.view in reached
    assert any(isinstance(each, QToolButton) and each.text() == "Save" for each in reached)


def test_keys_begin_at_the_first_detail_that_takes_any(demo: MainWindow) -> None:
    demo.show()
    demo.activateWindow()
    demo.details.wait["wait"].setEnabled(False)
    number = next(n for n, row in enumerate(demo.rows.rows) if row.kind is RowKind.WAIT)
    demo.view.setCurrentIndex(demo.rows.index(number, 0))
    demo.show_details()
    at = demo.focusWidget()
    assert at is not None
    assert at.accessibleName() == "Look for"
