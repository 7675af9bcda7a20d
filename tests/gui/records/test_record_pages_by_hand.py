"""The pages of a class record by themselves: fields, lists, buttons, what is enabled when."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from attrs import evolve
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QTableWidget, QWidget
from pytestqt.qtbot import QtBot

from tapscore.exports.written.document import WrittenDocument
from tapscore.gui.records.class_page import ClassPage
from tapscore.gui.records.lock_watch import LockWatch
from tapscore.gui.records.notes_page import DELETE, KEEP, KEYS, NotesPage
from tapscore.gui.records.pupils_page import PupilsPage
from tapscore.gui.records.sitting import Sitting
from tapscore.gui.records.slip_form import SlipForm
from tapscore.gui.records.term_page import TermPage
from tapscore.model.observing import POSITIONS, Alertness, Answer, Support
from tapscore.records.edits import clock_trouble
from tapscore.records.model import ClassRecord, Note, Slip
from tapscore.records.way_in import WAY_IN
from tapscore.storyfile.read import read_text
from tests.gui.answers import Answers
from tests.gui.records.conftest import Clock
from tests.records.class_records import BEADS, PASSPHRASE, PLANTED_MARK, WAVE, march

STORY = """\
tapscore: 2
title: The Lantern Boat
story:
  - section: One
    lines:
      - words: Splash
        lane: "| X . . . | . . . . |"
      - {wait: 10, look for: a still body}
