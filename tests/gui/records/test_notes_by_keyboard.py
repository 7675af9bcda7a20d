"""Ten pupils' slips, typed up by keyboard alone, in the slip's order."""

from datetime import date
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QCheckBox, QLabel, QWidget

from tapscore.gui.records.notes_page import NotesPage
from tapscore.gui.records.record_window import OpenPages, RecordWindow
from tapscore.gui.records.tick_row import TickRow
from tapscore.model.curriculum import EYFS_AREAS
from tapscore.model.observing import SLIP, Alertness, Answer, Holds, Support
from tapscore.records.edits import new_id
from tapscore.records.model import ClassRecord, Note, Pupil, Slip
from tapscore.records.record_file import open_record
from tests.gui.answers import Answers
from tests.gui.records.conftest import pages_of, put_record
from tests.records.class_records import PASSPHRASE, WAVE, march, small_record

KEY_SEC = 0.28
"""A key by somebody who types 40 words a minute (keystroke-level model: Card, Moran and
Newell 1980; from memory)."""
MENTAL_SEC = 1.35
"""Looking up and deciding, before each answer (same source)."""


class Typist:
    """Presses keys wherever the focus is, and counts them."""

    def __init__(self, window: RecordWindow) -> None:
        self._window = window
        self.keys = 0

    @property
    def at(self) -> QWidget:
        found = self._window.focusWidget()
        assert found is not None
        return found

    def type(self, text: str) -> None:
        QTest.keyClicks(self.at, text)
        self.keys += len(text)

    def press(self, key: Qt.Key, how: Qt.KeyboardModifier | None = None) -> None:
        QTest.keyClick(self.at, key, how or Qt.KeyboardModifier.NoModifier)
        self.keys += 1


@pytest.fixture
def notes(pages: OpenPages) -> NotesPage:
    return pages.notes


def labels_down(notes: NotesPage) -> list[str]:
    form = notes.form
    found = [label for label in form.findChildren(QLabel) if label.buddy() or label.text()]
    known = {field.label for field in SLIP}
    return [
        label.text() for label in sorted(found, key=lambda each: each.y()) if label.text() in known
    ]


def test_the_form_is_in_the_slip_s_order(notes: NotesPage) -> None:
    QApplication.processEvents()
    shown = [
        field.label
        for field in SLIP
        if field.holds is not Holds.TELLING and field.key not in ("pupil", "before_cue")
    ]
    assert labels_down(notes) == shown
    across = sorted(
        (notes.telling.date, notes.telling.number, notes.telling.there), key=lambda each: each.x()
    )
    assert [each.accessibleName() for each in across] == [
        field.label for field in SLIP if field.holds is Holds.TELLING
    ]
    for field in SLIP:
        row = notes.form.fields.get(field.key)
        if field.choices:
            assert isinstance(row, TickRow)
            assert [box.accessibleName() for box in row.boxes][: len(field.choices)] == [
                f"{field.label}: {choice}" for choice in field.choices
            ]


def test_a_whole_slip_by_keyboard(window: RecordWindow, notes: NotesPage, path: Path) -> None:
    hands = Typist(window)
    assert hands.at.accessibleName() == "Date"
    hands.type("22/03/2027")
    hands.press(Qt.Key.Key_Tab)
    hands.press(Qt.Key.Key_Tab)
    hands.type("AB, CD")
    hands.press(Qt.Key.Key_Tab)
    assert hands.at.accessibleName() == "Pupils"
    hands.press(Qt.Key.Key_Tab)
    assert hands.at.accessibleName() == "Moments of the story"
    hands.press(Qt.Key.Key_Tab)
    assert hands.at.accessibleName() == "Seen by"
    hands.type("AB")
    hands.press(Qt.Key.Key_Tab)
    hands.type("s")
    hands.press(Qt.Key.Key_Tab)
    hands.type("b")
    for _ in range(3):  # to the moment's answer, and two moments on
        hands.press(Qt.Key.Key_Return)
    assert notes.form.moment.text().startswith(WAVE)
    hands.type("ab")
    hands.press(Qt.Key.Key_Tab)
    hands.type("turned, then stilled")
    hands.press(Qt.Key.Key_Tab)
    hands.type("t")
    hands.press(Qt.Key.Key_Tab)
    hands.type("8")
    hands.press(Qt.Key.Key_Tab)
    hands.type("a")
    hands.press(Qt.Key.Key_Return)
    hands.type("n")
    hands.press(Qt.Key.Key_Return)
    assert window.sitting.save()
    telling = window.sitting.record.tellings[-1]
    assert (telling.date, telling.number, telling.there) == (march(22), 4, "AB, CD")
    slip = telling.slip("p1")
    assert slip == Slip(
        "p1",
        "AB",
        Alertness.SLEEPY,
        "beside the board",
        (
            Note(
                WAVE,
                Answer.SEEN,
                True,
                "turned, then stilled",
                Support.TOUCH,
                "8",
                ("anticipation",),
            ),
            Note("offering of beads", Answer.NOT_SEEN),
        ),
    )
    window.sitting.close()
    opened = open_record(path, PASSPHRASE)
    assert opened.record.tellings[-1] == telling
    opened.close()


