"""Listening in a window: keys, the bar, the cursor in the rows, calm scrolling, and the end."""

from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest
from PySide6.QtCore import QAbstractAnimation, QRect, Qt, QThread, QTimer
from PySide6.QtGui import QColor, QImage
from PySide6.QtWidgets import QAbstractButton, QComboBox, QWidget
from pytestqt.qtbot import QtBot

from tapscore.gui.editor.row_geometry import MARGIN, RowSizes, line_layout
from tapscore.gui.listening.player import PlayerState
from tapscore.gui.listening.session import Listening
from tapscore.gui.looks import set_inks
from tapscore.gui.main_window import MainWindow
from tapscore.gui.palettes import ALL_INKS
from tapscore.model.finding import StoryPath
from tapscore.model.loudness import Loudness
from tapscore.model.selection import delete_all
from tapscore.screen.heard_rows import LoopChoice
from tests.gui.listening.fakes import TWO_WAITS, HandClock, NoDevice, Opened
from tests.gui.pixels import argb


def listen_at(opened: Opened, path: StoryPath, sec: float = 0.0) -> Listening:
    window, clock = opened
    window.view.go_to(path)
    window.actions_by_id["listen"].trigger()
    window.listening.player._timer.stop()  # the test looks at the clock by itself
    clock.sec += sec
    window.listening.player.tick()
    return window.listening


def press(qtbot: QtBot, widget: QWidget, key: Qt.Key) -> None:
    qtbot.keyClick(widget, key)  # type: ignore[no-untyped-call]


def state(listening: Listening) -> PlayerState:
    return listening.player.state


def test_f5_listens_from_the_line_one_is_in_and_f6_stops(qtbot: QtBot, opened: Opened) -> None:
    window = opened[0]
    window.view.go_to(("story", 0, "lines", 1))
    press(qtbot, window.view, Qt.Key.Key_F5)
    assert state(window.listening) is PlayerState.PLAYING
    assert window.view.delegate.playing == (2, 0.0)
    assert "Line 2" in window.listening.bar.status.text()
    assert "No sound device" in window.listening.bar.status.text()
    press(qtbot, window.view, Qt.Key.Key_F6)
    assert state(window.listening) is PlayerState.STILL
    assert window.view.delegate.playing is None


def test_escape_stops_too_but_first_leaves_a_tap(qtbot: QtBot, opened: Opened) -> None:
    window = opened[0]
    listening = listen_at(opened, ("story", 0, "lines", 0), 0.5)
    window.view.move_cursor_to(1)
    press(qtbot, window.view, Qt.Key.Key_Escape)
    assert window.view.cursor_event is None
    assert state(listening) is PlayerState.PLAYING
    press(qtbot, window, Qt.Key.Key_F12)
    assert state(listening) is PlayerState.PLAYING, "no other key stops it"
    press(qtbot, window.view, Qt.Key.Key_Escape)
    assert state(listening) is PlayerState.STILL


def test_space_goes_on_from_a_wait_and_in_the_tapping_mode_makes_a_tap(
    qtbot: QtBot, opened: Opened
) -> None:
    window = opened[0]
    before = window.document.story
    listening = listen_at(opened, ("story", 0, "lines", 1), 60.0)
    assert listening.holding
    assert window.view.delegate.playing == (3, 0.0)
    assert "a look" in listening.bar.status.text()
    press(qtbot, window.view, Qt.Key.Key_Space)
    assert state(listening) is PlayerState.PLAYING
    assert window.document.story == before
    listening.stop()
    window.view.move_cursor_to(0)
    press(qtbot, window.view, Qt.Key.Key_Space)
    assert window.document.story == before
    press(qtbot, window.view, Qt.Key.Key_F3)
    press(qtbot, window.view, Qt.Key.Key_Space)
    assert window.document.story != before


def test_a_refrain_out_of_sight_is_shown_at_its_return(opened: Opened) -> None:
    window = opened[0]
    window.actions_by_id["refrains shown"].trigger()  # its lines at their own place alone
    window.resize(1000, 480)
    listen_at(opened, ("story", 0, "lines", 3), 2.0)
    playing = window.view.delegate.playing
    assert playing is not None
    assert playing[0] == 4
    assert playing[1] == pytest.approx(0.5, abs=0.01)


def test_a_refrain_in_full_is_shown_line_by_line_at_its_return(opened: Opened) -> None:
    window = opened[0]
    listen_at(opened, ("story", 0, "lines", 3), 1.0)
    playing = window.view.delegate.playing
    assert playing is not None
    row = window.rows.rows[playing[0]]
    assert row.within == ("story", 0, "lines", 3)
    head = window.rows.rows[4]
    window.rows.fold(head, shown=False)
    opened[1].sec += 0.1
    window.listening.player.tick()
    playing = window.view.delegate.playing
    assert playing is not None
    assert playing[0] == 4


