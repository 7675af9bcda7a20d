"""Finding, cutting, joining, dragging and folding lines in a real window."""

from collections.abc import Callable
from pathlib import Path

import pytest
from attrs import evolve
from PySide6.QtCore import QItemSelectionModel, QPoint, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from tapscore.gui.editor.overview import _loudest
from tapscore.gui.main_window import MainWindow
from tapscore.model.loudness import Loudness
from tapscore.model.story import Line, Wait
from tapscore.screen.rows import Row, RowKind, row_text
from tapscore.words import fit_costs, guess
from tapscore.workflow.fitting import _rhythms
from tests.gui.answers import Answers

NONE, SHIFT = Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier
TEXT = """\
tapscore: 2
title: Small
metre: 6/8
roles: {leader: {}, beat-keeper: {}}
refrains:
  home:
    - words: row the boat
      lane: "| X . x X . . |"
    - words: row it home
      lane: "| X . x X . . |"
story:
  - section: One
    lines:
      - words: first comes the moon
        lane: "| X . x x . x | X . . . . . |"
      - refrain: home
      - words: then comes the sun
      - wait: 10
  - section: Two
    lines:
      - words: last comes the rain
      - refrain: home
"""


@pytest.fixture
def window(window_on: Callable[[str], MainWindow]) -> MainWindow:
    return window_on(TEXT)


def said(window: MainWindow) -> list[str]:
    return [
        row.line.words.replace("-", "") if row.line else row.kind.value for row in window.rows.rows
    ]


def current(window: MainWindow) -> Row:
    row = window.view.current_row
    assert row is not None
    return row


def go(window: MainWindow, number: int) -> None:
    window.view.setFocus()
    # Not selectRow: Qt would ask for keys that are held, and QTest leaves Shift so.
    window.view.selectionModel().setCurrentIndex(
        window.rows.index(number, 0), QItemSelectionModel.SelectionFlag.ClearAndSelect
    )


def test_a_refrain_is_shown_at_each_return_and_folds(window: MainWindow) -> None:
    whole = said(window)
    assert whole[:5] == [
        "section",
        "first comes the moon",
        "refrain returns",
        *("row the boat", "row it home"),
    ]
    go(window, 2)
    QTest.keyClick(window.view, Qt.Key.Key_Left)
    assert said(window)[3] == "then comes the sun"
    assert said(window).count("row the boat") == 2
    assert "2 rows folded away" in row_text(current(window))
    QTest.keyClick(window.view, Qt.Key.Key_Right)
    assert said(window) == whole


def test_a_refrains_line_is_changed_at_its_return(window: MainWindow) -> None:
    go(window, 3)
    window.actions_by_id["words"].trigger()
    field = window.view.delegate.field
    assert field is not None
    field.setText("row the ship")
    field.textEdited.emit("row the ship")
    assert said(window).count("row the ship") == 3
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert window.view.currentIndex().row() == 3
    window.actions_by_id["repeat"].trigger()
    assert window.view.currentIndex().row() == 4
    assert current(window).within is not None


def test_the_return_and_its_lines_chosen_are_one_thing(window: MainWindow) -> None:
    go(window, 2)
    for _ in range(2):
        QTest.keyClick(window.view, Qt.Key.Key_Down, SHIFT)
    assert [row.kind for row in window.view.selected_rows] == [RowKind.RETURN]
    window.actions_by_id["delete"].trigger()
    assert len(window.document.story.refrains[0].items) == 2
    window.document.undo_stack.undo()
    window.actions_by_id["select all"].trigger()
    paths = [row.path for row in window.view.selected_rows]
    assert len(paths) == len(set(paths))


def test_a_folded_section_is_one_thing_for_every_command(window: MainWindow) -> None:
    go(window, 0)
    QTest.keyClick(window.view, Qt.Key.Key_Left)
    assert said(window)[:2] == ["section", "section"]
    chosen = window.view.selected_rows
    assert [row.kind for row in chosen] == [
        RowKind.SECTION,
        RowKind.LINE,
        RowKind.RETURN,
        RowKind.LINE,
        RowKind.WAIT,
    ]
    window.actions_by_id["copy words"].trigger()
    assert QGuiApplication.clipboard().text() == "first comes the moon\nthen comes the sun"
    window.actions_by_id["delete"].trigger()
    assert [section.title for section in window.document.story.sections] == ["Two"]
    window.document.undo_stack.undo()
    window.view.go_to(("story", 0, "lines", 2))
    assert current(window).path == ("story", 0, "lines", 2)