"""


class Open:
    """A record that is open, with the papers that pages wrote."""

    def __init__(self, path: Path, clock: Clock, answers: Answers) -> None:
        self.sitting = Sitting(watch=LockWatch(running=lambda: clock.running))
        self.sitting.open(path, PASSPHRASE)
        self.answers = answers
        self.papers: list[tuple[WrittenDocument, str]] = []
        self.gone_to: list[str] = []

    def write(self, paper: WrittenDocument, name: str) -> None:
        self.papers.append((paper, name))

    def go_to(self, moment: str) -> bool:
        self.gone_to.append(moment)
        return moment != BEADS

    @property
    def record(self) -> ClassRecord:
        return self.sitting.record

    @property
    def named(self) -> list[str]:
        return [name for _, name in self.papers]


@pytest.fixture
def held(qapp: object, path: Path, clock: Clock, answers: Answers) -> Iterator[Open]:
    made = Open(path, clock, answers)
    yield made
    made.sitting.throw_away()


# --- pupils


@pytest.fixture
def pupils(held: Open, qtbot: QtBot) -> PupilsPage:
    page = PupilsPage(held.sitting, held.answers, held.write)
    qtbot.addWidget(page)
    page.show_record()
    page.show()
    return page


def marks(page: PupilsPage) -> list[str]:
    return [page.list.item(row).text() for row in range(page.list.count())]


def test_the_first_pupil_is_shown(pupils: PupilsPage) -> None:
    assert marks(pupils) == [PLANTED_MARK, "M."]
    assert pupils.list.currentRow() == 0
    assert (pupils.mark.text(), pupils.place.text()) == (PLANTED_MARK, "A")
    filled = {key: field.text() for key, field in pupils.fields.items() if field.text()}
    assert filled == {"yes": "looks to the left", "wait": "20 seconds, sometimes 60"}
    assert list(pupils.fields) == [
        each.key
        for group in dict.fromkeys(e.group for e in WAY_IN)
        for each in WAY_IN
        if each.group == group
    ]
    assert pupils.sheet.isEnabled()
    assert pupils.delete.isEnabled()
    pupils.list.setCurrentRow(1)
    assert (pupils.mark.text(), pupils.place.text()) == ("M.", "B")
    assert not any(field.text() for field in pupils.fields.values())


@pytest.mark.parametrize("by", ["button", "enter"])
def test_a_pupil_is_added_and_typing_goes_on(by: str, pupils: PupilsPage, held: Open) -> None:
    told: list[bool] = []
    pupils.pupils_changed.connect(lambda: told.append(True))
    pupils.place.setText("C")
    pupils.new_mark.setText("  T.  B. ")
    if by == "button":
        pupils.add.click()
    else:
        QTest.keyClick(pupils.new_mark, Qt.Key.Key_Return)
    assert [(each.mark, each.place) for each in held.record.pupils] == [
        (PLANTED_MARK, "C"),
        ("M.", "B"),
        ("T. B.", ""),
    ]
    assert len({each.id for each in held.record.pupils}) == 3
    assert marks(pupils) == [PLANTED_MARK, "M.", "T. B."]
    assert (pupils.list.currentRow(), pupils.mark.text()) == (2, "T. B.")
    assert (pupils.new_mark.text(), pupils.trouble.text()) == ("", "")
    assert told
    assert pupils.focusWidget() is pupils.new_mark


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "Write initials, or any short mark that your school uses."),
        ("   ", "Write initials, or any short mark that your school uses."),
        ("m.", "“m.” is taken. Write one of the two differently."),
    ],
)
def test_a_mark_that_can_not_be_is_said(
    typed: str, said: str, pupils: PupilsPage, held: Open
) -> None:
    pupils.new_mark.setText(typed)
    pupils.add.click()
    assert pupils.trouble.text() == said
    assert len(held.record.pupils) == 2
    assert pupils.new_mark.text() == typed
    assert pupils.focusWidget() is pupils.new_mark
    pupils.new_mark.setText("T.")
    pupils.add.click()
    assert pupils.trouble.text() == ""


def test_a_pupil_is_called_otherwise_and_told(pupils: PupilsPage, held: Open) -> None:
    told: list[bool] = []
    pupils.pupils_changed.connect(lambda: told.append(True))
    pupils.fields["yes"].setText(" blinks ")
    pupils.fields["wait"].setText("")
    pupils.fields["yes"].editingFinished.emit()
    assert dict(held.record.pupils[0].way_in) == {"yes": "blinks"}
    assert told == [], "a way in is nobody else's matter"
    pupils.mark.setText(" K.  L. ")
    pupils.mark.editingFinished.emit()
    assert (held.record.pupils[0].mark, marks(pupils)[0], told) == ("K. L.", "K. L.", [True])
    pupils.place.setText("D")
    pupils.list.setCurrentRow(1)
    assert held.record.pupils[0].place == "D", "leaving it keeps it"
    assert len(told) == 2
    pupils.mark.setText("k. l.")
    pupils.mark.editingFinished.emit()
    assert held.record.pupils[1].mark == "M."
    assert "is taken" in pupils.trouble.text()


def test_ways_in_that_are_of_a_later_form_stay(pupils: PupilsPage, held: Open) -> None:
    first = held.record.pupils[0]
    more = evolve(first, way_in=(*first.way_in, ("later", "kept")))
    held.sitting.change(lambda record: evolve(record, pupils=(more, *record.pupils[1:])))
    pupils.fields["yes"].setText("blinks")
    pupils.put_away()
    assert dict(held.record.pupils[0].way_in) == {
        **{"later": "kept", "yes": "blinks", "wait": "20 seconds, sometimes 60"},
    }


def test_papers_of_pupils(pupils: PupilsPage, held: Open) -> None:
    pupils.blank.click()
    pupils.place.setText("E")
    pupils.sheet.click()
    assert held.named == ["way-in-empty", "way-in"]
    assert held.record.pupils[0].place == "E", "what is typed is on the paper"


def test_the_last_pupil_deleted_leaves_an_empty_page(
    pupils: PupilsPage, held: Open, answers: Answers
) -> None:
    answers.choices[:] = ["Keep", *["Delete all of this pupil"] * 2]
    pupils.delete.click()
    assert len(held.record.pupils) == 2
    assert answers.asked == [f"Delete all of {PLANTED_MARK}?"]
    assert "can’t be taken back" in answers.more[0]
    assert "These stay" not in answers.more[0]
    for left in (["M."], []):
        pupils.delete.click()
        assert marks(pupils) == left
    assert (pupils.mark.text(), pupils.place.text()) == ("", "")
    assert not any(field.isEnabled() for field in pupils.fields.values())
    pupils.show_record()
    for widget in (pupils.sheet, pupils.delete, pupils.mark, pupils.place):
        assert not widget.isEnabled(), "what is typed there would be nobody's"
    pupils.begin()
    assert pupils.focusWidget() is pupils.new_mark
    pupils.new_mark.setText("T.")
    pupils.add.click()
    for field in (*pupils.fields.values(), pupils.mark, pupils.place, pupils.delete):
        assert field.isEnabled()
    pupils.begin()
    assert pupils.focusWidget() is pupils.list


def test_after_one_is_deleted_the_first_is_shown(
    pupils: PupilsPage, held: Open, answers: Answers
) -> None:
    pupils.new_mark.setText("T.")
    pupils.add.click()
    answers.choices[:] = ["Delete all of this pupil"]
    pupils.delete.click()
    assert marks(pupils) == [PLANTED_MARK, "M."]
    assert (pupils.list.currentRow(), pupils.mark.text()) == (0, PLANTED_MARK)


def test_what_others_notes_say_of_a_pupil_is_listed_before_all_is_deleted(
    pupils: PupilsPage, held: Open, answers: Answers
) -> None:
    other = held.record.pupils[1]
    said = evolve(other, way_in=(("yes", f"laughs with {PLANTED_MARK}"),))
    held.sitting.change(lambda record: evolve(record, pupils=(record.pupils[0], said)))
    answers.choices[:] = ["Keep"]
    pupils.delete.click()
    (more,) = answers.more
    assert "These stay, so change them by hand:" in more
    assert "M." in more.rpartition("by hand:")[2]


def test_whoever_comes_second_can_only_read(
    held: Open, path: Path, clock: Clock, answers: Answers, qtbot: QtBot
) -> None:
    second = Open(path, clock, answers)
    assert second.sitting.read_only
    page = PupilsPage(second.sitting, answers, second.write)
    term = TermPage(second.sitting, lambda: march(24), second.write)
    for each in (page, term):
        qtbot.addWidget(each)
        each.show_record()
    for widget in (page.new_mark, page.add, page.delete, page.mark, page.place):
        assert not widget.isEnabled()
    assert all(field.isReadOnly() for field in page.fields.values())
    assert page.sheet.isEnabled(), "a paper can be made"
    assert all(field.isReadOnly() for field in term.fields.values())
    second.sitting.throw_away()


# --- the class


def cells(table: QTableWidget) -> list[list[str]]:
    found = [
        [table.item(row, column) for column in range(table.columnCount())]
        for row in range(table.rowCount())
    ]
    return [[item.text() if item else "" for item in row] for row in found]


@pytest.fixture
def whole(held: Open, qtbot: QtBot) -> ClassPage:
    page = ClassPage(held.sitting, held.write, held.go_to)
    qtbot.addWidget(page)
    page.show_record()
    return page


def test_who_answered_which_moment(whole: ClassPage, held: Open) -> None:
    assert [whole.story.itemText(n) for n in range(whole.story.count())] == ["The Lantern Boat"]
    found = dict(cells(whole.table))
    assert found[WAVE] == PLANTED_MARK
    assert found[BEADS] == "nobody yet. Change this moment?"
    assert whole.keep.toPlainText() == "keep the wave"
    assert not whole.line.isEnabled()
    assert whole.make.isEnabled()
    held.sitting.change(lambda record: evolve(record, tellings=record.tellings[2:]))
    whole.refresh()
    assert dict(cells(whole.table))[WAVE] == "nobody yet. Lengthen this wait?"


def test_from_a_moment_to_its_line(whole: ClassPage, held: Open) -> None:
    moments = [row[0] for row in cells(whole.table)]
    said = whole.said.text()
    whole.line.click()
    whole._go()
    assert held.gone_to == []
    whole.table.setCurrentCell(moments.index(WAVE), 0)
    assert whole.line.isEnabled()
    whole.line.click()
    assert (held.gone_to, whole.said.text()) == ([WAVE], said)
    whole.table.setCurrentCell(moments.index(BEADS), 1)
    item = whole.table.item(moments.index(BEADS), 1)
    assert item is not None
    whole.table.itemActivated.emit(item)
    assert held.gone_to == [WAVE, BEADS]
    assert whole.said.text().startswith("The story that is open has no such moment.")
    for row, moment in enumerate(moments):
        whole.table.setCurrentCell(row, 0)
        whole.line.click()
        assert held.gone_to[-1] == moment, "the first and the last, too"


def test_what_the_next_story_should_keep_is_kept(whole: ClassPage, held: Open) -> None:
    whole.keep.setPlainText(" keep the beads \n")
    assert held.record.next_story == "keep the beads"
    whole.make.click()
    assert held.named == ["class"]
    held.sitting.change(lambda record: evolve(record, tellings=(), next_story=""))
    whole.begin()
    assert (whole.keep.toPlainText(), whole.table.rowCount()) == ("", 0)
    assert not whole.make.isEnabled()


# --- the term


@pytest.fixture
def term(held: Open, qtbot: QtBot) -> TermPage:
    page = TermPage(held.sitting, lambda: march(24), held.write)
    qtbot.addWidget(page)
    page.show_record()
    page.begins.setText("01/03/2027")
    page.ends.setText("31/03/2027")
    page.begins.editingFinished.emit()
    return page


def test_a_term_by_pupil_story_and_dates(term: TermPage) -> None:
    assert [term.pupil.itemText(n) for n in range(term.pupil.count())] == [PLANTED_MARK, "M."]
    assert term.span == (march(1), march(31))
    assert (term.grid.columnCount(), term.notes.count()) == (3, 3)
    written = {key: field.toPlainText() for key, field in term.fields.items()}
    assert written == {
        "outcome": "finds the wave",
        "next_step": "wait longer",
        "parent_line": "At home.",
        "kept": "",
    }
    term.ends.setText("09/03/2027")
    term.ends.editingFinished.emit()
    assert term.grid.columnCount() == 1
    term.pupil.setCurrentIndex(1)
    assert not any(field.toPlainText() for field in term.fields.values())
    assert term.make.isEnabled()


@pytest.mark.parametrize(
    ("begins", "ends", "said"),
    [
        ("soon", "31/03/2027", "Write both dates as 10/03/2027."),
        ("01/03/2027", "", "Write both dates as 10/03/2027."),
        ("31/03/2027", "01/03/2027", "The last day is before the first one."),
        ("01/05/2027", "01/06/2027", "No notes between these dates yet."),
    ],
)
def test_dates_that_show_nothing(
    begins: str, ends: str, said: str, term: TermPage, held: Open
) -> None:
    term.begins.setText(begins)
    term.ends.setText(ends)
    term.ends.editingFinished.emit()
    assert term.said.text() == said
    assert (term.grid.columnCount(), term.notes.count()) == (0, 0)
    assert not term.review.isEnabled()
    spanned = said.startswith("No notes")
    assert term.make.isEnabled() is spanned
    assert all(field.isEnabled() is spanned for field in term.fields.values())
    term.make.click()
    assert held.named == (["term-sheet"] if spanned else [])


def test_one_day_is_a_span(term: TermPage) -> None:
    term.begins.setText("10/03/2027")
    term.ends.setText("10/03/2027")
    term.ends.editingFinished.emit()
    assert term.grid.columnCount() == 1
    assert term.said.text() == ""


@pytest.mark.parametrize("key", ["outcome", "next_step", "parent_line", "kept"])
def test_what_adults_add_is_the_term_s(key: str, term: TermPage, held: Open) -> None:
    before = held.record.pupils[0].terms[0]
    term.fields[key].setPlainText(" a word ")
    (after,) = held.record.pupils[0].terms
    kept = {name: getattr(before, name) for name in term.fields}
    assert {name: getattr(after, name) for name in term.fields} == {**kept, key: "a word"}
    assert (after.begins, after.ends, after.story) == (before.begins, before.ends, before.story)
    assert held.record.pupils[1].terms == ()


def test_only_ticked_notes_and_the_pupil_s_own(term: TermPage, held: Open) -> None:
    assert len(term._chosen_notes()) == 3
    term.notes.item(1).setCheckState(Qt.CheckState.Unchecked)
    chosen = term._chosen_notes()
    assert len(chosen) == 2
    assert term.notes.item(1).data(Qt.ItemDataRole.UserRole) not in chosen
    term.review.click()
    assert held.named == ["for-the-review"]


def test_pupils_that_change_leave_the_chosen_one(term: TermPage, held: Open) -> None:
    term.pupil.setCurrentIndex(1)
    held.sitting.change(lambda record: evolve(record, pupils=record.pupils[::-1]))
    term.refresh_lists()
    assert (term.pupil.currentText(), term.pupil.currentIndex()) == ("M.", 0)
    held.sitting.change(lambda record: evolve(record, pupils=()))
    term.begin()
    assert (term.pupil.currentText(), term.make.isEnabled()) == ("", False)


# --- slips


def page_of(held: Open, qtbot: QtBot, today: date) -> NotesPage:
    story = read_text(STORY).story
    assert story is not None
    page = NotesPage(held.sitting, held.answers, lambda: story, lambda: today)
    qtbot.addWidget(page)
    page.show_record()
    page.show()
    return page


@pytest.fixture
def notes(held: Open, qtbot: QtBot) -> NotesPage:
    return page_of(held, qtbot, march(24))


def listed(widget: QWidget) -> list[str]:
    return [widget.item(n).text() for n in range(widget.count())]  # type: ignore[attr-defined]


def test_a_day_with_a_telling_begins_with_it(held: Open, qtbot: QtBot) -> None:
    page = page_of(held, qtbot, march(10))
    assert page.telling.id == "t2"
    assert listed(page.pupils) == [f"{PLANTED_MARK} (place A): written", "M. (place B): written"]
    assert f"{WAVE}: answered" in listed(page.moments)


def test_a_telling_of_another_story_on_that_day_is_left_alone(held: Open, qtbot: QtBot) -> None:
    """Two stories in one day: notes go to the one that is open, never to the other's telling."""

    def elsewhere(record: ClassRecord) -> ClassRecord:
        told = [
            evolve(each, story="The Mill") if each.id == "t2" else each for each in record.tellings
        ]
        return evolve(record, tellings=tuple(told))

    held.sitting.change(elsewhere)
    before = held.record.telling("t2")
    page = page_of(held, qtbot, march(10))
    assert page.telling.id is None
    page.form.words.setPlainText("turned")
    assert held.record.telling("t2") == before
    made = held.record.tellings
    assert [each.story for each in made if each.date == march(10)].count("The Lantern Boat") == 1


