"""The first time: a page to begin on, and demo stories as copies with hints to put away."""

from pathlib import Path

import pytest
from PySide6.QtCore import QStandardPaths, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from tapscore.gui.asking import usual_folder
from tapscore.gui.files import FileWork
from tapscore.gui.hints import HINTS
from tapscore.gui.main_window import MainWindow
from tapscore.gui.start_page import GO_ON, MAKE, THROW, StartPage, show_demo
from tapscore.model.story import Line, RefrainUse
from tapscore.resources import demo_stories
from tests.gui.answers import Answers

WORDS = "The Mill\n\nRound goes the mill\nSplash, splash\n\nDown comes the rain\nSplash, splash\n"


@pytest.fixture
def page(files: FileWork) -> StartPage:
    files.new()
    assert files.start_page is not None
    return files.start_page


def _made(files: FileWork) -> MainWindow:
    assert files.start_page is None
    return files.windows[-1]


def test_opens_a_copy_of_a_demo_story_with_hints(files: FileWork, page: StartPage) -> None:
    number = next(n for n, path in enumerate(demo_stories()) if "lantern" in path.name)
    assert "The Lantern Boat" in page.demos[number].text()
    page.demos[number].click()
    window = _made(files)
    assert window.document.path is None
    assert window.document.story.title == "The Lantern Boat"
    assert window.hints.isVisible()
    for _ in HINTS:
        QTest.mouseClick(window.hints.next, Qt.MouseButton.LeftButton)
    assert not window.hints.isVisible()
    assert files.settings.hints_seen
    assert not show_demo(files, demo_stories()[0]).hints.isVisible()


