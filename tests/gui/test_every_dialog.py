"""Every window that the menus open, and what those open: Enter in each field presses nothing.

Qt makes a button the default of a dialog unless it is told not to: Enter in a figure then opens
a file dialog.  The windows are found by trying every command and every button that ends in dots.
"""

from collections.abc import Iterator
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

from tapscore.gui.asking import STORIES
from tapscore.gui.listening import sound_out
from tapscore.gui.main_window import MainWindow
from tapscore.gui.printing import print_panel
from tapscore.gui.recording import sound_in
from tapscore.gui.records import door, story_link
from tapscore.gui.records.record_window import RecordWindow
from tapscore.records import sealed
from tests.gui.answers import Answers
from tests.gui.listening.fakes import HandClock, QuietOut
from tests.gui.recording.fake_microphone import FakeMicrophone
from tests.records.class_records import PASSPHRASE, QUICK, small_record


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

    def choose(self, parent: QWidget | None, text: str, more: str, answers: tuple[str, ...]) -> str:
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


@pytest.fixture
def desk(demo: MainWindow, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> MainWindow:
    """A story's window on a computer with a microphone, and a class record to open."""
    monkeypatch.setattr(sound_in, "Microphone", lambda: FakeMicrophone("Headset"))
    monkeypatch.setattr(sound_out, "Loudspeaker", lambda: QuietOut(HandClock()))
    monkeypatch.setattr(print_panel, "there_is_a_printer", lambda: True)
    monkeypatch.setattr(door, "usual_folder", lambda: tmp_path)
    monkeypatch.setattr(sealed, "_tuned", lambda: QUICK)
    demo.activateWindow()
    return demo


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
    qapp: QApplication
    seen: set[str] = field(factory=set)
    fields: int = 0
    wrong: list[str] = field(factory=list)

    def new(self, before: list[QWidget]) -> list[QWidget]:
        self.qapp.processEvents()
        return [each for each in windows() if each not in before]

    def look(self, window: QWidget) -> None:
        """Enter in each field of each page; then what its buttons with dots open."""
        name = f"{type(window).__name__} {window.windowTitle()}"
        if name in self.seen or isinstance(window, MainWindow):
            return
        self.seen.add(name)
        for page in self.pages(window):
            for each in fields(window):
                self.press_enter(window, each, page)
        for _ in self.pages(window):
            self.open_all(window)

    def open_all(self, window: QWidget) -> None:
        """Look at what buttons with dots open."""
        for button in window.findChildren(QPushButton):
            if button.text().endswith("...") and button.isEnabled() and button.isVisible():
                self.open(window, button)

    def pages(self, window: QWidget) -> Iterator[str]:
        tabs = window.findChildren(QTabWidget)
        yield "first"
        for tab in tabs:
            for index in range(1, tab.count()):
                tab.setCurrentIndex(index)
                self.qapp.processEvents()
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
        self.qapp.processEvents()
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
            self.qapp.processEvents()


@pytest.mark.timeout(200)
def test_enter_in_a_field_presses_no_button_that_happens_to_be_there(
    desk: MainWindow, answers: NoAnswers, qapp: QApplication
) -> None:
    walk = Walk(answers, qapp)
    for action in actions(desk):
        if not action.isEnabled() or action.text().replace("&", "") == "Close":
            continue
        before = windows()
        go_to_a_line(desk)
        action.trigger()
        for opened in walk.new(before):
            if isinstance(opened, RecordWindow):
                walk.look(opened)
                opened.sitting.begin(
                    opened.door._folder / "willow.classrecord", PASSPHRASE, small_record()
                )
                opened.setWindowTitle("Class record, open")
                walk.look(opened)
            else:
                walk.look(opened)
            if isinstance(opened, MainWindow):
                opened.document.undo_stack.setClean()
            opened.close()
            QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    for panel in desk.side.panels:
        desk.side.show_panel(panel)
        walk.open_all(desk)
    assert not story_link._WINDOWS
    assert not walk.wrong, "\n".join(walk.wrong)
    assert len(walk.seen) >= 17, walk.seen
    assert walk.fields >= 160, walk.fields


def test_enter_on_a_button_presses_that_one_and_no_other(
    desk: MainWindow, answers: NoAnswers, qapp: QApplication
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