def test_nothing_typed_is_no_telling(notes: NotesPage, held: Open) -> None:
    before = held.record
    assert notes.telling.id is None
    assert listed(notes.pupils) == [f"{PLANTED_MARK} (place A)", "M. (place B)"]
    notes.done.click()
    assert notes.pupils.currentRow() == 1
    notes.done.click()
    assert notes.said.text() == "That was the last pupil. Everything typed is kept."
    notes.delete.click()
    assert notes.said.text() == "This telling is not kept yet: there is nothing to delete."
    assert held.record == before


def test_the_first_letter_makes_the_telling(notes: NotesPage, held: Open) -> None:
    assert notes.form.look_for.text() == "a still body"
    notes.form.observer.setText("GH")
    assert len(held.record.tellings) == 3, "who saw it alone is no slip"
    notes.form.words.setPlainText("s")
    made = held.record.tellings[-1]
    assert (made.date, made.number, made.story) == (march(24), 4, "The Lantern Boat")
    (slip,) = made.slips
    assert (slip.pupil, slip.observer, [note.words for note in slip.notes]) == ("p1", "GH", ["s"])
    assert notes.telling.id == made.id
    assert notes.pupils.item(0).text().endswith(": written")
    assert notes.moments.item(0).text().endswith(": written")
    assert notes.said.text() == KEYS
    notes.next_pupil()
    assert notes.form.observer.text() == "GH", "most likely the same"
    assert notes.form.words.toPlainText() == ""
    assert len(held.record.tellings[-1].slips) == 1
    held.answers.choices[:] = [KEEP, DELETE]
    notes.delete.click()
    assert len(held.record.tellings) == 4
    notes.delete.click()
    assert [each.id for each in held.record.tellings] == ["t1", "t2", "t3"]
    assert notes.telling.id is None


