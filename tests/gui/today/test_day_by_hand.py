"""The day's form by itself: what its fields say, what is enabled when, what is asked."""

from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest
from PySide6.QtWidgets import QPushButton, QWidget
from pytestqt.qtbot import QtBot

from tapscore.gui.document import Document
from tapscore.gui.settings import Settings
from tapscore.gui.today.day_dialog import ANYBODY, CLEAR, MAKE, DayDialog
from tapscore.model.day import Day, Telling
from tapscore.storyfile.read import read_text
from tapscore.workflow.product import Choices
from tapscore.workflow.today.card_files import CardFile
from tapscore.workflow.today.day_beside import day_path, load_day
from tapscore.workflow.today.outcome import DayWish, Outcome
from tapscore.workflow.today.typed import NOBODY
from tests.gui.answers import Answers

TEXT = """\
tapscore: 2
title: Small
roles: {leader: {}, helper: {}}
board:
  size_cm: [120, 90]
  places:
    A: {at: [30, 30]}
    B: {at: [80, 30]}
story:
  - section: One
    lines:
      - words: first the moon
        lane: "| X . x . | X . . . |"
"""
CHANGED = "Something changed: press “Suggest who does what” to see what comes of it."
NOT_SAVED = "What you wrote of today is not saved."


class Window(QWidget):
    """What the form wants to know of the story's window."""

    def __init__(self, folder: Path, mend_first: str = "") -> None:
        super().__init__()
        path = folder / "small.yaml"
        path.write_text(TEXT, encoding="utf-8")
        self.settings = Settings(folder / "settings.json")
        self.document = Document(read_text(TEXT), path)
        self.checking = SimpleNamespace(mend_first=mend_first)

    @property
    def day_file(self) -> Path:
        assert self.document.path is not None
        return day_path(self.document.path)


class Form:
    """The form with what it asked to be worked out, which the test answers."""

    def __init__(self, qtbot: QtBot, window: Any, answers: Answers) -> None:
        self.window, self.answers = window, answers
        qtbot.addWidget(window)
        self.dialog = DayDialog(window, answers, Choices())
        self.wishes: list[DayWish] = []
        self.dialog.working.ask = self.wishes.append  # type: ignore[method-assign, assignment]

    def answer(self, **said: Any) -> None:
        self.dialog._answered(Outcome(self.wishes[-1], **said))

    @property
    def enabled(self) -> list[bool]:
        dialog = self.dialog
        return [each.isEnabled() for each in (dialog.suggest, dialog.print, dialog.make)]


@pytest.fixture
def window(qapp: object, tmp_path: Path) -> Window:
    return Window(tmp_path)


@pytest.fixture
def form(qtbot: QtBot, window: Window, answers: Answers) -> Form:
    return Form(qtbot, window, answers)


def test_sheets_of_a_day_have_no_backs_and_go_nowhere_home(form: Form) -> None:
    dialog = form.dialog
    assert not dialog.isAncestorOf(dialog.fields.backs)
    assert not dialog.isAncestorOf(dialog.languages.home)
    assert dialog.isAncestorOf(dialog.languages.parts)


def test_an_empty_form(form: Form) -> None:
    dialog = form.dialog
    assert dialog.day == Day()
    assert form.enabled == [True, False, False]
    assert dialog.make.text() == MAKE
    assert list(dialog.roles) == ["leader", "helper"]
    for role, box in dialog.roles.items():
        assert (box.count(), box.currentText()) == (1, ANYBODY)
        assert box.accessibleName() == f"Who takes {role}"
    assert dialog.said.text() == ""
    assert dialog.suggest.isDefault()
    dialog.show()
    buttons = {each.text(): each.autoDefault() for each in dialog.findChildren(QPushButton)}
    foot = ("&Print new sheets ...", MAKE, "Sa&ve the day", "&Close")
    assert {text: buttons[text] for text in foot} == dict.fromkeys(foot, False)
    assert dialog.suggest.text() in buttons
    dialog.reject()
    assert form.answers.asked == [], "nothing was typed"


@pytest.mark.parametrize(
    ("pupils", "tell", "takes", "day"),
    [
        ("", 0, {}, Day(("AB", "CD"))),
        ("A, B", 0, {}, Day(("AB", "CD"), places=("A", "B"))),
        ("3", 1, {}, Day(("AB", "CD"), pupils=3, tell=Telling.WHOLE)),
        ("", 2, {"leader": 1}, Day(("AB", "CD"), (("leader", "AB"),), tell=Telling.LIGHTER)),
        ("", 3, {"helper": 2}, Day(("AB", "CD"), (("helper", "CD"),), tell=Telling.SHORT)),
        ("", 4, {}, Day(("AB", "CD"), tell=Telling.REFRAIN)),
    ],
)
def test_what_the_fields_say_of_the_day_is_kept_and_read_back(
    pupils: str, tell: int, takes: dict[str, int], day: Day, form: Form
) -> None:
    dialog = form.dialog
    dialog.names.setPlainText("AB\n CD ")
    dialog.pupils.setText(pupils)
    dialog.tell.setCurrentIndex(tell)
    for role, index in takes.items():
        dialog.roles[role].setCurrentIndex(index)
    assert dialog.day == day
    dialog.save.click()
    assert dialog.said.text() == f"Saved {form.window.day_file.name} beside the story."
    assert load_day(form.window.day_file, form.window.document.story).day == day
    dialog.reject()
    assert form.answers.asked == [], "it is saved"
    again = DayDialog(form.window, form.answers, Choices())
    assert again.day == day
    again.reject()