def test_headings_alone_and_all_again(window: MainWindow) -> None:
    before = said(window)
    go(window, 6)
    window.actions_by_id["fold all"].trigger()
    assert window.actions_by_id["fold all"].isChecked()
    assert said(window)[:2] == ["section", "section"]
    assert current(window).kind is RowKind.SECTION
    window.actions_by_id["fold all"].trigger()
    assert said(window) == before
    window.actions_by_id["refrains shown"].trigger()
    assert said(window).count("row the boat") == 1
    window.actions_by_id["refrains shown"].trigger()
    assert said(window) == before


def test_several_lines_become_one_refrain(window: MainWindow) -> None:
    window.document.edit("x", window.document.story)
    go(window, 5)
    QTest.keyClick(window.view, Qt.Key.Key_Down, SHIFT)
    window.actions_by_id["refrain"].trigger()
    story = window.document.story
    assert [type(item) for item in story.refrains[1].items] == [Line, Wait]
    assert len(story.sections[0].items) == 3


def test_find_goes_round_and_replaces_in_one_step(window: MainWindow) -> None:
    strip = window.finding
    window.actions_by_id["find"].trigger()
    QTest.keyClicks(strip.wanted, "comes")
    assert strip.where.text() == "in 3 places"
    for words in ("first comes the moon", "then comes the sun", "last comes the rain"):
        QTest.keyClick(strip.wanted, Qt.Key.Key_Return)
        line = current(window).line
        assert line is not None
        assert line.words == words
    QTest.keyClick(strip.wanted, Qt.Key.Key_Return)
    assert strip.where.text() == "1 of 3"
    QTest.keyClick(strip.wanted, Qt.Key.Key_Return, SHIFT)
    assert strip.where.text() == "3 of 3"
    strip.new.setFocus()
    QTest.keyClicks(strip.new, "falls")
    QTest.keyClick(strip.new, Qt.Key.Key_Return)
    assert "last falls the rain" in said(window)
    before = window.document.undo_stack.count()
    strip.replace_all.click()
    assert window.document.undo_stack.count() == before + 1
    assert "first falls the moon" in said(window)
    QTest.keyClick(strip.wanted, Qt.Key.Key_Escape)
    assert strip.isHidden()


def test_a_folded_line_is_shown_when_it_is_found(window: MainWindow) -> None:
    window.actions_by_id["fold all"].trigger()
    window.actions_by_id["find"].trigger()
    window.finding.wanted.setText("rain")
    window.finding.go(1)
    line = current(window).line
    assert line is not None
    assert line.words == "last comes the rain"


def test_shift_enter_in_the_words_makes_two_lines(window: MainWindow) -> None:
    go(window, 1)
    window.actions_by_id["words"].trigger()
    field = window.view.delegate.field
    assert field is not None
    field.setCursorPosition(len("first comes "))
    QTest.keyClick(field, Qt.Key.Key_Return, SHIFT)
    assert said(window)[1:3] == ["first comes", "the moon"]
    window.document.undo_stack.undo()
    assert said(window)[1] == "first comes the moon"


def test_a_line_is_cut_before_the_tap_and_joined_again(window: MainWindow) -> None:
    start = window.document.story
    go(window, 1)
    assert not window.actions_by_id["cut line"].isEnabled()
    for _ in range(3):
        QTest.keyClick(window.view, Qt.Key.Key_Right)
    window.actions_by_id["cut line"].trigger()
    assert said(window)[1:3] == ["first comes", "the moon"]
    go(window, 1)
    window.actions_by_id["join"].trigger()
    assert said(window)[1] == "first comes the moon"
    window.actions_by_id["join"].trigger()
    assert "follow one another" in window.statusBar().currentMessage()
    while window.document.undo_stack.canUndo():
        window.document.undo_stack.undo()
    assert window.document.story == start


