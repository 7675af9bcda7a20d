"""Every window that the menus open, and what those open: what stands there, and what Enter does.

The windows are found by trying every command and every button that ends in dots.  What each shows
(``said_of_windows``) stands in ``windows.txt``, which was read by eye: names for screen readers,
what is in sight, in which order, what can be pressed, where Tab goes.

Enter in a field presses no button: Qt makes one the default of a dialog unless it is told not
to, and Enter in a figure then opened a file dialog.
"""

import os
from collections.abc import Iterator
from difflib import unified_diff
from pathlib import Path

import pytest
from attrs import define, field
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QAction
from PySide6.QtPrintSupport import QPrinter
from PySide6.QtTest import QTest
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractSpinBox,
    QApplication,
    QCheckBox,
    QComboBox,
    QDialog,
    QLineEdit,
    QMenu,
    QPushButton,
    QTabWidget,
    QWidget,
)
from pytestqt.qtbot import QtBot
from shiboken6 import isValid

from tapscore.gui.asking import STORIES
from tapscore.gui.background import Background
from tapscore.gui.files import FileWork
from tapscore.gui.listening import sound_out
from tapscore.gui.main_window import MainWindow
from tapscore.gui.printing import print_panel
from tapscore.gui.recording import sound_in
from tapscore.gui.records import door, story_link
from tapscore.gui.records.record_window import RecordWindow
from tapscore.records import sealed
from tapscore.screen.rows import RowKind
from tapscore.storyfile.read import read_file
from tests.gui.answers import Answers
from tests.gui.listening.fakes import HandClock, QuietOut
from tests.gui.recording.fake_microphone import FakeMicrophone
from tests.gui.said_of_windows import in_words
from tests.records.class_records import PASSPHRASE, QUICK, march, small_record


@define
class NoAnswers(Answers):
    """Closes every question: no file, nothing printed, the last of the choices."""

    asked_for: list[str] = field(factory=list)

    def open_file(self, parent: QWidget | None, title: str, kinds: str) -> Path | None:
        self.asked_for.append(title)
        return None

    def save_file(
        self, parent: QWidget | None, title: str, near: Path, kinds: str = STORIES
    ) -> Path | None:
        self.asked_for.append(title)
        return None

    def folder(self, parent: QWidget | None, title: str) -> Path | None:
        self.asked_for.append(title)
        return None

    def choose(
        self,
        parent: QWidget | None,
        text: str,
        more: str,
        answers: tuple[str, ...],
        *,
        loses: bool = False,
    ) -> str:
        self.asked_for.append(text)
        return self.choices.pop(0) if self.choices else answers[-1]

    def may_throw_away(self, parent: QWidget | None, what: str) -> bool:
        return True

    def words(self, parent: QWidget | None, title: str, question: str) -> str | None:
        self.asked_for.append(title)
        return None

    def printer(self, parent: QWidget | None, printer: QPrinter, pages: int) -> bool:
        self.asked_for.append("printer")
        return False


@pytest.fixture
def answers() -> NoAnswers:
    return NoAnswers()


KEPT = Path(__file__).with_name("windows.txt")
STORY = """\
tapscore: 2
title: The Mill
metre: 2/4
tempo: 60
term: Autumn
board:
  size_cm: [120, 90]
  sheet: {wood: birch, thickness_mm: 4, plies: 3, grain: long}
  gap_mm: 20
  spots: {middle: [60, 45]}
  seats: {north: [60, 90], east: [120, 45]}
  places: {A: {at: [45, 50], lying: true, head: west}}
roles:
  leader: {seat: north}
  helper: {seat: east}
props: {cup: {what: cup}}
refrains:
  home:
    - words: row it home
      lane: "| X . x . | X . . . |"
story:
  - section: One
    lines:
      - words: first the moon
        lane: "| X . x . | X . . . |"
      - refrain: home
      - wait: 10
        look for: a still body
      - offer: cup
  - section: Two
    lines:
      - words: last the rain
        lane: "| X . x . | X . . . |"
        loudness: quiet
"""