def test_the_next_pupil_may_have_been_seen_by_somebody_else(
    window: RecordWindow, notes: NotesPage
) -> None:
    hands = Typist(window)
    notes.form.answer.focus()
    hands.type("a")
    notes.form.fields["observer"].setFocus()
    hands.type("AB")
    hands.press(Qt.Key.Key_PageDown, Qt.KeyboardModifier.ControlModifier)
    hands.type("CD")
    hands.press(Qt.Key.Key_Return)
    hands.type("n")
    slips = window.sitting.record.tellings[-1].slips
    assert [slip.observer for slip in slips] == ["AB", "CD"]


def test_ten_pupils_in_ten_minutes(window: RecordWindow, folder: Path) -> None:
    """By the keystroke-level model: three answers of 40 letters for each pupil, two more seen
    without words, at every moment of the demo story.
    """
    pupils = tuple(Pupil(new_id(), f"{chr(65 + number)}.") for number in range(10))
    path = put_record(folder, ClassRecord("Ten", pupils=pupils))
    window.sitting.open(path, PASSPHRASE)
    notes = pages_of(window).notes
    hands = Typist(window)
    decisions = 0
    for _ in range(4):
        hands.press(Qt.Key.Key_Tab)
    while hands.at is not notes.form.fields["observer"]:
        hands.press(Qt.Key.Key_Tab)
    moments = notes.moments.count()
    for number in range(10):
        if number == 0:
            hands.type("AB")
        hands.press(Qt.Key.Key_Tab)
        hands.type("a")
        hands.press(Qt.Key.Key_Tab)
        hands.type("o")
        hands.press(Qt.Key.Key_Tab)
        for moment in range(moments):
            decisions += 1
            if moment < 3:
                hands.type("a")
                hands.press(Qt.Key.Key_Tab)
                hands.type("turned to the sound and stilled, smiled.")
                hands.press(Qt.Key.Key_Tab)
                hands.type("t")
                hands.press(Qt.Key.Key_Tab)
                hands.type("8")
                hands.press(Qt.Key.Key_Tab)
                hands.type("a")
            else:
                hands.type("n")
            hands.press(Qt.Key.Key_Return)
    (telling,) = window.sitting.record.tellings
    assert len(telling.slips) == 10
    assert all(len(slip.notes) == moments for slip in telling.slips)
    assert {slip.observer for slip in telling.slips} == {"AB"}
    minutes = (hands.keys * KEY_SEC + decisions * MENTAL_SEC) / 60
    assert minutes < 10, f"{hands.keys} keys, {minutes:.1f} minutes"


def test_letters_tick_and_take_away(notes: NotesPage) -> None:
    row = notes.form.answer
    row.focus()
    QTest.keyClick(row.boxes[0], Qt.Key.Key_N)
    assert row.chosen == ("no response seen",)
    QTest.keyClick(row.boxes[1], Qt.Key.Key_C)
    assert row.chosen == ("came away",), "only one answer holds"
    QTest.keyClick(row.boxes[2], Qt.Key.Key_B)
    assert (row.chosen, row.ticked) == (("came away",), ("before the cue",))
    QTest.keyClick(row.boxes[4], Qt.Key.Key_C)
    assert not row.chosen
    QTest.keyClick(row.boxes[2], Qt.Key.Key_Right)
    assert row.boxes[3].focusPolicy() & Qt.FocusPolicy.TabFocus
    stops = [box for box in row.boxes if box.focusPolicy() & Qt.FocusPolicy.TabFocus]
    assert len(stops) == 1, "one stop of the Tab key"


def test_every_letter_of_a_row_is_its_own() -> None:
    for choices in (*(field.choices for field in SLIP if field.choices), EYFS_AREAS):
        row = TickRow("x", choices, several=True)
        for box, choice in zip(row.boxes, choices, strict=True):
            letter = box.text().split("&")[1][0]
            QTest.keyClicks(row.boxes[0], letter)
            assert choice in row.chosen
        row.deleteLater()


def test_any_script_and_long_words_are_kept(window: RecordWindow, notes: NotesPage) -> None:
    words = "هنا यहाँ ここ 👋 " * 1500
    notes.form.words.setPlainText(words)
    (telling,) = [t for t in window.sitting.record.tellings if t.date == march(24)]
    slip = telling.slip("p1")
    assert slip is not None
    assert slip.notes[0].words == words.strip()
    assert len(words) > 20_000


