"""Today's staff: typed in, shared out, saved, and the cards that change."""

import os
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from tapscore.gui.files import FileWork
from tapscore.gui.looks import set_scale
from tapscore.gui.main_window import MainWindow
from tapscore.gui.printing.pdf_pages import PdfPages
from tapscore.gui.printing.print_dialog import ReadyPagesDialog
from tapscore.gui.today.day_dialog import CLEAR, MAKE, NONE_THERE, DayDialog
from tapscore.model.day import Telling
from tapscore.storyfile.read import read_text
from tapscore.workflow.product import Choices
from tapscore.workflow.today.day_beside import day_path, load_day
from tapscore.workflow.today.typed import typed_adults
from tests.gui.answers import Answers


@pytest.fixture
def dialog(qtbot: QtBot, demo: MainWindow, answers: Answers) -> DayDialog:
    return shown(qtbot, demo, answers)


def shown(qtbot: QtBot, window: MainWindow, answers: Answers) -> DayDialog:
    made = DayDialog(window, answers, Choices())
    made.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, on=False)
    qtbot.addWidget(made)
    made.open()
    return made


def suggest(qtbot: QtBot, dialog: DayDialog) -> None:
    with qtbot.waitSignal(dialog.working.answered, timeout=20_000):
        dialog.suggest.click()


def table(dialog: DayDialog) -> list[tuple[str, ...]]:
    found: list[tuple[str, ...]] = []
    widget = dialog.view.table
    for row in range(widget.rowCount()):
        items = [widget.item(row, column) for column in range(widget.columnCount())]
        found.append(tuple(item.text() if item else "" for item in items))
    return found


def day_file(window: MainWindow) -> Path:
    assert window.document.path is not None
    return day_path(window.document.path)


def type_in(widget: QWidget, text: str) -> None:
    for letter in text:
        if letter == "\n":
            QTest.keyClick(widget, Qt.Key.Key_Return)
        else:
            QTest.keyClicks(widget, letter)


def test_six_adults_by_keyboard_alone(qtbot: QtBot, demo: MainWindow, dialog: DayDialog) -> None:
    """Some thirty keys for a whole day: at two a second a quarter of a minute."""
    type_in(dialog.names, "AB\nCD\nEF\nGH\nIJ\nKL")
    QTest.keyClick(dialog.names, Qt.Key.Key_Tab)
    leader = dialog.roles["leader"]
    assert QApplication.focusWidget() is leader or not dialog.isActiveWindow()
    QTest.keyClick(leader, Qt.Key.Key_C)
    assert leader.currentText() == "CD"
    with qtbot.waitSignal(dialog.working.answered, timeout=20_000):
        QTest.keyClick(dialog.suggest, Qt.Key.Key_Space)
    rows = table(dialog)
    assert rows[0][0] == "CD: leader"
    assert {row[0] for row in rows[-2:]} == {"IJ", "KL"}
    QTest.keyClick(dialog.save, Qt.Key.Key_Space)
    beside = load_day(day_file(demo), demo.document.story)
    assert beside.day is not None
    assert beside.day.here == ("AB", "CD", "EF", "GH", "IJ", "KL")
    assert beside.day.takes == (("leader", "CD"),)


def test_the_day_is_remembered(qtbot: QtBot, demo: MainWindow, answers: Answers) -> None:
    day_file(demo).write_text("here: [AB, CD]\nroles:\n  leader: CD\n  beat-keeper: CD\n")
    dialog = shown(qtbot, demo, answers)
    assert dialog.names.toPlainText() == "AB\nCD"
    assert [dialog.roles[role].currentText() for role in ("leader", "beat-keeper")] == ["CD", "CD"]
    suggest(qtbot, dialog)
    assert ("CD: beat-keeper", "as well as leader", "with leader") in table(dialog)
    assert dialog.roles["prop handler"].itemText(0).startswith("suggest")


def test_what_was_fixed_stays_and_a_change_asks_for_a_new_sharing(
    qtbot: QtBot, dialog: DayDialog
) -> None:
    dialog.names.setPlainText("AB, CD, EF")
    dialog.roles["prop handler"].setCurrentText("AB")
    suggest(qtbot, dialog)
    assert dialog.outcome is not None
    assert dict(dialog.outcome.suggested).keys() <= {"leader", "beat-keeper", "second tapper"}
    assert any(row[0] == "AB: prop handler" for row in table(dialog))
    dialog.roles["prop handler"].setCurrentText("EF")
    assert dialog.outcome is None
    assert dialog.view.table.isHidden()
    assert not dialog.make.isEnabled()


