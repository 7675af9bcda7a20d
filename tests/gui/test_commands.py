"""Commands: letters are words, tapping is a mode, and what is chosen is what is changed."""

from collections.abc import Callable, Iterator

import pytest
from PySide6.QtCore import QEvent, QItemSelectionModel, QMimeData, QPoint, Qt
from PySide6.QtGui import QAction, QGuiApplication, QImage
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLineEdit, QMenu, QToolButton

from tapscore.gui.commands.every import COMMANDS
from tapscore.gui.looks import set_inks
from tapscore.gui.main_window import MainWindow
from tapscore.gui.palettes import ALL_INKS, Inks
from tapscore.model.story import Line, RefrainUse
from tapscore.screen.rows import RowKind
from tapscore.storyfile.lane_text import lane_text

FIRST_LINE = ("story", 0, "lines", 0)


@pytest.fixture(autouse=True)
def empty_clipboard(qapp: object) -> Iterator[None]:
    QGuiApplication.clipboard().clear()
    yield
    QGuiApplication.clipboard().clear()


def choose(window: MainWindow, *numbers: int) -> None:
    window.view.rest_at(numbers[0])
    for number in numbers:
        window.view.selectionModel().select(
            window.rows.index(number, 0), QItemSelectionModel.SelectionFlag.Select
        )


def field_of(window: MainWindow) -> QLineEdit:
    field = window.view.delegate.field
    assert field is not None
    return field


def words(window: MainWindow) -> list[str]:
    return [row.line.words if row.line else row.kind.value for row in window.rows.rows]


def press(window: MainWindow, command: str) -> None:
    window.actions_by_id[command].trigger()


def test_letters_begin_words_and_change_nothing_else(demo: MainWindow) -> None:
    demo.view.go_to(FIRST_LINE)
    kinds = [row.kind for row in demo.rows.rows]
    before = demo.rows.rows[1].line
    QTest.keyClick(demo.view, Qt.Key.Key_S, Qt.KeyboardModifier.NoModifier)
    QTest.keyClicks(field_of(demo), "now was here")
    QTest.keyClick(field_of(demo), Qt.Key.Key_Return)
    after = demo.rows.rows[1].line
    assert before is not None
    assert after is not None
    assert after.words == f"{before.words} snow was here"
    assert [row.kind for row in demo.rows.rows] == kinds
    assert demo.document.undo_stack.count() == 1


@pytest.mark.parametrize("letter", "worntash")
def test_no_single_letter_is_a_command_outside_the_tapping_mode(
    demo: MainWindow, letter: str
) -> None:
    demo.view.go_to(FIRST_LINE)
    demo.view.move_cursor_to(2)
    kinds = [row.kind for row in demo.rows.rows]
    QTest.keyClicks(demo.view, letter)
    assert [row.kind for row in demo.rows.rows] == kinds
    assert demo.rows.rows[1].line is not None
    assert demo.rows.rows[1].line.words.endswith(f" {letter}")


def test_escape_puts_the_words_back_and_undo_brings_the_typed_ones_again(demo: MainWindow) -> None:
    demo.view.go_to(FIRST_LINE)
    before = demo.document.story
    QTest.keyClick(demo.view, Qt.Key.Key_X)
    QTest.keyClicks(field_of(demo), "yz")
    typed = demo.document.story
    QTest.keyClick(field_of(demo), Qt.Key.Key_Escape)
    assert demo.document.story == before
    press(demo, "undo")
    assert demo.document.story == typed


def test_the_tapping_mode_is_begun_seen_and_ended_on_purpose(demo: MainWindow) -> None:
    demo.view.go_to(FIRST_LINE)
    QTest.keyClick(demo.view, Qt.Key.Key_F3)
    assert demo.view.tapping
    assert demo.tap_strip.isVisible()
    assert "Escape" in demo.tap_strip.text.text()
    assert demo.view.cursor_event == 0
    start = demo.document.story
    QTest.keyClick(demo.view, Qt.Key.Key_Space)
    QTest.keyClick(demo.view, Qt.Key.Key_Right)
    QTest.keyClick(demo.view, Qt.Key.Key_S)
    QTest.keyClick(demo.view, Qt.Key.Key_Q)
    line = demo.rows.rows[1].line
    assert line is not None
    assert line.lane is not None
    assert lane_text(line.lane).startswith("| s X x")
    assert demo.document.undo_stack.count() == 2
    QTest.keyClick(demo.view, Qt.Key.Key_Escape)
    assert not demo.view.tapping
    assert not demo.tap_strip.isVisible()
    QTest.keyClick(demo.view, Qt.Key.Key_Space)
    assert demo.document.undo_stack.count() == 2
    demo.document.undo_stack.setIndex(0)
    assert demo.document.story == start


def test_a_second_delete_takes_nothing(demo: MainWindow) -> None:
    choose(demo, 1, 2)
    gone = words(demo)[1:3]
    QTest.keyClick(demo.view, Qt.Key.Key_Delete)
    assert words(demo)[1:3] != gone
    assert demo.document.undo_stack.undoText() == "Delete 2 lines"
    left = words(demo)
    QTest.keyClick(demo.view, Qt.Key.Key_Delete)
    assert words(demo) == left
    assert "Choose a line first" in demo.statusBar().currentMessage()
    assert demo.document.undo_stack.count() == 1


