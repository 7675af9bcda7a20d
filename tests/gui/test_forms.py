"""Fields write only what was typed in them."""

from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pytest
from PIL import Image
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QCheckBox, QComboBox, QLineEdit, QWidget
from pytestqt.qtbot import QtBot

from tapscore.gui.forms.entries import SEVERAL, KindEntry, WordsEntry
from tapscore.gui.forms.form import Form
from tapscore.gui.main_window import MainWindow
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Wait
from tapscore.model.tempo import Tempo
from tapscore.storyfile.lane_text import lane_text
from tapscore.storyfile.read import read_text
from tapscore.workflow.fitting import rhythms
from tests.gui.answers import Answers
from tests.gui.test_commands import choose

ODD = """\
tapscore: 2
title: Odd
tempo: 66.5
loudness: quiet to loud to quiet
pupils: 3
roles: {leader: {}, beat-keeper: {}}
props: {beads: {sets: 2}, bell: {}}
board: {size_cm: [117.5, 90], spots: {middle: [60, 45]}, gap_mm: 12.5, sheet: {thickness_mm: 3.25}}
comfort: {least wait: 7.5}
story:
  - section: One
    tempo: 54 to 42
    lines:
      - words: Row the lan-tern
        lane: "| X . x X . x |"
        tempo: 54 to 42
        loudness: quiet to loud
        by: everyone
        prop in: {beads: middle}
      - words: row the lan-tern
        lane: "| X . x X . x |"
        tempo: 66.5
      - words: home
        lane: "| X . . |"
        tempo: 70
        by: leader
      - wait: 12.5
      - offer: beads
        turn: 22.5
"""


@pytest.fixture
def odd(window_on: Callable[[str], MainWindow]) -> MainWindow:
    return window_on(ODD)


def walk(form: QWidget) -> None:
    """Go through every field with Tab, typing nothing."""
    for field in form.findChildren(QWidget):
        if isinstance(field, QLineEdit | KindEntry | QComboBox | QCheckBox):
            field.setFocus()
            QTest.keyClick(field, Qt.Key.Key_Tab)


def test_walking_through_every_field_changes_nothing(odd: MainWindow) -> None:
    for panel in odd.side.panels:
        odd.side.show_panel(panel)
        for number in range(odd.rows.rowCount()):
            choose(odd, number)
            for event in (None, 0):
                odd.view.move_cursor_to(event)
                walk(panel)
        choose(odd, 1, 2, 3)
        walk(panel)
    assert not odd.document.modified
    assert odd.document.text() == ODD


def show(odd: MainWindow, *numbers: int) -> Form:
    odd.side.show_panel(odd.details)
    choose(odd, *numbers)
    assert odd.details.shown is not None
    return odd.details.shown


def items(odd: MainWindow) -> tuple[object, ...]:
    return odd.document.story.sections[0].items


def test_what_is_shown_is_what_stands_in_the_file(odd: MainWindow) -> None:
    assert show(odd, 1)["tempo"].text() == "54 to 42"
    assert show(odd, 2)["tempo"].text() == "66.5"
    assert show(odd, 4)["wait"].text() == "12.5"
    assert show(odd, 5)["turn"].text() == "22.5"
    form = show(odd, 1)
    assert form["loudness"].first.currentText() == "quiet"
    assert form["loudness"].last.currentText() == "to loud"
    assert odd.story_details.story["loudness"].first.currentText() == "quiet to loud to quiet"


def test_two_adults_tap_otherwise_at_once_by_keyboard(odd: MainWindow) -> None:
    choose(odd, 1)
    odd.view.move_cursor_to(0)
    details = odd.details
    odd.side.show_panel(details)
    assert details.whose.accessibleName() == "Whose tap"
    assert details.whose.count() == 3
    pick(details.whose, "leader alone")
    pick(details.tap["stroke"], "knuckles")
    pick(details.tap["loudness"], "medium")
    assert not details.tap["by"].isEnabled()
    assert lane(odd).startswith("| X(everyone; leader: medium, knuckles) . x")
    pick(details.whose, "beat-keeper alone")
    pick(details.tap["spot"], "middle")
    assert "beat-keeper: middle)" in lane(odd)
    assert details.tap["stroke"].currentText() == "as the line: fingertips"
    # Taken back field by field, the tap is written as it was before.
    pick(details.tap["spot"], "any")
    pick(details.whose, "leader alone")
    pick(details.tap["stroke"], "as the line: fingertips")
    pick(details.tap["loudness"], "as the line: quiet to loud")
    assert odd.document.text() == ODD