def test_new_cards_go_into_a_folder_without_names(
    qtbot: QtBot, dialog: DayDialog, answers: Answers, tmp_path: Path
) -> None:
    dialog.names.setPlainText("QZ\nXW")
    dialog.roles["leader"].setCurrentText("QZ")
    suggest(qtbot, dialog)
    answers.files = [tmp_path / "today"]
    dialog.make.click()
    made = sorted(p for p in (tmp_path / "today").iterdir() if p.suffix == ".pdf")
    assert made
    assert all(p.read_bytes().startswith(b"%PDF") for p in made)
    names = "".join(p.name for p in (tmp_path / "today").iterdir()).casefold()
    assert "qz" not in names
    assert "xw" not in names
    pages = PdfPages(dialog)
    for path in made:
        pages.add(path.name, path.read_bytes())
    words = " ".join(pages.words(page) for page in range(pages.count))
    assert "Leader" in words
    assert "QZ" not in words
    assert "Made the-lantern-boat-today-leader.pdf" in dialog.said.text()
    made[0].write_bytes(b"mine")
    answers.files = [tmp_path / "today"]
    dialog.make.click()
    assert "Nothing was made" in dialog.said.text()
    assert made[0].read_bytes() == b"mine"


def test_sheets_of_an_earlier_day_are_taken_away(
    qtbot: QtBot, dialog: DayDialog, answers: Answers, tmp_path: Path
) -> None:
    folder = tmp_path / "today"
    for names, role in (("AB\nCD", "beat-keeper"), ("AB\nCD\nEF", "leader")):
        dialog.names.setPlainText(names)
        for each, who in zip(("leader", "second tapper", "prop handler"), "ACE", strict=True):
            if role == "leader":
                dialog.roles[each].setCurrentText(f"{who}{chr(ord(who) + 1)}")
        suggest(qtbot, dialog)
        answers.files = [folder]
        dialog.make.click()
        assert (folder / f"the-lantern-boat-today-{role}.pdf").exists()
    assert not (folder / "the-lantern-boat-today-beat-keeper.pdf").exists()
    assert "of an earlier day: the-lantern-boat-today-beat-keeper.pdf." in dialog.said.text()


def test_new_cards_can_be_printed(qtbot: QtBot, dialog: DayDialog) -> None:
    dialog.names.setPlainText("AB\nCD")
    dialog.roles["leader"].setCurrentText("AB")
    suggest(qtbot, dialog)
    assert dialog.outcome is not None
    dialog.print.click()
    pages = dialog.findChild(ReadyPagesDialog)
    assert pages is not None
    qtbot.waitUntil(pages.panel.print.isEnabled, timeout=10_000)
    assert pages.panel.what.text() == "New sheets of leader"
    pages.reject()


@pytest.mark.parametrize(
    ("names", "said"),
    [
        ("", "Write who is here first"),
        ("AB\nCD\nab", "“ab” is there twice. If they are two people, write them differently"),
        ("AB\nA", "“A” is the place of a pupil on the board. A day file holds adults alone"),
        ("x" * 60, "Initials or the name of a role are enough."),
    ],
)
def test_what_can_not_be_used_is_said(
    demo: MainWindow, dialog: DayDialog, names: str, said: str
) -> None:
    dialog.names.setPlainText(names)
    dialog.suggest.click()
    assert said in dialog.view.said.text()
    dialog.save.click()
    assert said in dialog.said.text()
    assert not day_file(demo).exists()


def test_an_unreadable_day_stays_untouched(
    qtbot: QtBot, demo: MainWindow, answers: Answers
) -> None:
    day_file(demo).write_text("here: [AB\n")
    dialog = shown(qtbot, demo, answers)
    assert "today.yaml, line" in dialog.said.text()
    dialog.names.setPlainText("AB")
    dialog.save.click()
    assert "Not saved, and the file is as it was" in dialog.said.text()
    assert day_file(demo).read_text() == "here: [AB\n"


def test_a_role_that_is_gone_is_not_dropped_without_asking(
    qtbot: QtBot, demo: MainWindow, answers: Answers
) -> None:
    written = "here: [AB]\nroles: {drummer: AB}\n"
    day_file(demo).write_text(written)
    dialog = shown(qtbot, demo, answers)
    answers.choices = ["Don't save"]
    dialog.save.click()
    assert day_file(demo).read_text() == written
    answers.choices = ["Save it without that"]
    dialog.save.click()
    assert "drummer" not in day_file(demo).read_text()


def test_a_day_that_another_program_wrote_is_asked_about(
    demo: MainWindow, dialog: DayDialog, answers: Answers
) -> None:
    dialog.names.setPlainText("AB")
    day_file(demo).write_text("here: [XY]\n")
    answers.choices = ["Read it again"]
    dialog.save.click()
    assert dialog.names.toPlainText() == "XY"
    assert day_file(demo).read_text() == "here: [XY]\n"


