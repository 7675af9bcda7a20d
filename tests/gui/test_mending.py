"""Mending by keyboard: it says what will change, shows the line, and the keys stay."""

from collections.abc import Callable

import pytest
from attrs import evolve
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QListWidget
from pytestqt.qtbot import QtBot

from tapscore.gui.main_window import MainWindow
from tapscore.gui.mending import GONE
from tapscore.model.finding import Finding, Severity, StoryPath
from tapscore.model.selection import delete_all
from tapscore.model.walk import item_path
from tapscore.storyfile.read import read_text
from tests.gui.answers import Answers
from tests.gui.test_teacher_tasks import NO_WARNING


@pytest.fixture
def window(qtbot: QtBot, window_on: Callable[[str], MainWindow]) -> MainWindow:
    window = window_on(NO_WARNING)
    with qtbot.waitExposed(window):
        window.activateWindow()
    qtbot.waitUntil(lambda: bool(window.checking.findings))
    return window


def _choose(window: MainWindow, code: str) -> None:
    panel = window.findings
    codes = [finding.code for finding in window.checking.findings]
    panel.list.setFocus()
    panel.list.setCurrentRow(codes.index(code))


def test_the_change_is_said_and_the_line_shown_before(window: MainWindow) -> None:
    _choose(window, "warn-before-loud")
    assert "Line 2: Warn first: “touch an arm" in window.findings.would.text()
    row = window.view.current_row
    assert row is not None
    assert row.number == 2
    assert QApplication.focusWidget() is window.findings.list


def test_the_list_moves_nothing_while_she_is_in_the_story(window: MainWindow) -> None:
    """Findings come anew after every word that is typed."""
    window.view.go_to(("story", 0))
    window.view.setFocus()
    before = window.view.currentIndex().row()
    codes = [finding.code for finding in window.checking.findings]
    window.findings.list.setCurrentRow(codes.index("warn-before-loud"))
    assert "Line 2: Warn first" in window.findings.would.text(), "it is looked at all the same"
    assert window.view.currentIndex().row() == before


def test_mending_by_keyboard_keeps_the_keys_in_the_panel(qtbot: QtBot, window: MainWindow) -> None:
    panel = window.findings
    for _ in range(20):
        codes = [finding.code for finding in window.checking.findings]
        number = next(
            (n for n in range(len(codes)) if panel.list.setCurrentRow(n) or panel.mend.isEnabled()),
            None,
        )
        if number is None:
            break
        panel.mend.setFocus()
        before = window.document.story
        QTest.keyClick(panel.mend, Qt.Key.Key_Space)
        assert window.document.story != before
        assert panel.has_keys
        with qtbot.waitSignal(window.checking.found):
            pass
        assert panel.has_keys, codes[number]
    else:
        pytest.fail("mending never ends")


def test_the_keys_have_a_place_when_nothing_is_left(qtbot: QtBot, window: MainWindow) -> None:
    panel = window.findings
    panel.mend.setFocus()
    panel.show_findings((), ())
    assert QApplication.focusWidget() is panel.nothing
    panel.show_findings(window.checking.findings, ())
    assert panel.list.isVisible()


def test_what_is_kept_is_listed_and_taken_back(
    qtbot: QtBot, window: MainWindow, answers: Answers
) -> None:
    panel = window.findings
    soft = next(n for n, f in enumerate(window.checking.findings) if not f.must_mend and f.path)
    finding = window.checking.findings[soft]
    panel.list.setCurrentRow(soft)
    answers.choices = ["we practised it"]
    panel.accept.setFocus()
    QTest.keyClick(panel.accept, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: bool(window.checking.accepted))
    assert panel.kept.list.isHidden()
    panel.kept.unfold.setFocus()
    QTest.keyClick(panel.kept.unfold, Qt.Key.Key_Space)
    assert panel.kept.list.isVisible()
    assert "we practised it" in panel.kept.list.item(0).text()
    panel.kept.list.setCurrentRow(0)
    QTest.keyClick(panel.kept.back, Qt.Key.Key_Space)
    assert window.document.story.accepted == ()
    qtbot.waitUntil(lambda: not window.checking.accepted)
    assert finding.code in {f.code for f in window.checking.findings}
    window.document.undo_stack.undo()
    assert len(window.document.story.accepted) == 1


def test_what_changes_names_lines_as_the_window_does() -> None:
    from tapscore.screen.what_changes import what_changes

    story = read_text(NO_WARNING).story
    assert story is not None
    assert what_changes(story, evolve(story, title="Other")) == (
        "The story: title: “Other” instead of “Small”"
    )


def test_enter_on_a_finding_goes_to_its_line(window: MainWindow) -> None:
    window.view.go_to(("story", 0))
    codes = [finding.code for finding in window.checking.findings]
    item = window.findings.list.item(codes.index("warn-before-loud"))
    window.findings.list.itemActivated.emit(item)
    row = window.view.current_row
    assert row is not None
    assert row.number == 2
    assert QApplication.focusWidget() is window.view, "the keys go along"


@pytest.mark.parametrize(
    ("path", "title", "chosen"),
    [
        (("roles", "prop handler"), "Roles", "prop handler"),
        (("roles",), "Roles", ""),
        (("props", "beads", "sets"), "Props", "beads"),
        (("board", "seats", "seat of nobody"), "On the board", ""),
        (("board", "places", "B"), "On the board", "B"),
        (("board", "spots", "near edge"), "On the board", "near edge"),
        (("board", "sheet"), "Story", "Board, width in cm"),
        (("comfort", "least wait"), "Story", "Pupils are"),
        ((), "Story", "Name"),
        (("story", 1, "lines", 0), "Look again", ""),
    ],
)
def test_what_stands_in_another_panel_is_gone_to(
    demo: MainWindow, path: StoryPath, title: str, chosen: str
) -> None:
    """A finding of a role led nowhere."""
    finding = Finding("any", Severity.LOOK_AGAIN, path)
    demo.show()
    demo.findings.place_wanted.emit(finding)
    side = demo.side
    assert side.title(side.current).startswith(title)
    at = demo.focusWidget()
    if path[:1] == ("story",):
        assert demo.view.current_row is not None
        assert demo.view.current_row.path == path
        assert at is demo.view
    elif isinstance(at, QListWidget):
        item = at.currentItem()
        assert item is not None
        assert not chosen or item.text() == chosen
    else:
        assert at is not None
        assert at.accessibleName() == chosen


def test_a_press_and_enter_go_there(window: MainWindow) -> None:
    _choose(window, "warn-before-loud")
    wanted: list[object] = []
    window.findings.place_wanted.connect(wanted.append)
    window.findings.go.click()
    assert wanted == [window.findings.current]
    assert QApplication.focusWidget() is window.view
    _choose(window, "warn-before-loud")
    QTest.keyClick(window.findings.list, Qt.Key.Key_Return)
    assert len(wanted) == 2


def test_what_was_found_in_a_line_that_is_gone_is_not_mended(window: MainWindow) -> None:
    _choose(window, "warn-before-loud")
    finding = window.findings.current
    assert finding is not None
    at = item_path(finding.path)
    assert at is not None
    window.document.edit("Gone", delete_all(window.document.story, [at]))
    before = window.document.story
    panel = window.findings
    for wish in (panel.mend_wanted, panel.accept_wanted, panel.chosen, panel.place_wanted):
        window.statusBar().clearMessage()
        wish.emit(finding)
        assert window.document.story is before
        assert window.statusBar().currentMessage() == GONE
