"""The record locks by itself while a question or a file dialog stands open, whichever it is."""

from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtWidgets import QApplication, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from tapscore.gui.records.lock_watch import LockWatch
from tapscore.gui.records.record_window import RecordWindow
from tapscore.gui.records.sitting import Sitting
from tapscore.records.record_file import open_record
from tests.gui.answers import Answers
from tests.gui.records.conftest import Clock, StoryDesk, put_record
from tests.records.class_records import PASSPHRASE, march, small_record

OTHER = "seven dry leaves turn"
TABLE = "Date,Pupil,Moment,Seen\n24/03/2027,M.,wait after “Splash”,reached\n"


class Locking(Answers):
    """Answers what was asked, after the record has locked meanwhile as in a dialog's own loop."""

    sitting: Sitting
    folder_given: Path
    asked_for: list[str]
    question: int
    """Which of the questions it locks in, counted from 0."""

    def _wait(self, what: str) -> None:
        self.asked_for.append(what)
        if len(self.asked_for) - 1 == self.question:
            self.sitting.lock()
            QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)

    def open_file(self, parent: Any, title: str, kinds: str) -> Path | None:
        self._wait(title)
        return self.folder_given / ("notes.csv" if "table" in title else "theirs.classrecord")

    def save_file(self, parent: Any, title: str, near: Path, kinds: str = "") -> Path | None:
        self._wait(title)
        return self.folder_given / "made" / near.name

    def folder(self, parent: Any, title: str) -> Path | None:
        self._wait(title)
        return self.folder_given / "made"

    def choose(
        self, parent: Any, text: str, more: str, answers: tuple[str, ...], *, loses: bool = False
    ) -> str:
        self._wait(text)
        return answers[0]


@pytest.fixture
def locking(tmp_path: Path) -> Locking:
    made = Locking()
    made.folder_given, made.asked_for = tmp_path, []
    (tmp_path / "made").mkdir()
    (tmp_path / "notes.csv").write_text(TABLE, encoding="utf-8")
    return made


def test_nothing_breaks_and_nothing_is_written_readable(
    qtbot: QtBot, folder: Path, locking: Locking, desk: StoryDesk, clock: Clock, tmp_path: Path
) -> None:
    path = put_record(folder, small_record())
    data = path.read_bytes()
    theirs = Sitting(watch=LockWatch(running=lambda: clock.running))
    theirs.begin(tmp_path / "theirs.classrecord", OTHER, small_record())
    theirs.close()
    watch = LockWatch(running=lambda: clock.running, wall=lambda: clock.wall)
    sitting = locking.sitting = Sitting(watch=watch)
    window = RecordWindow(locking, folder=folder, today=lambda: march(24), sitting=sitting)
    window.show_for_story(desk)
    tried: set[tuple[str, str]] = set()
    for page, number, question in _presses(window, path):
        path.write_bytes(data)
        sitting.open(path, PASSPHRASE)
        assert window.pages is not None
        pages = window.pages
        pages.tabs.setCurrentIndex(page)
        pages.keeping.chosen.item(1).setCheckState(Qt.CheckState.Checked)
        for field in (pages.keeping.new.first, pages.keeping.new.again):
            field.setText(OTHER)
        pages.keeping.their_passphrase.setText(OTHER)
        shown = pages.tabs.currentWidget()
        assert shown is not None
        button = _buttons(shown)[number]
        name, locking.asked_for[:], locking.question = button.text(), [], question
        button.click()
        if len(locking.asked_for) > question:
            tried.add((name, locking.asked_for[question]))
            assert not sitting.is_open
            readable = [f for f in (tmp_path / "made").iterdir() if ".classrecord" not in f.name]
            assert readable == [], name
            found = open_record(path, PASSPHRASE)
            assert found.record == small_record(), name
            found.close()
        sitting.lock()
        QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
        for made in (tmp_path / "made").iterdir():
            made.unlink()
    assert len(tried) >= 12, tried
    sitting.throw_away()
    window.close()
    window.deleteLater()


def _buttons(page: QWidget) -> list[QPushButton]:
    return [
        each
        for each in page.findChildren(QPushButton)
        if each.text().endswith("...") and each.isEnabled()
    ]


def _presses(window: RecordWindow, path: Path) -> list[tuple[int, int, int]]:
    """Each page, each of its buttons that ask, and its first question or its second."""
    window.sitting.open(path, PASSPHRASE)
    assert window.pages is not None
    tabs = window.pages.tabs
    found = []
    for page in range(tabs.count()):
        tabs.setCurrentIndex(page)
        shown = tabs.currentWidget()
        assert shown is not None
        many = range(len(_buttons(shown)))
        found += [(page, number, question) for number in many for question in (0, 1)]
    window.sitting.lock()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    return found
