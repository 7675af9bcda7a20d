"""Questions as they stand in the platform's own dialogs: closing one never loses anything."""

from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QStandardPaths, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QFileDialog,
    QInputDialog,
    QLabel,
    QPlainTextEdit,
    QPushButton,
    QWidget,
)
from pytestqt.qtbot import QtBot

from tapscore.gui.asking import MOST_LINES, Asking, close_button, kinds, usual_folder
from tapscore.gui.question import Question

Press = Callable[[Question], object]


@pytest.fixture
def asking(qtbot: QtBot) -> Asking:
    return Asking()


@pytest.fixture
def pressed(monkeypatch: pytest.MonkeyPatch) -> Callable[[str | None], list[Question]]:
    """Presses the button of that name, or closes the question."""

    def presses(name: str | None) -> list[Question]:
        boxes: list[Question] = []

        def executes(box: Question) -> int:
            boxes.append(box)
            found = [each for each in box.buttons if each.text() == name]
            found[0].click() if found else box.reject()
            return 0

        monkeypatch.setattr(Question, "exec", executes)
        return boxes

    return presses


@pytest.mark.parametrize(
    ("name", "answer"), [("Save", "Save"), ("Leave", "Leave"), (None, "Leave")]
)
def test_a_closed_question_is_answered_by_its_last(
    name: str | None,
    answer: str,
    asking: Asking,
    pressed: Callable[[str | None], list[Question]],
) -> None:
    boxes = pressed(name)
    assert asking.choose(None, "<b>What?</b>", "a\nb", ("Save", "Throw", "Leave")) == answer
    (box,) = boxes
    assert [each.text() for each in box.buttons] == ["Save", "Throw", "Leave"]
    assert (box.text.text(), box.more.text()) == ("<b>What?</b>", "a\nb")
    formats = {label.textFormat() for label in box.findChildren(QLabel)}
    assert formats == {Qt.TextFormat.PlainText}, "a title's own signs are no marks"


@pytest.mark.parametrize(
    ("name", "lost"), [("Throw it away", True), ("Go on with it", False), (None, False)]
)
def test_only_a_press_throws_away(
    name: str | None,
    lost: bool,
    asking: Asking,
    pressed: Callable[[str | None], list[Question]],
) -> None:
    boxes = pressed(name)
    assert asking.may_throw_away(None, "It is not kept.") is lost
    assert boxes[0].focusWidget() is boxes[0].buttons[1]


@pytest.mark.parametrize(("count", "shown"), [(MOST_LINES, MOST_LINES), (MOST_LINES + 3, 15)])
def test_long_lists_are_counted(count: int, shown: int, qtbot: QtBot) -> None:
    box = Asking()._question(None, "t", "\n".join(f"line {n}" for n in range(count)), ("Yes", "No"))
    qtbot.addWidget(box)
    lines = box.more.text().splitlines()
    assert len(lines) == shown
    assert lines[0] == "line 0"
    if count > MOST_LINES:
        assert lines[-1] == "... and 3 more"
        assert lines[-2] == "line 13"


def test_every_answer_is_whole_however_many_and_large(qtbot: QtBot) -> None:
    answers: tuple[str, ...] = (
        "Open it",
        "See what differs",
        "Read it",
        "Read the file",
        "Save a copy ...",
    )
    answers = (*answers, "Put it away", "Ask again next time")
    more = "\n".join(["Nothing is overwritten until you save, and nothing is deleted"] * 14)
    for letters_px in (15, 30):
        box = Question(None, "The program ended before it was saved.", more, answers)
        qtbot.addWidget(box)
        box.setStyleSheet(f"font-size: {letters_px}px")
        box = Question(box, "The program ended before it was saved.", more, answers)
        box.show()
        screen = box.screen().availableSize()
        assert box.width() <= screen.width()
        assert box.height() <= screen.height()
        for button in box.buttons:
            assert button.width() >= button.sizeHint().width()
            assert button.height() >= button.sizeHint().height()
            assert box.rect().contains(button.geometry())
        assert QApplication.focusWidget() in (box.buttons[0], None)


def test_a_question_has_room_for_its_words_and_is_answered_by_keys(qtbot: QtBot) -> None:
    box = Question(None, "Save it?", "It was changed.\n" + "and so on " * 30, ("Yes", "No"))
    qtbot.addWidget(box)
    box.show()
    for label in (box.text, box.more):
        assert label.height() >= label.heightForWidth(label.width())
    assert not box.area.verticalScrollBar().isVisible()
    assert box.answer == "No"
    QTest.keyClick(box.buttons[0], Qt.Key.Key_Return)
    assert (box.answer, box.isVisible()) == ("Yes", False)
    again = Question(None, "Save it?", "", ("Yes", "No"))
    qtbot.addWidget(again)
    again.show()
    QTest.keyClick(again, Qt.Key.Key_Escape)
    assert (again.answer, again.isVisible()) == ("No", False)