def pick(field: QComboBox, wanted: str) -> None:
    """Choose in a field with the arrow keys alone."""
    field.setFocus()
    QTest.keyClick(field, Qt.Key.Key_Home)
    for _ in range(field.count()):
        if field.currentText() == wanted:
            return
        QTest.keyClick(field, Qt.Key.Key_Down)
    raise AssertionError(f"no {wanted!r}; the last is {field.currentText()!r}")


def lane(odd: MainWindow) -> str:
    line = items(odd)[0]
    assert isinstance(line, Line)
    assert line.lane is not None
    return lane_text(line.lane)


def test_pictures_are_chosen_and_brought(
    odd: MainWindow, tmp_path: Path, answers: Answers, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = tmp_path / "stories"
    folder.mkdir()
    for name in ("stories/beads.png", "room.png"):
        Image.new("RGB", (20, 10), "teal").save(tmp_path / name)
    monkeypatch.setattr(odd.document, "path", folder / "odd.yaml")
    odd.side.show_panel(odd.props)
    field = odd.props.form["picture"]
    assert field.accessibleName() == "Picture"
    field.setFocus()
    pick(field, "beads.png")
    assert odd.document.story.props[0].picture == "beads.png"
    odd.side.show_panel(odd.story_details)
    room = odd.story_details.board["picture"]
    answers.files = [tmp_path / "room.png"]
    room.setFocus()
    QTest.keyClick(room, Qt.Key.Key_End)
    assert (folder / "room.png").exists()
    assert odd.document.story.board is not None
    assert odd.document.story.board.picture == "room.png"
    assert room.currentText() == "room.png"
    (tmp_path / "words.png").write_text("words", encoding="utf-8")
    answers.files = [tmp_path / "words.png"]
    QTest.keyClick(room, Qt.Key.Key_End)
    assert "can't be read" in answers.told[0]
    assert room.currentText() == "room.png"


def test_several_lines_say_so_and_keep_what_was_not_typed(odd: MainWindow) -> None:
    before = items(odd)
    form = show(odd, 1, 2, 3)
    assert form["tempo"].lineEdit().placeholderText() == SEVERAL
    QTest.keyClicks(form["look for"], "a look")
    for old, new in zip(before[:3], items(odd)[:3], strict=True):
        assert isinstance(old, Line)
        assert isinstance(new, Line)
        assert (new.manner, new.look_for) == (old.manner, "a look")
    assert odd.document.undo_stack.count() == 1
    form["tempo"].setValue(Tempo(Fraction(80)))
    assert {item.manner.tempo for item in items(odd)[:3] if isinstance(item, Line)} == {
        Tempo(Fraction(80))
    }


def test_typing_what_to_look_for_keeps_the_wait(odd: MainWindow) -> None:
    QTest.keyClicks(show(odd, 4)["look for"], "still")
    assert items(odd)[3] == Wait(Fraction(25, 2), "still")


def test_one_name_pressed_is_one_name_changed(odd: MainWindow) -> None:
    form = show(odd, 1, 3)
    form["by"].boxes["beat-keeper"].click()
    by = [item.manner.by for item in items(odd)[:3] if isinstance(item, Line)]
    assert by == [("leader", "beat-keeper"), (), ("leader", "beat-keeper")]
    show(odd, 1)["prop in"].boxes["bell"].click()
    first = items(odd)[0]
    assert isinstance(first, Line)
    assert [(entrance.prop, entrance.at) for entrance in first.props_in] == [
        ("beads", "middle"),
        ("bell", None),
    ]


def test_who_speaks_and_who_warns_through_what(odd: MainWindow) -> None:
    form = show(odd, 1)
    for key, name in (
        ("says", "beat-keeper"),
        ("says", "leader"),
        ("warned by", "leader"),
        ("warned through", "touch"),
        ("warned through", "voice"),
    ):
        form[key].boxes[name].click()
    line = items(odd)[0]
    assert isinstance(line, Line)
    assert line.manner.says == ("beat-keeper",)
    assert line.warned_by == ("leader",)
    assert line.warned_through == ("touch", "voice")
    odd.document.undo_stack.undo()
    assert form["warned through"].boxes["touch"].isChecked()
    assert not form["warned through"].boxes["voice"].isChecked()


@pytest.mark.parametrize(
    ("row", "key", "typed", "why"),
    [(1, "tempo", "7", "20 to 300"), (4, "wait", "soon", "1 to 600"), (4, "wait", "900", "600")],
)
def test_what_the_file_would_not_take_is_not_written_and_not_lost(
    odd: MainWindow, row: int, key: str, typed: str, why: str
) -> None:
    field = show(odd, row)[key]
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, typed)
    QTest.keyClick(field, Qt.Key.Key_Return)
    assert field.text() == typed
    assert why in odd.statusBar().currentMessage()
    assert not odd.document.modified