def test_enter_goes_through_moments_and_pupils(held: Open, qtbot: QtBot) -> None:
    page = page_of(held, qtbot, march(10))
    count = page.moments.count()
    assert count > 1
    for row in range(1, count):
        QTest.keyClick(page.form.words, Qt.Key.Key_Return)
        assert page.moments.currentRow() == row
    page.next_moment()
    assert (page.pupils.currentRow(), page.moments.currentRow()) == (1, 0)
    assert page.focusWidget() is page.form.observer
    assert page.form.observer.selectedText() == "CD"
    page._step(page.pupils, 1)
    assert page.pupils.currentRow() == 1
    page._step(page.pupils, -1)
    page._step(page.pupils, -1)
    assert page.pupils.currentRow() == 0


def test_a_clock_that_is_behind_is_said(held: Open, qtbot: QtBot) -> None:
    """The last telling that is kept is of the 17th."""
    for today, said in ((2, True), (24, False)):
        page = page_of(held, qtbot, march(today))
        assert bool(page.telling.trouble.text()) is said
        assert page.telling.trouble.text() == clock_trouble(held.record, march(today))


def test_letters_of_the_lists_go_to_them(notes: NotesPage) -> None:
    buddies = {label.text(): label.buddy() for label in notes.findChildren(QLabel)}
    assert (buddies["&Pupils"], buddies["&Moments"]) == (notes.pupils, notes.moments)