def test_lines_are_dragged_at_their_number(qtbot: QtBot, window: MainWindow) -> None:
    with qtbot.waitExposed(window):
        window.show()
    view, port = window.view, window.view.viewport()
    go(window, 5)
    QTest.keyClick(view, Qt.Key.Key_Down, SHIFT)
    first = view.visualRect(window.rows.index(1, 0))
    at = view.visualRect(window.rows.index(5, 0)).center()
    QTest.mousePress(port, Qt.MouseButton.LeftButton, NONE, QPoint(20, at.y()))
    assert len(view.selectionModel().selectedRows()) == 2
    QTest.mouseMove(port, QPoint(20, at.y() - 30))
    QTest.mouseMove(port, QPoint(20, first.top() + 4))
    assert view.lifting.line_y() is not None
    QTest.mouseRelease(port, Qt.MouseButton.LeftButton, NONE, QPoint(20, first.top() + 4))
    assert said(window)[1:4] == ["then comes the sun", "wait", "first comes the moon"]
    assert [row.kind for row in view.selected_rows] == [RowKind.LINE, RowKind.WAIT]
    window.document.undo_stack.undo()
    assert said(window)[1] == "first comes the moon"


def test_go_to_a_line_by_number_or_words(window: MainWindow, answers: Answers) -> None:
    for typed, words in (("3", "last comes the rain"), ("the sun", "then comes the sun")):
        answers.choices = [typed]
        window.actions_by_id["go to"].trigger()
        line = current(window).line
        assert line is not None
        assert line.words == words
    answers.choices = ["99"]
    window.actions_by_id["go to"].trigger()
    assert "no line with “99”" in window.statusBar().currentMessage()


def test_nothing_chosen_after_delete(window: MainWindow) -> None:
    go(window, 1)
    window.actions_by_id["delete"].trigger()
    assert window.view.chosen_rows == ()
    assert not window.actions_by_id["delete"].isEnabled()
    before = window.document.story
    window.actions_by_id["delete"].trigger()
    assert window.document.story is before


def test_the_overview_shows_in_long_stories_and_goes_there(qtbot: QtBot, demo: MainWindow) -> None:
    with qtbot.waitExposed(demo):
        demo.show()
    qtbot.waitUntil(demo.overview.isVisible)
    foot = QPoint(10, demo.overview.height() - 2)
    QTest.mousePress(demo.overview, Qt.MouseButton.LeftButton, NONE, foot)
    QTest.mouseRelease(demo.overview, Qt.MouseButton.LeftButton, NONE, foot)
    assert demo.view.currentIndex().row() == demo.rows.rowCount() - 1
    demo.actions_by_id["fold all"].trigger()
    qtbot.waitUntil(demo.overview.isHidden)


def test_the_overview_shows_a_line_as_loud_as_its_loudest_tap(demo: MainWindow) -> None:
    """A loud tap in a quiet line is just what the strip is for."""
    loudest = {
        row.number: _loudest(row)
        for row in demo.rows.rows
        if row.line is not None and row.number is not None
    }
    assert loudest[1] == Loudness.QUIET
    assert loudest[4] == Loudness.LOUD, "where it grows to"
    assert loudest[5] == Loudness.LOUD, "single taps"
    line = demo.rows.rows[1]
    assert line.line is not None
    bare = evolve(line, placed=evolve(line.placed, item=evolve(line.line, lane=None)))
    assert _loudest(bare) is None


GEESE = [f"the {name} came over the hill" for name in ("goose", "moon") * 10]


def _paste_many(window: MainWindow, words: list[str] = GEESE) -> None:
    QGuiApplication.clipboard().setText("\n".join(words))
    go(window, 1)
    window.actions_by_id["paste"].trigger()


def _rhythms_come(qtbot: QtBot, window: MainWindow) -> None:
    qtbot.waitUntil(lambda: not window.editing.later.busy, timeout=20_000)