def test_arrows_step_as_far_as_the_file_goes(odd: MainWindow) -> None:
    jump = odd.story_details.comfort["largest jump"]
    for _ in range(6):
        jump.stepBy(-1)
    comfort = odd.document.story.comfort
    assert comfort is not None
    assert comfort.jump_steps == 1
    for _ in range(9):
        jump.stepBy(1)
    comfort = odd.document.story.comfort
    assert comfort is not None
    assert comfort.largest_jump == 4
    assert read_text(odd.document.text()).story == odd.document.story


def test_a_field_left_by_a_command_still_writes_to_its_own_line(odd: MainWindow) -> None:
    field = show(odd, 2)["tempo"]
    field.setFocus()
    field.selectAll()
    QTest.keyClicks(field, "90")
    choose(odd, 3)
    lines = [item for item in items(odd) if isinstance(item, Line)]
    assert [line.manner.tempo for line in lines][1:] == [
        Tempo(Fraction(90)),
        Tempo(Fraction(70)),
    ]


def test_an_open_field_whose_line_is_gone_harms_nothing(odd: MainWindow) -> None:
    form = show(odd, 2)
    QTest.keyClicks(form["look for"], "a")
    odd.editing.delete([odd.rows.rows[2]])
    form._changed(form._parts[0], lambda _: None)
    QTest.keyClicks(form["look for"], "b")
    odd.document.undo_stack.setIndex(0)
    assert odd.document.text() == ODD


def test_a_prop_in_use_is_taken_away_with_its_uses_or_another_takes_its_place(
    odd: MainWindow, answers: Answers
) -> None:
    odd.props.choose("beads")
    answers.choices = ["Leave it"]
    odd.props.remove.click()
    assert not odd.document.modified
    assert "Line 1: Row the lantern" in answers.more[0]
    answers.choices = ["Put bell in its place"]
    odd.props.remove.click()
    assert "beads" not in odd.document.text()
    assert odd.document.undo_stack.count() == 1
    assert read_text(odd.document.text()).findings == ()
    odd.document.undo_stack.undo()
    odd.props.choose("beads")
    answers.choices = ["Take it out there"]
    odd.props.remove.click()
    assert len(items(odd)) == 4
    assert read_text(odd.document.text()).findings == ()
    odd.document.undo_stack.undo()
    assert odd.document.text() == ODD


def test_a_role_is_renamed_everywhere_in_one_step(odd: MainWindow, answers: Answers) -> None:
    odd.roles.choose("leader")
    answers.choices = ["teller"]
    odd.roles.rename.click()
    assert odd.document.story.role_names == ("teller", "beat-keeper")
    third = items(odd)[2]
    assert isinstance(third, Line)
    assert third.manner.by == ("teller",)
    assert odd.document.undo_stack.count() == 1


def test_a_new_metre_gives_untouched_lines_a_new_rhythm_in_one_step(
    window_on: Callable[[str], MainWindow],
) -> None:
    """The first line is as the fit has it in 6/8, the second is made by hand."""
    fit = rhythms("Gal-lop a-way on a gal-lop-ing horse", Metre(6, 8))[0]
    window = window_on(
        "tapscore: 1\ntitle: T\nmetre: 6/8\nstory:\n  - section: A\n    lines:\n"
        "      - words: Gal-lop a-way on a gal-lop-ing horse\n"
        f'        lane: "{lane_text(fit)}"\n'
        "      - words: row the boat\n"
        '        lane: "| X . . x x . | . . . . . . |"\n'
    )
    metre = window.story_details.story["metre"]
    metre.setCurrentIndex(metre.findText("4/4"))
    metre.activated.emit(metre.currentIndex())
    first, second = window.document.story.sections[0].items
    assert isinstance(first, Line)
    assert isinstance(second, Line)
    assert first.lane is not None
    assert second.lane is not None
    assert len(first.lane.bars[0]) == 8
    assert len(second.lane.bars[0]) == 6
    assert window.document.undo_stack.count() == 1


def test_longer_words_are_read_from_their_beginning(qtbot: QtBot) -> None:
    entry = WordsEntry()
    qtbot.addWidget(entry)
    entry.show_value("a look, a still body, a reach towards the peg")
    assert entry.cursorPosition() == 0
    entry.show()
    entry.activateWindow()
    entry.setFocus()
    qtbot.waitUntil(entry.hasFocus)
    entry.setCursorPosition(7)
    entry.show_value("a look, a still body, a reach")
    assert entry.cursorPosition() > 0, "not under the hand that types"
    entry.clearFocus()
    assert entry.cursorPosition() == 0