def test_a_refrain_in_sight_is_shown_where_it_is_written(opened: Opened) -> None:
    window = opened[0]
    window.actions_by_id["refrains shown"].trigger()  # its lines at their own place alone
    window.resize(1200, 1700)
    listen_at(opened, ("story", 0, "lines", 3), 1.0)
    playing = window.view.delegate.playing
    assert playing is not None
    assert playing[0] == 11
    assert playing[1] == pytest.approx(0.5, abs=0.01)
    listen_at(opened, ("story", 0, "lines", 3), 3.0)
    playing = window.view.delegate.playing
    assert playing is not None
    assert playing[0] == 12


def test_a_refrain_half_in_sight_is_shown_at_its_return(
    opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    window = opened[0]
    window.actions_by_id["refrains shown"].trigger()  # its lines at their own place alone
    monkeypatch.setattr(window.listening.follower, "_in_sight", lambda row: row != 12)
    listen_at(opened, ("story", 0, "lines", 3), 1.0)
    playing = window.view.delegate.playing
    assert playing is not None
    assert playing[0] == 4


def test_whoever_starts_in_the_refrain_stays_there(opened: Opened) -> None:
    window = opened[0]
    window.actions_by_id["refrains shown"].trigger()  # its lines at their own place alone
    window.resize(1000, 480)
    listen_at(opened, ("refrains", "back", 0), 1.0)
    playing = window.view.delegate.playing
    assert playing is not None
    assert playing[0] == 11


def test_with_less_movement_it_jumps_and_the_view_does_not_glide(opened: Opened) -> None:
    window, clock = opened
    window.resize(1000, 480)
    window.actions_by_id["still"].trigger()
    assert window.settings.reduced_motion
    assert window.actions_by_id["still"].isChecked()
    listening = listen_at(opened, ("story", 0, "lines", 0), 0.7)
    assert window.view.delegate.playing == (1, 0.25)
    clock.sec += 0.2
    listening.player.tick()
    assert window.view.delegate.playing == (1, 0.25)
    window.view.verticalScrollBar().setValue(window.view.verticalScrollBar().maximum())
    listen_at(opened, ("story", 0, "lines", 0))
    animations = listening.follower.findChildren(QAbstractAnimation)
    assert all(each.state() is QAbstractAnimation.State.Stopped for each in animations)


def test_the_row_that_is_left_and_the_one_that_is_heard_are_painted_anew(
    opened: Opened, monkeypatch: pytest.MonkeyPatch
) -> None:
    window, clock = opened
    listening = listen_at(opened, ("story", 0, "lines", 0), 1.9)
    painted: list[int] = []
    monkeypatch.setattr(window.view, "update", lambda index: painted.append(index.row()))
    clock.sec += 0.2
    listening.player.tick()
    assert painted == [1, 2]
    listening.stop()
    assert painted == [1, 2, 2]


def test_the_view_glides_to_a_row_out_of_sight(qtbot: QtBot, opened: Opened) -> None:
    window, clock = opened
    window.resize(1000, 480)
    listening = listen_at(opened, ("story", 0, "lines", 0), 0.5)
    bar = window.view.verticalScrollBar()
    bar.setValue(bar.maximum())
    clock.sec += 2.0
    listening.player.tick()
    start = bar.value()
    qtbot.waitUntil(lambda: bar.value() < start)
    row = window.rows.index(2, 0)
    port = window.view.viewport()
    qtbot.waitUntil(lambda: port.rect().contains(window.view.visualRect(row).center()))


def test_loop_speed_and_part_are_heard_at_once(opened: Opened) -> None:
    window, clock = opened
    listening = listen_at(opened, ("story", 0, "lines", 1), 1.0)
    window.actions_by_id["slower"].trigger()
    assert listening.player.performance is not None
    tempo = listening.player.performance.segments[1].manner.tempo
    assert tempo is not None
    assert tempo.start == 90
    assert listening.player.place is not None
    assert (listening.player.place.segment, listening.player.place.share) == (1, 0.0)
    window.actions_by_id["loop line"].trigger()
    assert listening.bar.loop_choice is LoopChoice.LINE
    clock.sec += 400
    listening.player.tick()
    assert listening.player.place.segment == 1
    listening.bar.part.setCurrentText("other")
    assert listening.player._choices.my_part == "other"
    window.actions_by_id["less slow"].trigger()
    assert listening.bar.choices.speed == 1


def test_another_choice_begins_the_line_that_is_heard_again_wherever_one_is(opened: Opened) -> None:
    window = opened[0]
    listening = listen_at(opened, ("story", 0, "lines", 1), 1.0)
    window.view.go_to(("story", 1, "lines", 2))
    window.actions_by_id["slower"].trigger()
    assert listening.player.place is not None
    assert (listening.player.place.segment, listening.player.place.share) == (1, 0.0)


def test_the_loop_command_begins_and_ends_a_loop(opened: Opened) -> None:
    window = opened[0]
    window.view.go_to(("story", 0, "lines", 0))
    window.actions_by_id["loop section"].trigger()
    assert state(window.listening) is PlayerState.PLAYING
    assert window.listening.player._going.segments == (0, 1, 2, 3, 4, 5)
    window.actions_by_id["listen stop"].trigger()
    window.actions_by_id["loop section"].trigger()
    window.view.go_to(("story", 0, "lines", 1))
    window.actions_by_id["loop section"].trigger()
    assert window.listening.player.place is not None
    assert window.listening.player.place.segment == 1, "from the line one is in"
    window.actions_by_id["loop section"].trigger()
    assert window.listening.bar.loop_choice is LoopChoice.ONCE
    assert state(window.listening) is PlayerState.PLAYING
    window.view.choose([("story", 0, "lines", 0), ("story", 0, "lines", 1)])
    window.actions_by_id["loop selected"].trigger()
    assert window.listening.player.place.segment == 0, "from the first of those chosen"


def test_there_is_no_loop_of_a_wait(opened: Opened) -> None:
    window = opened[0]
    window.view.go_to(("story", 0, "lines", 2))
    window.actions_by_id["loop line"].trigger()
    assert state(window.listening) is PlayerState.STILL
    assert "Go to a line first" in window.listening.bar.status.text()


def test_a_changed_line_in_a_loop_begins_again_as_it_is_now(qtbot: QtBot, opened: Opened) -> None:
    window = opened[0]
    listening = listen_at(opened, ("story", 0, "lines", 0))
    window.actions_by_id["loop line"].trigger()
    listening.bar.count_in.setChecked(True)
    assert listening.player.place is not None
    assert listening.player.place.counting_in
    window.view.move_cursor_to(1)
    window.actions_by_id["tap"].trigger()
    qtbot.waitUntil(lambda: state(listening) is PlayerState.PLAYING)
    assert listening.player.performance is not None
    assert len(listening.player.performance.segments[0].taps) == 3
    assert not listening.player.place.counting_in


def test_a_loop_begins_again_where_it_was_wherever_the_cursor_is_by_then(
    qtbot: QtBot, opened: Opened
) -> None:
    window = opened[0]
    listening = listen_at(opened, ("story", 0, "lines", 0))
    window.actions_by_id["loop line"].trigger()
    window.view.go_to(("story", 0, "lines", 1))
    window.editing.louder(window.view.selected_rows, 1)
    assert window.document.undo_stack.undoText()
    qtbot.waitUntil(lambda: state(listening) is PlayerState.PLAYING)
    assert listening.player.place is not None
    assert listening.player.place.segment == 0


def test_a_changed_story_stops_what_does_not_loop(opened: Opened) -> None:
    window = opened[0]
    listening = listen_at(opened, ("story", 0, "lines", 0), 0.5)
    window.document.edit("Shorter", delete_all(window.document.story, [("story", 0, "lines", 0)]))
    assert state(listening) is PlayerState.STILL
    assert window.view.delegate.playing is None
    assert "was changed" in listening.bar.status.text()


def test_everything_in_the_bar_has_a_name_and_takes_the_focus(opened: Opened) -> None:
    bar = opened[0].listening.bar
    controls: list[QWidget] = [*bar.findChildren(QAbstractButton), *bar.findChildren(QComboBox)]
    assert len(controls) == 11
    for control in controls:
        name = control.accessibleName() or (
            control.text() if isinstance(control, QAbstractButton) else ""
        )
        assert name
        assert control.accessibleDescription()
        assert control.focusPolicy() & Qt.FocusPolicy.TabFocus


def test_the_focus_goes_to_what_comes_next(qtbot: QtBot, opened: Opened) -> None:
    window, clock = opened
    bar, player = window.listening.bar, window.listening.player
    window.activateWindow()
    bar.listen_button.setFocus()
    press(qtbot, bar.listen_button, Qt.Key.Key_Space)
    player._timer.stop()
    assert bar.stop_button.hasFocus()
    clock.sec += 100
    player.tick()
    assert bar.go_on_button.hasFocus()
    press(qtbot, bar.go_on_button, Qt.Key.Key_Space)
    assert state(window.listening) is PlayerState.PLAYING
    assert bar.stop_button.hasFocus()
    press(qtbot, bar.stop_button, Qt.Key.Key_Space)
    assert bar.listen_button.hasFocus()


def test_large_text_needs_more_rows_but_no_wider_window(qtbot: QtBot, opened: Opened) -> None:
    window = opened[0]
    window.resize(1280, 800)
    width = window.width()
    window.listening.bar.show_more()
    high = window.listening.bar.height()
    for _ in range(4):
        window.actions_by_id["larger"].trigger()
    bar = window.listening.bar
    qtbot.waitUntil(lambda: bar.height() > high)
    assert window.width() == width
    whole = bar.rect()
    for child in bar.findChildren(QWidget):
        if child.parent() is bar:
            assert whole.contains(child.geometry())


@pytest.mark.parametrize("inks", ALL_INKS, ids=lambda inks: inks.name)
def test_the_cursor_keeps_one_colour_and_nothing_else_changes(opened: Opened, inks: object) -> None:
    """No flash: from frame to frame only the cursor's own place differs, in one colour."""
    window, clock = opened
    name = getattr(inks, "name", "")
    window.settings.inks = name
    window.look()
    listening = listen_at(opened, ("story", 0, "lines", 0))
    window.view.clearSelection()
    window.view.setCurrentIndex(window.rows.index(7, 0))
    window.view.clearSelection()
    rect = window.view.visualRect(window.rows.index(1, 0))
    frames: list[QImage] = []
    for _ in range(12):
        clock.sec += 0.15
        listening.player.tick()
        frames.append(_row_image(window, rect))
    teal = QColor(getattr(inks, "teal", ""))
    for before, after in pairwise(frames):
        changed = np.count_nonzero((argb(before) != argb(after)).any(axis=0))
        assert 0 < changed < 40
    shares = [_share_of(frame, teal) for frame in frames]
    assert max(shares) - min(shares) < 0.004


def test_at_a_taps_time_the_cursor_stands_on_its_mark(opened: Opened) -> None:
    window = opened[0]
    set_inks(window, "light")
    window.view.setCurrentIndex(window.rows.index(7, 0))
    window.view.clearSelection()
    row = window.rows.rows[1]
    assert row.line is not None
    rect = window.view.visualRect(window.rows.index(1, 0))
    sizes = RowSizes(window.view.delegate.scale)
    cell = line_layout(row.line, row.metre, sizes.scale, rect.width()).strips[0].cells[4]
    lane_top = MARGIN + sizes.words_high
    band = range(round(lane_top + 4), round(lane_top + sizes.lane_high))
    near = range(round(sizes.gutter + cell.x), round(sizes.gutter + cell.x + sizes.words_px))
    ink, teal = QColor(window.view.delegate.inks.ink), QColor(window.view.delegate.inks.teal)
    mark = _mean_x(_row_image(window, rect), ink, near, band)
    window.view.delegate.playing = (1, 0.5)
    cursor = _mean_x(_row_image(window, rect), teal, range(rect.width()), band)
    window.view.delegate.playing = None
    assert cursor == pytest.approx(mark, abs=1.5)


def _mean_x(image: QImage, colour: QColor, columns: range, lines: range) -> float:
    found = [x for x in columns for y in lines if image.pixel(x, y) == colour.rgb()]
    assert found
    return sum(found) / len(found)


def _row_image(window: MainWindow, rect: QRect) -> QImage:
    return window.view.viewport().grab(rect).toImage()


def _share_of(image: QImage, colour: QColor) -> float:
    return float((argb(image) == colour.rgb()).mean())


def test_no_timer_and_no_thread_is_left_when_the_window_closes(
    qtbot: QtBot, window_on: Callable[[str], MainWindow]
) -> None:
    window = window_on(TWO_WAITS)
    window.resize(1000, 480)
    clock = HandClock()
    window.listening.player._clock = clock
    window.listening.player._out = NoDevice()
    window.listening.bar.count_in.setChecked(False)
    window.actions_by_id["listen"].trigger()
    window.view.verticalScrollBar().setValue(9999)
    clock.sec += 2.5
    window.listening.player.tick()
    timers = window.listening.findChildren(QTimer)
    animations = window.listening.findChildren(QAbstractAnimation)
    assert any(timer.isActive() for timer in timers)
    assert any(each.state() is QAbstractAnimation.State.Running for each in animations)
    window.close()
    assert not any(timer.isActive() for timer in timers)
    assert not any(thread.isRunning() for thread in window.findChildren(QThread))
    assert all(each.state() is QAbstractAnimation.State.Stopped for each in animations)


def test_how_loud_taps_are_heard_is_one_choice_for_listening_and_for_files(
    opened: Opened, window_on: Callable[[str], MainWindow]
) -> None:
    window = opened[0]
    window.listening.bar.loudest.setCurrentIndex(3)
    window.listening.bar.mono.setChecked(True)
    choices = window.settings.choices
    assert (choices.mono, choices.loudest_heard) == (True, Loudness.QUIET)
    assert window_on(TWO_WAITS).listening.bar.ears == (True, Loudness.QUIET)