def test_going_through_slips_changes_nothing(window: RecordWindow, notes: NotesPage) -> None:
    before = window.sitting.record
    for index in range(notes.telling.which.count()):
        notes.telling.which.setCurrentIndex(index)
        for pupil in range(notes.pupils.count()):
            notes.pupils.setCurrentRow(pupil)
            for moment in range(notes.moments.count()):
                notes.moments.setCurrentRow(moment)
    assert window.sitting.record == before


def test_a_slip_is_shown_as_it_was_written(notes: NotesPage) -> None:
    notes.telling.which.setCurrentIndex(3)
    assert notes.telling.date.text() == "03/03/2027"
    assert notes.pupils.item(0).text() == "Qx7 (place A): written"
    names = [notes.moments.item(row).text() for row in range(notes.moments.count())]
    assert f"{WAVE}: answered" in names
    notes.moments.setCurrentRow(names.index(f"{WAVE}: answered"))
    assert notes.form.answer.chosen == ("answered",)
    assert notes.form.answer.ticked == ("before the cue",)
    assert notes.form.words.toPlainText() == "turned-before-the-wave-zebra"


@pytest.mark.parametrize(
    ("typed", "number", "said"),
    [
        ("tomorrow", "4", "as 10/03/2027"),
        ("24/03/2027", "four", "in figures"),
        ("01/04/2027", "4", "still to come"),
    ],
)
def test_dates_and_numbers_that_can_not_be_meant(
    window: RecordWindow, notes: NotesPage, typed: str, number: str, said: str
) -> None:
    notes.telling.date.setText(typed)
    notes.telling.number.setText(number)
    notes.telling.date.editingFinished.emit()
    assert said in notes.telling.trouble.text()


def test_a_date_that_can_not_be_read_holds_no_note_up(
    window: RecordWindow, notes: NotesPage
) -> None:
    notes.telling.date.setText("the 24th")
    notes.form.words.setPlainText("turned")
    assert "counts as 24 March 2027" in notes.telling.trouble.text()
    notes.next_moment()
    notes.form.words.setPlainText("stilled")
    notes.telling.date.setText("22/03/2027")
    notes.telling.date.editingFinished.emit()
    assert not notes.telling.trouble.text()
    telling = window.sitting.record.tellings[-1]
    assert telling.date == march(22)
    slip = telling.slip("p1")
    assert slip is not None
    assert [note.words for note in slip.notes] == ["turned", "stilled"]


def test_a_clock_set_back_is_said(window: RecordWindow, path: Path) -> None:
    window._today = lambda: date(2020, 1, 1)
    window.sitting.open(path, PASSPHRASE)
    assert (
        "This computer says it is 1 January 2020" in pages_of(window).notes.telling.trouble.text()
    )


def test_a_telling_typed_by_mistake_is_deleted(
    window: RecordWindow, notes: NotesPage, answers: Answers
) -> None:
    notes.delete.click()
    assert "nothing to delete" in notes.said.text()
    notes.form.words.setPlainText("on the wrong day")
    assert len(window.sitting.record.tellings) == 4
    answers.choices = ["Keep it", "Delete this telling"]
    notes.delete.click()
    assert len(window.sitting.record.tellings) == 4
    notes.delete.click()
    assert window.sitting.record.tellings == small_record().tellings
    assert notes.form.words.toPlainText() == ""


def test_fifty_pupils(window: RecordWindow, folder: Path) -> None:
    pupils = tuple(Pupil(new_id(), f"P{number}") for number in range(50))
    path = put_record(folder, ClassRecord("Fifty", pupils=pupils))
    window.sitting.open(path, PASSPHRASE)
    notes = pages_of(window).notes
    for _ in range(49):
        notes.next_pupil()
    notes.form.answer.boxes[0].click()
    assert window.sitting.record.tellings[0].slips[0].pupil == pupils[49].id


def test_names_for_screen_readers(pages: OpenPages) -> None:
    for number in range(pages.tabs.count()):
        pages.tabs.setCurrentIndex(number)
        page = pages.tabs.widget(number)
        for widget in page.findChildren(QWidget) if page else ():
            if widget.focusPolicy() & Qt.FocusPolicy.TabFocus and widget.isVisible():
                named = widget.accessibleName() or (
                    widget.property("text") if isinstance(widget, QCheckBox) else ""
                )
                parent = widget.parentWidget()
                inside = parent.accessibleName() if parent else ""
                text = widget.property("text") or ""
                assert named or inside or text, f"{type(widget).__name__} on page {number}"