def test_every_command_takes_all_that_is_chosen_in_one_step(demo: MainWindow) -> None:
    start = demo.document.story
    for command in ("repeat", "down", "up", "louder", "quieter", "rhythm", "cut", "delete"):
        choose(demo, *((2, 3) if command == "up" else (1, 2)))
        press(demo, command)
        assert demo.document.undo_stack.index() == 1, command
        assert len(demo.view.chosen_rows) != 1, command
        demo.document.undo_stack.undo()
        assert demo.document.story == start
    choose(demo, 1, 2)
    press(demo, "refrain")
    assert demo.document.undo_stack.index() == 1
    assert demo.document.story.sections[0].items[0] == RefrainUse("out on")
    assert len(demo.document.story.refrains[-1].items) == 2


def test_copy_and_paste_keep_rhythm_and_manner_between_windows(
    demo: MainWindow, window_on: Callable[[str], MainWindow]
) -> None:
    number = next(n for n, row in enumerate(demo.rows.rows) if row.kind is RowKind.RETURN)
    splash = next(
        n for n, row in enumerate(demo.rows.rows) if row.line and "Splash" in row.line.words
    )
    choose(demo, number, splash)
    press(demo, "copy")
    data = QGuiApplication.clipboard().mimeData()
    assert "Splash!" in data.text()
    assert "refrain: row home" in data.text()
    other = window_on(
        "tapscore: 2\ntitle: Other\nmetre: 6/8\nstory:\n  - section: One\n    lines: []\n"
    )
    other.view.selectRow(0)
    press(other, "paste")
    pasted = other.document.story.sections[0].items
    assert pasted[0] == RefrainUse("row home")
    assert pasted[1] == demo.rows.rows[splash].item
    assert other.document.story.refrain("row home") == demo.document.story.refrain("row home")
    assert other.document.undo_stack.count() == 1
    press(other, "paste")
    assert len(other.document.story.refrains) == 1