def test_a_day_that_is_not_saved_is_asked_about(form: Form) -> None:
    form.dialog.names.setPlainText("AB")
    form.answers.choices[:] = ["Keep it"]
    form.dialog.reject()
    assert form.answers.asked == [NOT_SAVED]
    form.answers.choices.clear()
    form.dialog.reject()
    assert form.answers.asked == [NOT_SAVED, NOT_SAVED]


def test_who_was_chosen_stays_while_names_are_typed(form: Form) -> None:
    dialog = form.dialog
    dialog.names.setPlainText("AB\nCD\nAB")
    leader = dialog.roles["leader"]
    assert [leader.itemText(n) for n in range(leader.count())] == [ANYBODY, "AB", "CD"]
    leader.setCurrentIndex(2)
    dialog.names.setPlainText("EF\nCD")
    assert leader.currentText() == "CD"
    dialog.names.setPlainText("EF")
    assert leader.currentText() == ANYBODY
    assert dialog.view.said.text() == CHANGED


def test_nobody_here_is_said_and_nothing_asked(form: Form) -> None:
    form.dialog.suggest.click()
    assert form.dialog.view.said.text() == NOBODY
    assert form.wishes == []
    form.dialog.save.click()
    assert form.dialog.said.text() == f"Not saved. {NOBODY}"
    assert not form.window.day_file.exists()


CARD = CardFile("leader", "small-today-leader.pdf", b"%PDF")


def test_what_is_enabled_when_it_is_answered(form: Form) -> None:
    dialog = form.dialog
    dialog.names.setPlainText("AB\nCD")
    dialog.said.setText("something of before")
    dialog.suggest.click()
    assert (dialog.view.said.text(), dialog.said.text()) == ("Working it out.", "")
    (wish,) = form.wishes
    assert (wish.story, wish.day) == (form.window.document.story, dialog.day)
    form.answer(suggested=(("leader", "CD"),), new_cards=(CARD,))
    assert form.enabled == [True, True, True]
    assert dialog.said.text() == ""
    assert dialog.roles["leader"].itemText(0) == f"{ANYBODY} (CD)"
    assert dialog.roles["helper"].itemText(0) == ANYBODY
    dialog.pupils.setText("2")
    assert form.enabled == [True, False, False]
    assert dialog.outcome is None
    assert dialog.roles["leader"].itemText(0) == ANYBODY
    assert dialog.view.said.text() == CHANGED
    form.answer()
    assert dialog.said.text() == "No sheet changes."
    assert form.enabled == [True, False, False]
    dialog.said.setText("")
    form.answer(problem="No cards.")
    assert dialog.said.text() == ""
    form.answer(not_today=True)
    assert form.enabled == [True, False, True]
    assert dialog.make.text() == CLEAR


def test_what_was_fixed_stays_when_it_is_answered(form: Form) -> None:
    dialog = form.dialog
    dialog.names.setPlainText("AB\nCD")
    dialog.roles["leader"].setCurrentIndex(2)
    dialog.suggest.click()
    form.answer(suggested=(("leader", "AB"), ("helper", "AB")))
    assert dialog.roles["leader"].currentText() == "CD"
    assert dialog.roles["helper"].currentIndex() == 0


def test_what_must_be_mended_comes_first(qtbot: QtBot, tmp_path: Path, answers: Answers) -> None:
    form = Form(qtbot, Window(tmp_path, "Mend line 3 first."), answers)
    assert form.dialog.view.said.text() == "Mend line 3 first."
    assert form.enabled == [False, False, False]
    form.dialog.names.setPlainText("AB")
    assert form.dialog.view.said.text() == "Mend line 3 first."
    form.dialog.save.click()
    assert form.window.day_file.exists(), "the day can be saved all the same"


def test_sheets_are_made_in_a_folder_or_none(form: Form, tmp_path: Path) -> None:
    dialog = form.dialog
    dialog.names.setPlainText("AB")
    form.answers.files[:] = [None, tmp_path / "today"]
    dialog._make()
    assert len(form.answers.files) == 2, "nothing to make, nothing asked"
    dialog.suggest.click()
    form.answer(new_cards=(CARD,))
    dialog.make.click()
    assert dialog.said.text() == ""
    assert not (tmp_path / "today").exists()
    dialog.make.click()
    assert (tmp_path / "today" / CARD.name).read_bytes() == b"%PDF"
    assert dialog.said.text() == f"Made {CARD.name} in {tmp_path / 'today'}."


@pytest.mark.parametrize(
    ("answer", "file", "shown"),
    [
        ("Read it again", "here: [XY]\n", "XY"),
        ("Put mine in its place", None, "AB"),
    ],
)
def test_a_day_written_by_somebody_else(
    answer: str, file: str | None, shown: str, form: Form
) -> None:
    dialog = form.dialog
    dialog.names.setPlainText("AB")
    form.window.day_file.write_text("here: [XY]\n", encoding="utf-8")
    form.answers.choices[:] = [answer]
    dialog.save.click()
    assert dialog.names.toPlainText() == shown
    found = form.window.day_file.read_text(encoding="utf-8")
    if file is not None:
        assert found == file
    else:
        assert load_day(form.window.day_file, form.window.document.story).day == Day(("AB",))
    form.answers.asked.clear()
    dialog.reject()
    assert form.answers.asked == [], "what is shown is what is in the file"


def test_languages_go_into_what_is_asked(form: Form) -> None:
    form.dialog.names.setPlainText("AB")
    form.dialog.suggest.click()
    assert form.wishes[-1].choices == form.dialog.languages.into(form.dialog.fields.choices)