@pytest.fixture
def desk(files: FileWork, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> MainWindow:
    """A story's window on a computer with a microphone, and a class record to open."""
    monkeypatch.setattr(sound_in, "Microphone", lambda: FakeMicrophone("Headset"))
    monkeypatch.setattr(sound_out, "Loudspeaker", lambda: QuietOut(HandClock()))
    monkeypatch.setattr(print_panel, "there_is_a_printer", lambda: True)
    monkeypatch.setattr(door, "usual_folder", lambda: tmp_path)
    monkeypatch.setattr(sealed, "_tuned", lambda: QUICK)
    path = tmp_path / "the mill.tapscore"
    path.write_text(STORY, encoding="utf-8")
    window = files.show_story(read_file(path), path)
    window.resize(1280, 800)
    window.activateWindow()
    return window


def go_to_a_line(window: MainWindow) -> None:
    """Where most commands have something to do."""
    rows = window.rows.rows
    window.view.go_to(next(r.path for r in rows if r.line is not None and r.line.syllables))


def windows() -> list[QWidget]:
    """Windows in sight, menus and hints aside."""
    return [
        each
        for each in QApplication.topLevelWidgets()
        if each.isVisible() and isinstance(each, QDialog | MainWindow | RecordWindow)
    ]


def actions(window: MainWindow) -> Iterator[QAction]:
    """Everything in the menus, in menus inside them too."""

    def of(menu: QMenu) -> Iterator[QAction]:
        for action in menu.actions():
            inner = action.menu()
            if isinstance(inner, QMenu):
                yield from of(inner)
            else:
                yield action

    for top in window.menuBar().actions():
        menu = top.menu()
        if isinstance(menu, QMenu):
            yield from of(menu)


def fields(window: QWidget) -> list[QWidget]:
    """Fields that can be typed in or chosen from."""
    return [
        each
        for each in window.findChildren(QWidget)
        if isinstance(each, QLineEdit | QAbstractSpinBox | QComboBox | QCheckBox)
        and not isinstance(each.parent(), QAbstractSpinBox | QComboBox)
        and each.isVisible()
        and each.isEnabled()
        and not (isinstance(each, QLineEdit) and each.isReadOnly())
    ]


@define
class Walk:
    """Goes through windows and tells what was wrong."""

    answers: NoAnswers
    qtbot: QtBot
    folder: str
    told: dict[str, list[str]] = field(factory=dict)
    fields: int = 0
    wrong: list[str] = field(factory=list)

    def new(self, before: list[QWidget]) -> list[QWidget]:
        QApplication.processEvents()
        return [each for each in windows() if each not in before]

    def look(self, window: QWidget) -> None:
        """What each page says; Enter in each field; then what its buttons with dots open."""
        parent = window.parentWidget()
        inside = isinstance(parent, QDialog) and f" ({parent.windowTitle()})"
        name = f"{window.windowTitle()}{inside or ''}"
        if name in self.told or isinstance(window, MainWindow):
            return
        self.told[name] = []
        for page in self.pages(window):
            self.tell(f"{name}, {page}" if page else name, window)
        for page in self.pages(window):
            for each in fields(window):
                self.press_enter(window, each, page)
        for _ in self.pages(window):
            self.open_all(window)

    def tell(self, name: str, window: QWidget) -> None:
        """Keep in words what a window shows, once what it works on is done."""
        work = window.findChildren(Background)
        self.qtbot.waitUntil(lambda: not any(each.busy for each in work), timeout=20_000)
        QApplication.processEvents()
        self.told[name] = in_words(window, folder=self.folder)

    def open_all(self, window: QWidget) -> None:
        """Look at what buttons with dots open."""
        for button in window.findChildren(QPushButton):
            there = isValid(button) and button.isEnabled() and button.isVisible()
            if there and button.text().endswith("..."):
                self.open(window, button)

    def pages(self, window: QWidget) -> Iterator[str]:
        tabs = window.findChildren(QTabWidget)
        yield ""
        for tab in tabs:
            for index in range(1, tab.count()):
                tab.setCurrentIndex(index)
                QApplication.processEvents()
                yield tab.tabText(index)
            tab.setCurrentIndex(0)

    def press_enter(self, window: QWidget, field: QWidget, page: str) -> None:
        pressed: list[str] = []
        watched = []
        for button in window.findChildren(QAbstractButton):
            said = button.text() or button.accessibleName()

            def note(*_: object, said: str = said) -> None:
                pressed.append(said.replace("&", ""))

            button.clicked.connect(note)
            watched.append((button, note))
        before, asked = windows(), len(self.answers.asked_for)
        self.fields += 1
        field.setFocus()
        QTest.keyClick(field, Qt.Key.Key_Return)
        QApplication.processEvents()
        for button, note in watched:
            button.clicked.disconnect(note)
        name = field.accessibleName() or type(field).__name__
        where = f"{window.windowTitle()}, {page}, {name}"
        self.wrong += [f"{where}: presses “{said}”" for said in pressed]
        for asked_for in self.answers.asked_for[asked:]:
            self.wrong.append(f"{where}: asks “{asked_for}”")
        for opened in self.new(before):
            self.wrong.append(f"{where}: opens {opened.windowTitle()}")
            opened.close()
        if not window.isVisible():
            self.wrong.append(f"{where}: closes the window")
            window.show()

    def open(self, window: QWidget, button: QPushButton) -> None:
        before = windows()
        button.click()
        for opened in self.new(before):
            self.look(opened)
            opened.close()
            QApplication.processEvents()


@pytest.fixture
def walk(desk: MainWindow, answers: NoAnswers, qtbot: QtBot, tmp_path: Path) -> Walk:
    """Through all of it."""
    made = Walk(answers, qtbot, str(tmp_path))
    look_at_panels(made, desk)
    for action in actions(desk):
        if not action.isEnabled() or action.text().replace("&", "") == "Close":
            continue
        before = windows()
        go_to_a_line(desk)
        action.trigger()
        for opened in made.new(before):
            made.look(opened)
            if isinstance(opened, RecordWindow):
                look_into_record(made, opened)
            if isinstance(opened, MainWindow):
                opened.document.undo_stack.setClean()
            opened.close()
            QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    return made


def look_into_record(walk: Walk, window: RecordWindow) -> None:
    window._today = lambda: march(24)
    path = window.door._folder / "willow.classrecord"
    window.sitting.begin(path, PASSPHRASE, small_record())
    window.setWindowTitle("Class record, open")
    walk.look(window)


def look_at_panels(walk: Walk, window: MainWindow) -> None:
    """The story's own window with each panel, and the details of each kind of row."""
    go_to_a_line(window)
    walk.qtbot.waitUntil(lambda: window.findings.list.count() > 0, timeout=20_000)
    look_at_strips(walk, window)
    for number in range(len(window.side.panels)):
        window.side.show_number(number)
        panel = window.side.current
        walk.tell(f"The story, {window.side.title(panel)}", panel)
        walk.open_all(window)
    window.side.show_panel(window.details)
    for kind in RowKind:
        row = next((row for row in window.rows.rows if row.kind is kind), None)
        if row is not None:
            window.view.go_to(row.path)
            walk.tell(f"The story, details: {kind.value}", window.details)
    go_to_a_line(window)
    window.view.move_cursor_to(1)
    walk.tell("The story, details: a tap", window.details)


def look_at_strips(walk: Walk, window: MainWindow) -> None:
    """The middle of the window with all that is shown above the story now and then."""
    strips = (window.hints, window.guesses, window.tap_strip, window.finding, window.spelling_strip)
    for strip in strips:
        strip.show()
    middle = window.centralWidget()
    assert middle is not None
    walk.tell("The story, with every strip", middle)
    for strip in strips:
        strip.hide()


@pytest.mark.timeout(200)
def test_every_window_says_what_it_said_and_enter_in_a_field_presses_nothing(walk: Walk) -> None:
    assert not story_link._WINDOWS
    assert not walk.wrong, "\n".join(walk.wrong)
    assert walk.fields >= 150, walk.fields
    told = "".join(
        "\n".join((f"== {name}", *lines, "", "")) for name, lines in walk.told.items() if lines
    )
    if os.environ.get("TAPSCORE_KEEP_WINDOWS"):
        KEPT.write_text(told, encoding="utf-8")
    kept = KEPT.read_text(encoding="utf-8")
    changed = list(unified_diff(kept.splitlines(), told.splitlines(), lineterm="", n=1))
    assert not changed, "\n".join(
        (*changed, "If all of this is meant: TAPSCORE_KEEP_WINDOWS=1 and this test once more.")
    )


def test_enter_on_a_button_presses_that_one_and_no_other(
    desk: MainWindow, answers: NoAnswers
) -> None:
    """Else Qt presses the default one, which prints, while somebody stands on Close."""
    desk.actions_by_id["print"].trigger()
    dialog = next(each for each in windows() if isinstance(each, QDialog))
    close = next(b for b in dialog.findChildren(QPushButton) if b.text() == "Close")
    for key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
        dialog.show()
        close.setFocus()
        QTest.keyClick(close, key)
        assert not dialog.isVisible()
    assert answers.asked_for == []