def test_two_lines_pasted_into_a_lines_box_become_two_lines(demo: MainWindow) -> None:
    demo.view.go_to(FIRST_LINE)
    press(demo, "words")
    field = field_of(demo)
    field.selectAll()
    QGuiApplication.clipboard().setText("The lantern swings\nand sings\n")
    QTest.keyClick(field, Qt.Key.Key_V, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert words(demo)[1:3] == ["The lan-tern swings", "and sings"]
    assert demo.document.undo_stack.count() == 1


def test_what_is_no_words_is_not_pasted(demo: MainWindow) -> None:
    start = demo.document.story
    picture = QMimeData()
    picture.setImageData(QImage(4, 4, QImage.Format.Format_RGB32))
    for data, why in (
        (picture, "no words"),
        (text_data("la " * 90), "90 words"),
        (text_data("la\n" * 2_000_000), "far too much"),
    ):
        QGuiApplication.clipboard().setMimeData(data)
        press(demo, "paste")
        assert why in demo.statusBar().currentMessage()
        assert demo.document.story == start


def text_data(text: str) -> QMimeData:
    data = QMimeData()
    data.setText(text)
    return data


def test_what_cannot_be_done_is_grey_and_says_what_to_do_first(demo: MainWindow) -> None:
    assert not demo.actions_by_id["undo"].isEnabled()
    assert not demo.actions_by_id["strong"].isEnabled()
    assert "Go to a tap first" in demo.actions_by_id["strong"].toolTip()
    demo.view.go_to(FIRST_LINE)
    demo.view.move_cursor_to(1)
    assert demo.actions_by_id["strong"].isEnabled()
    demo.view.move_cursor_to(None)
    QTest.keyClick(demo.view, Qt.Key.Key_Right, Qt.KeyboardModifier.ControlModifier)
    assert "Go to a tap first" in demo.statusBar().currentMessage()


MOST_IN_A_GROUP = 7


def test_menus_stand_in_groups_that_can_be_taken_in(demo: MainWindow) -> None:
    menus = [action.menu() for action in demo.menuBar().actions()]
    for menu in menus:
        assert isinstance(menu, QMenu)
        rules = [action.isSeparator() for action in menu.actions()]
        assert not rules[0]
        assert not rules[-1]
        groups = "".join(" " if rule else "x" for rule in rules).split(" ")
        assert all(0 < len(group) <= MOST_IN_A_GROUP for group in groups), menu.title()


@pytest.mark.parametrize("inks", ALL_INKS, ids=lambda inks: inks.name)
def test_menus_show_what_cannot_be_done(demo: MainWindow, inks: Inks) -> None:
    set_inks(demo, inks.name)
    undo, all_rows = demo.actions_by_id["undo"], demo.actions_by_id["select all"]
    menu = next(m for m in demo.menuBar().findChildren(QMenu) if undo in m.actions())
    picture = menu.grab().toImage()

    def colours(action: QAction) -> set[str]:
        row = menu.actionGeometry(action).adjusted(3, 3, -3, -3)
        return {
            picture.pixelColor(x, y).name().upper()
            for x in range(row.left(), row.right())
            for y in range(row.top(), row.bottom())
        }

    assert not undo.isEnabled()
    assert inks.ink not in colours(undo)
    assert inks.ink in colours(all_rows)


def test_another_rhythm_says_which_one_it_is(demo: MainWindow) -> None:
    demo.view.go_to(FIRST_LINE)
    press(demo, "rhythm")
    said = demo.statusBar().currentMessage()
    assert said.startswith("Rhythm ")
    assert " of " in said
    assert "strong beat" in said


def taps_of(window: MainWindow, section: int) -> int:
    return sum(
        cell.mark.tapped
        for item in window.document.story.sections[section].items
        if isinstance(item, Line) and item.lane is not None
        for bar in item.lane.all_bars
        for step in bar
        for cell in step
    )


def test_fewer_taps_for_a_section_and_all_of_them_again(demo: MainWindow) -> None:
    start = taps_of(demo, 0)
    demo.view.go_to(("story", 0))
    press(demo, "tap strong")
    fewest = taps_of(demo, 0)
    press(demo, "tap beats")
    fewer = taps_of(demo, 0)
    press(demo, "tap beats")
    assert "already" in demo.statusBar().currentMessage()
    assert fewest < fewer < start
    press(demo, "tap every")
    assert taps_of(demo, 0) >= start
    assert demo.document.undo_stack.index() == 3
    assert demo.document.undo_stack.undoText() == "Tap every syllable"


def test_fewer_taps_for_one_line(demo: MainWindow) -> None:
    rest = taps_of(demo, 1)
    demo.view.go_to(FIRST_LINE)
    press(demo, "tap strong")
    line = demo.document.story.sections[0].items[0]
    assert isinstance(line, Line)
    assert line.lane is not None
    assert line.lane.syllables == len(line.syllables)
    assert taps_of(demo, 1) == rest


def test_it_says_which_metre_would_suit(demo: MainWindow) -> None:
    demo.view.go_to(FIRST_LINE)
    press(demo, "which metre")
    said = demo.statusBar().currentMessage()
    assert said.startswith("Evening: ")
    assert "say it like" in said or "can be said like" in said


def test_undo_while_a_field_is_open_harms_nothing(demo: MainWindow) -> None:
    start = demo.document.story
    demo.view.go_to(FIRST_LINE)
    press(demo, "add line")
    QTest.keyClicks(field_of(demo), "snow")
    press(demo, "undo")
    press(demo, "undo")
    assert demo.document.story == start
    press(demo, "redo")
    press(demo, "redo")
    assert words(demo)[2] == "snow"


def test_every_command_has_something_to_say(demo: MainWindow) -> None:
    assert len({command.id for command in COMMANDS}) == len(COMMANDS)
    for command in COMMANDS:
        assert command.about
        assert demo.actions_by_id[command.id].toolTip()
    menus = [action.text() for action in demo.menuBar().actions()]
    letters = [menu[menu.index("&") + 1].lower() for menu in menus]
    assert len(set(letters)) == len(letters)


def test_a_row_s_own_menu_has_what_is_for_rows_and_says_what_each_does(demo: MainWindow) -> None:
    demo.view.go_to(("story", 0, "lines", 0))
    before = set(demo.findChildren(QMenu))
    demo.menus.on_row(QPoint(5, 5))
    (menu,) = set(demo.findChildren(QMenu)) - before
    assert menu.isVisible()
    assert menu.toolTipsVisible()
    shown = [action for action in menu.actions() if not action.isSeparator()]
    assert shown == [demo.actions_by_id[c.id] for c in COMMANDS if c.on_row]
    assert all(action.toolTip() for action in shown)
    menu.close()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert set(demo.findChildren(QMenu)) == before


def test_the_row_of_main_actions_says_what_each_does_and_its_key(demo: MainWindow) -> None:
    row = {each.text(): each for each in demo.action_row.findChildren(QToolButton)}
    assert list(row) == [command.short for command in COMMANDS if command.short]
    assert row["Save"].toolTip() == "Save the story (Ctrl+S)"
    assert row["Line"].toolTip() == "A new line below (Ins)", "the first of two keys"
    assert row["Taps"].accessibleName() == "Taps: Go to a line with a rhythm first."
    assert not row["Taps"].isEnabled()
    demo.view.go_to(FIRST_LINE)
    assert row["Taps"].isEnabled()
    assert row["Taps"].accessibleName() == "Taps: Single keys change taps; Escape ends it"
    assert [text for text, each in row.items() if each.isCheckable()] == ["Taps"]
    assert not row["Taps"].isChecked()
    demo.actions_by_id["tapping"].trigger()
    assert row["Taps"].isChecked()
    row["Taps"].click()
    assert not demo.view.tapping
    assert not row["Taps"].isChecked()