def _without_rhythm(window: MainWindow) -> list[str]:
    return [
        row.line.words
        for row in window.rows.rows
        if row.line is not None and row.line.lane is None and "hill" in row.line.words
    ]


def test_many_lines_are_pasted_at_once_and_fitted_later_in_one_step(
    qtbot: QtBot, window: MainWindow
) -> None:
    start = window.document.story
    _paste_many(window)
    items = window.document.story.sections[0].items
    assert [item.words for item in items if isinstance(item, Line)][1:21] == GEESE
    assert _without_rhythm(window) == GEESE
    _rhythms_come(qtbot, window)
    assert not _without_rhythm(window)
    assert window.document.undo_stack.count() == 1
    window.document.undo_stack.undo()
    assert window.document.story == start


def test_rhythms_arrive_while_the_pasting_is_undone(qtbot: QtBot, window: MainWindow) -> None:
    start = window.document.story
    _paste_many(window)
    window.actions_by_id["undo"].trigger()
    _rhythms_come(qtbot, window)
    assert window.document.story is start
    window.actions_by_id["redo"].trigger()
    assert len(window.rows.rows) > len(GEESE)
    assert not _without_rhythm(window)


def test_rhythms_arrive_after_other_steps_and_take_none_away(
    qtbot: QtBot, window: MainWindow
) -> None:
    _paste_many(window)
    go(window, 1)
    window.actions_by_id["repeat"].trigger()
    twice = len(window.rows.rows)
    window.actions_by_id["undo"].trigger()
    _rhythms_come(qtbot, window)
    assert not _without_rhythm(window)
    window.actions_by_id["redo"].trigger()
    assert len(window.rows.rows) == twice
    assert not _without_rhythm(window)


def test_lines_made_louder_before_their_rhythms_come_get_them_too(
    qtbot: QtBot, window: MainWindow
) -> None:
    _paste_many(window)
    window.actions_by_id["louder"].trigger()
    _rhythms_come(qtbot, window)
    assert not _without_rhythm(window)
    pasted = [row.line for row in window.rows.rows if row.line and "hill" in row.line.words]
    assert len(pasted) == len(GEESE)
    assert all(line.manner.loudness is not None for line in pasted)
    alone = [row.line for row in window.rows.rows if row.line and "sun" in row.line.words]
    assert alone[0].lane is None, "this one was without before"


def test_two_pastings_at_once_both_get_their_rhythms(qtbot: QtBot, window: MainWindow) -> None:
    _paste_many(window)
    _paste_many(window, [f"{words} again" for words in GEESE])
    _rhythms_come(qtbot, window)
    assert not _without_rhythm(window)


def test_undo_and_redo_are_greyed_as_there_is_something(window: MainWindow) -> None:
    undo, redo = window.actions_by_id["undo"], window.actions_by_id["redo"]
    go(window, 1)
    assert not undo.isEnabled()
    window.actions_by_id["louder"].trigger()
    assert undo.isEnabled()
    undo.trigger()
    assert not undo.isEnabled()
    assert redo.isEnabled()


@pytest.mark.parametrize("undone", [False, True])
def test_rhythms_that_arrive_after_saving_are_to_be_saved(
    qtbot: QtBot, window: MainWindow, tmp_path: Path, undone: bool
) -> None:
    _paste_many(window)
    window.document.mark_saved(tmp_path / "story.yaml")
    if undone:
        window.actions_by_id["undo"].trigger()
    _rhythms_come(qtbot, window)
    if undone:
        window.actions_by_id["redo"].trigger()
    assert window.document.modified


def test_what_fitting_needs_is_read_before_somebody_types(
    qtbot: QtBot, window_on: Callable[[str], MainWindow]
) -> None:
    """The first key would wait for a fifth of what a turn of the window may take."""
    guess.shipped_weights.cache_clear()
    fit_costs.shipped_weights.cache_clear()
    _rhythms.cache_clear()
    window_on(TEXT)
    for weights in (guess.shipped_weights, fit_costs.shipped_weights):
        qtbot.waitUntil(lambda: weights.cache_info().currsize == 1, timeout=20_000)  # noqa: B023