def test_enter_alone_loses_nothing(qtbot: QtBot) -> None:
    for loses, answer in ((True, "Keep it"), (False, "Delete it")):
        box = Question(None, "Delete it?", "", ("Delete it", "Keep it"), loses=loses)
        qtbot.addWidget(box)
        box.show()
        box.activateWindow()
        at = box.focusWidget()
        assert at is not None
        QTest.keyClick(at, Qt.Key.Key_Return)
        assert box.answer == answer


def test_a_short_question_is_no_higher_than_it_needs(qtbot: QtBot) -> None:
    box = Question(None, "What you wrote of today is not saved.", "", ("Throw it away", "Go on"))
    qtbot.addWidget(box)
    box.show()
    lines = box.fontMetrics().lineSpacing()
    assert box.height() < 3 * lines + box.buttons[0].height() + 48


def test_what_is_told_has_one_button(
    asking: Asking, pressed: Callable[[str | None], list[Question]]
) -> None:
    boxes = pressed("OK")
    asking.tell(None, "Told.", "more")
    assert [each.text() for each in boxes[0].buttons] == ["OK"]


@pytest.mark.parametrize(
    ("typed", "kept", "words"),
    [(" two  words ", 1, "two words"), ("  ", 1, None), ("words", 0, None)],
)
def test_a_few_words(
    typed: str, kept: int, words: str | None, asking: Asking, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(QInputDialog, "exec", lambda _: kept)
    monkeypatch.setattr(QInputDialog, "textValue", lambda _: typed)
    assert asking.words(None, "Rename", "Another name:") == words


def test_files_and_folders_or_none(asking: Asking, monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[tuple[object, ...]] = []
    for name in ("/there/a.txt", ""):

        def gives(*said: object, name: str = name) -> tuple[str, str]:
            asked.append(said)
            return name, ""

        monkeypatch.setattr(QFileDialog, "getOpenFileName", gives)
        monkeypatch.setattr(QFileDialog, "getSaveFileName", gives)
        monkeypatch.setattr(QFileDialog, "getExistingDirectory", lambda *_, name=name: name)
        wanted = Path(name) if name else None
        assert asking.open_file(None, "Open", "Texts (*.txt)") == wanted
        assert asking.save_file(None, "Save", Path("near.txt"), "Texts (*.txt)") == wanted
        assert asking.folder(None, "Where") == wanted
    assert asked[0][1:] == ("Open", str(usual_folder()), "Texts (*.txt)")
    assert asked[1][1:] == ("Save", str(usual_folder() / "near.txt"), "Texts (*.txt)")
    assert kinds("Stories", "*.a", "*.b") == "Stories (*.a *.b)"


def test_the_usual_folder_is_documents_then_home_then_here(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    documents, home = tmp_path / "documents", tmp_path / "home"
    places = {
        QStandardPaths.StandardLocation.DocumentsLocation: [str(documents)],
        QStandardPaths.StandardLocation.HomeLocation: ["/", str(home)],
    }
    monkeypatch.setattr(QStandardPaths, "standardLocations", places.__getitem__)
    assert usual_folder() == Path.cwd()
    home.mkdir()
    assert usual_folder() == home, "never the top of all folders"
    documents.mkdir()
    assert usual_folder() == documents


def test_only_a_question_before_any_window_has_the_looks_put_on(
    qtbot: QtBot, pressed: Callable[[str | None], list[Question]]
) -> None:
    dressed: list[str] = []
    asking = Asking(lambda: dressed.append("looks"))
    pressed("OK")
    window = QWidget()
    qtbot.addWidget(window)
    asking.choose(window, "What?", "", ("Save", "Leave"))
    asking.tell(window, "So it is.")
    assert dressed == []
    asking.choose(None, "What?", "", ("Save", "Leave"))
    asking.tell(None, "So it is.")
    assert dressed == ["looks", "looks"]


def test_a_longer_text_is_read_copied_and_closed(
    asking: Asking, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: list[QDialog] = []

    def executes(dialog: QDialog) -> int:
        seen.append(dialog)
        dialog.show()
        (field,) = dialog.findChildren(QPlainTextEdit)
        (close,) = [b for b in dialog.findChildren(QPushButton) if b.isVisible()]
        assert (dialog.windowTitle(), field.accessibleName()) == ("What differs", "What differs")
        assert field.toPlainText() == "one\ntwo"
        assert field.isVisible()
        assert field.isReadOnly()
        assert close.text() == "Close"
        close.click()
        assert not dialog.isVisible()
        return 0

    monkeypatch.setattr(QDialog, "exec", executes)
    asking.show(None, "What differs", "one\ntwo")
    qtbot.addWidget(seen[0])


def test_a_button_that_closes_looks_like_the_others(qtbot: QtBot) -> None:
    box = close_button()
    qtbot.addWidget(box)
    (button,) = box.buttons()
    assert (button.text(), button.icon().isNull()) == ("Close", True)