def test_typed_words_become_a_story(
    files: FileWork, page: StartPage, monkeypatch: pytest.MonkeyPatch
) -> None:
    keys_asked_for: list[MainWindow] = []

    def asked(window: MainWindow) -> None:
        keys_asked_for.append(window)

    monkeypatch.setattr(MainWindow, "activateWindow", asked)
    QTest.keyClick(page, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    assert "first" in page.said.text()
    page.words.setPlainText(WORDS)
    QTest.keyClick(page, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    window = _made(files)
    assert keys_asked_for == [window]
    story = window.document.story
    assert story.title == "The Mill"
    assert len(story.sections) == 2
    assert [r.name for r in story.refrains] == ["splash splash"]
    assert isinstance(story.sections[1].items[1], RefrainUse)
    assert window.document.modified


def test_a_title_of_her_own_loses_no_line(files: FileWork, page: StartPage) -> None:
    page.words.setPlainText(WORDS)
    page.title.setText("At the river")
    page.make.click()
    story = _made(files).document.story
    first = story.sections[0].items[0]
    assert story.title == "At the river"
    assert isinstance(first, Line)
    assert first.words == "The Mill"


def test_words_that_are_none_keep_the_page(
    files: FileWork, answers: Answers, page: StartPage
) -> None:
    page.words.setPlainText("... --- ...")
    page.make.click()
    assert "no words" in answers.told.pop()
    page.words.setPlainText("la " * 200_000)
    page.make.click()
    assert "What was typed is longer" in answers.told.pop()
    assert files.start_page is page
    assert not files.windows
    page.words.clear()
    page.reject()


def test_escape_asks_before_words_are_lost(
    files: FileWork, answers: Answers, page: StartPage
) -> None:
    page.words.setPlainText(WORDS)
    answers.choices[:] = [GO_ON]
    QTest.keyClick(page, Qt.Key.Key_Escape)
    assert files.start_page is page
    answers.choices[:] = [THROW]
    QTest.keyClick(page, Qt.Key.Key_Escape)
    assert files.start_page is None
    files.new()
    assert files.start_page is not None
    files.start_page.words.setPlainText(WORDS)
    answers.choices[:] = [MAKE]
    QTest.keyClick(files.start_page, Qt.Key.Key_Escape)
    assert _made(files).document.story.title == "The Mill"


def test_another_story_asks_before_words_are_lost(
    files: FileWork, answers: Answers, page: StartPage, demo_path: Path
) -> None:
    page.words.setPlainText(WORDS)
    answers.choices[:] = [GO_ON]
    answers.files[:] = [demo_path]
    page.open_story.click()
    assert answers.asked == ["The words you typed are in no story yet."]
    assert files.start_page is page
    assert page.words.toPlainText() == WORDS
    assert len(files.windows) == 1, "the other one is open beside it"
    answers.choices[:] = [MAKE]
    page.demos[0].click()
    titles = [window.document.story.title for window in files.windows]
    assert titles[0] == "The Lantern Boat"
    assert titles[-1] == "The Mill"
    assert files.start_page is None
    files.new()
    assert files.start_page is not None
    files.start_page.words.setPlainText(WORDS)
    answers.choices[:] = [THROW]
    files.start_page.blank.click()
    assert files.start_page is None
    assert len(files.windows) == 4


def test_an_empty_story_begins_with_its_first_line(files: FileWork, page: StartPage) -> None:
    page.title.setText("Snow")
    page.blank.click()
    story = _made(files).document.story
    assert story.title == "Snow"
    assert story.sections[0].items == (Line(""),)


def test_a_copy_of_an_earlier_story(
    files: FileWork, answers: Answers, page: StartPage, demo_path: Path, tmp_path: Path
) -> None:
    broken = tmp_path / "broken.yaml"
    broken.write_text("- [", encoding="utf-8")
    answers.files[:] = [broken, demo_path]
    page.copy.click()
    assert "broken.yaml can't be copied." in answers.told.pop()
    answers.choices[:] = ["The Lantern Boat in spring"]
    page.copy.click()
    window = _made(files)
    assert window.document.story.title == "The Lantern Boat in spring"
    assert window.document.path is None
    assert window.document.modified


def test_recent_stories_by_title_and_date(files: FileWork, demo: MainWindow) -> None:
    path = demo.document.path
    assert path is not None
    demo.close()
    files.new()
    page = files.start_page
    assert page is not None
    assert page.recent.item(0).text().startswith("The Lantern Boat\nsaved ")
    QTest.keyClick(page.recent, Qt.Key.Key_Return)
    assert _made(files).document.path == path


def test_every_control_has_a_name_and_fits_a_small_screen(qtbot: QtBot, files: FileWork) -> None:
    files.settings.scale = 2.0
    files.new()
    page = files.start_page
    assert page is not None
    page.resize(1000, 560)
    qtbot.wait(20)
    assert page.width() <= 1024
    assert page.height() <= 600
    for widget in page.findChildren(QWidget):
        if widget.isVisible() and widget.focusPolicy() & Qt.FocusPolicy.TabFocus:
            text = getattr(widget, "text", str)()
            assert widget.accessibleName() or text, widget
    reached = set()
    for _ in range(20):
        page.focusNextChild()
        reached.add(QApplication.focusWidget() or page.focusWidget())
    assert {page.words, page.title, page.make, page.from_file, page.copy, page.blank} <= reached
    page.reject()
    files.settings.scale = 1.0


def test_each_guess_is_changed_by_one_press(files: FileWork, page: StartPage) -> None:
    page.words.setPlainText(WORDS)
    page.make.click()
    window = _made(files)
    document, strip = window.document, window.guesses
    assert strip.isVisible()
    before = document.text()
    assert "“splash splash”, 2 sections" in strip._text.text()
    texts = [button.text() for button in strip.buttons]
    assert texts[-2:] == ["One section", "Write “splash splash” out"]
    metre = texts[0].removeprefix("In ")
    for number in range(len(texts)):
        strip.buttons[number].click()
        assert document.undo_stack.undoText(), texts[number]
        assert document.text() != before, texts[number]
        if number == 0:
            assert str(document.story.manner.metre) == metre
            assert metre in strip._text.text()
        document.undo_stack.undo()
        assert document.text() == before
    strip.buttons[-1].click()
    assert document.story.refrains == ()
    assert "no refrain" in strip._text.text()
    strip.close_button.click()
    assert not strip.isVisible()
    assert window.view.hasFocus() or not window.isActiveWindow()


def test_without_a_home_no_story_is_said_to_lie_at_the_top_of_all_folders(
    qtbot: QtBot, files: FileWork, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(QStandardPaths, "standardLocations", lambda _: ["/"])
    monkeypatch.chdir(tmp_path)
    assert usual_folder() == tmp_path
    for writable, said in ((True, f"lie in {tmp_path}, or where"), (False, "lie where you choose")):
        monkeypatch.setattr("os.access", lambda *_, writable=writable: writable)
        page = StartPage(files)
        qtbot.addWidget(page)
        assert said in page.recent.item(0).text()