def test_a_full_disc_is_said(
    demo: MainWindow, dialog: DayDialog, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(path: Path, data: bytes) -> None:
        raise OSError(28, os.strerror(28))

    monkeypatch.setattr("tapscore.workflow.today.day_beside.write_whole_bytes", full)
    dialog.names.setPlainText("AB")
    dialog.save.click()
    assert "was not saved: the disc is full" in dialog.said.text()
    assert not day_file(demo).exists()


def test_nobody_for_a_line_is_said_with_its_words(
    qtbot: QtBot, files: FileWork, answers: Answers, tmp_path: Path
) -> None:
    path = tmp_path / "far.yaml"
    path.write_text(
        "tapscore: 2\ntitle: Far\nmetre: 2/4\ntempo: 60\n"
        "board:\n  size_cm: [400, 400]\n  spots: {corner: [10, 390]}\n"
        "  seats: {north: [10, 400], south: [390, 0]}\n"
        "roles:\n  leader: {seat: south}\n  tapper: {seat: north}\n"
        "story:\n  - section: One\n    lines:\n      - words: Tap the far cor-ner\n"
        '        lane: "| X x X x |"\n        spot: corner\n        by: [tapper]\n'
    )
    window = files.show_story(read_text(path.read_text()), path)
    dialog = shown(qtbot, window, answers)
    dialog.names.setPlainText("leader")
    dialog.roles["leader"].setCurrentText("leader")
    dialog.tell.setCurrentIndex(1)
    suggest(qtbot, dialog)
    said = dialog.view.said.text()
    assert "Nobody can do this today (1):" in said
    assert "Tap the far corner" in said
    assert "can't reach it" in said


def test_an_unsaved_story_is_saved_first(
    window_on: Callable[[str], MainWindow], answers: Answers, demo: MainWindow, tmp_path: Path
) -> None:
    window = window_on(demo.document.text())
    answers.choices = ["Not now"]
    window.actions_by_id["day"].trigger()
    assert window.findChild(DayDialog) is None
    answers.choices, answers.files = ["Save"], [tmp_path / "mine.yaml"]
    window.actions_by_id["day"].trigger()
    found = window.findChild(DayDialog)
    assert found is not None
    assert (tmp_path / "mine.yaml").exists()
    found.reject()


def test_every_field_has_a_name_and_nothing_is_wider_than_the_window(
    qtbot: QtBot, demo: MainWindow, answers: Answers
) -> None:
    set_scale(demo, 2.0)
    dialog = shown(qtbot, demo, answers)
    fields = [dialog.names, dialog.view.table, *dialog.roles.values()]
    assert all(field.accessibleName() for field in fields)
    assert all(button.text() for button in dialog.findChildren(QPushButton))
    size = dialog.minimumSizeHint()
    assert size.width() <= 1280
    assert size.height() <= 800


def test_adults_as_they_are_typed() -> None:
    assert typed_adults(" AB\n\nprop  handler, CD;EF\n") == ("AB", "prop handler", "CD", "EF")


def test_who_is_here_and_how_much_is_told_can_be_chosen(
    qtbot: QtBot, dialog: DayDialog, demo: MainWindow
) -> None:
    dialog.names.setPlainText("AB\nCD")
    suggest(qtbot, dialog)
    said = dialog.view.said.text()
    assert "Told short" in said
    assert "is near" in said
    assert any(
        "step-in" in file.name for file in (dialog.outcome and dialog.outcome.new_cards) or ()
    )
    dialog.pupils.setText("A, C")
    dialog.tell.setCurrentIndex(4)
    suggest(qtbot, dialog)
    assert "As you chose. The refrain only" in dialog.view.said.text()
    dialog.save.click()
    saved = load_day(day_file(demo), demo.document.story).day
    assert saved is not None
    assert (saved.places, saved.tell) == (("A", "C"), Telling.REFRAIN)
    dialog.pupils.setText("Zoe")
    dialog.suggest.click()
    assert "no place “Zoe”" in dialog.view.said.text()


def test_with_one_adult_it_may_be_not_today(qtbot: QtBot, dialog: DayDialog) -> None:
    dialog.names.setPlainText("AB")
    suggest(qtbot, dialog)
    assert "Not today." in dialog.view.said.text()
    assert not dialog.print.isEnabled()


def test_a_day_without_a_story_clears_yesterday_s_folder(
    qtbot: QtBot, dialog: DayDialog, answers: Answers, tmp_path: Path
) -> None:
    folder = tmp_path / "sheets"
    dialog.names.setPlainText("AB\nCD")
    suggest(qtbot, dialog)
    answers.files.append(folder)
    dialog.make.click()
    assert len(list(folder.glob("*.pdf"))) > 1
    changed = next(folder.glob("*step-in.pdf"))
    changed.write_bytes(b"a note on it")
    dialog.names.setPlainText("AB")
    suggest(qtbot, dialog)
    assert dialog.make.text() == CLEAR
    answers.files.append(folder)
    dialog.make.click()
    assert list(folder.glob("*.pdf")) == [changed], "what somebody changed stays"
    assert "Taken away" in dialog.said.text()
    assert f"Still there from an earlier day: {changed.name}" in dialog.said.text()
    answers.files.append(tmp_path / "empty")
    dialog.make.click()
    assert dialog.said.text() == NONE_THERE
    dialog.names.setPlainText("AB\nCD")
    suggest(qtbot, dialog)
    assert dialog.make.text() == MAKE