def test_a_date_to_come_is_asked_about(notes: NotesPage) -> None:
    for typed, said in (
        ("25/03/2027", "This date is still to come. Is it meant?"),
        ("24/03/2027", ""),
    ):
        notes.telling.date.setText(typed)
        notes._telling_typed()
        assert notes.telling.trouble.text() == said


def test_without_pupils_nothing_can_be_typed(held: Open, qtbot: QtBot) -> None:
    held.sitting.change(lambda record: evolve(record, pupils=()))
    page = page_of(held, qtbot, march(24))
    assert page.said.text() == "Add the pupils first, under Pupils and ways in."
    assert not page.form.isEnabled()


# --- the slip's fields


NOTE = Note(
    *(WAVE, Answer.SEEN, True, "turned", Support.TOUCH, "8"),
    *(("anticipation", "an area of old"), "a bell rang"),
)
SLIP = Slip("p1", "AB", Alertness.ALERT, POSITIONS[0])


@pytest.fixture
def form(qtbot: QtBot) -> SlipForm:
    made = SlipForm()
    qtbot.addWidget(made)
    return made


def test_what_is_shown_is_what_is_given_back(form: SlipForm) -> None:
    told: list[bool] = []
    form.changed.connect(lambda: told.append(True))
    for slip, note in (
        (SLIP, NOTE),
        (Slip("p2"), Note(BEADS)),
        (evolve(SLIP, position="in a swing"), evolve(NOTE, before_cue=False, answer=None)),
    ):
        form.show_slip(slip)
        form.show_note(note, "a title", "")
        assert form.slip(slip.pupil, ()) == slip
        assert form.note() == note
        assert (form.moment.text(), form.look_for.text()) == ("a title", "–")
    assert told == [], "what is shown is not told"
    form.words.setPlainText("looked")
    form.observer.setText("CD")
    form.answer.boxes[0].click()
    assert len(told) >= 3
    assert (form.note().words, form.slip("p1", ()).observer) == ("looked", "CD")


def test_enter_goes_on_and_with_shift_begins_a_line(form: SlipForm) -> None:
    on: list[bool] = []
    form.next_wanted.connect(lambda: on.append(True))
    form.show()
    QTest.keyClick(form.observer, Qt.Key.Key_Return)
    assert on == [], "from what holds for the pupil to the moment"
    assert form.focusWidget() in form.answer.boxes
    QTest.keyClick(form.words, Qt.Key.Key_Return)
    QTest.keyClick(form.answer.boxes[1], Qt.Key.Key_Enter)
    QTest.keyClick(form.learning.boxes[0], Qt.Key.Key_Return)
    assert len(on) == 3
    QTest.keyClick(form.words, Qt.Key.Key_Return, Qt.KeyboardModifier.ShiftModifier)
    assert len(on) == 3
    assert form.words.toPlainText() == "\n"
    form.set_read_only(True)
    assert not form.isEnabled()
