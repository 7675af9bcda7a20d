"""Opening, beginning, keeping, handing over: what is needed first, what is refused and said."""

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from attrs import evolve
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLineEdit
from pytestqt.qtbot import QtBot

from tapscore.exports.written.document import WrittenDocument
from tapscore.gui.records.door import RecordDoor
from tapscore.gui.records.keeping_page import GO_ON, KEEP_THEM, LEAVE_THEM, STOP, KeepingPage
from tapscore.gui.records.lock_watch import LockWatch
from tapscore.gui.records.sitting import Sitting
from tapscore.records.model import ClassRecord
from tapscore.records.record_file import SUFFIX, open_record
from tapscore.storyfile.read import read_text
from tests.gui.answers import Answers
from tests.gui.records.conftest import Clock
from tests.gui.records.test_record_pages_by_hand import STORY
from tests.records.class_records import PASSPHRASE, PLANTED_MARK, march

OTHER = "seven dry leaves turn"


class Outside:
    """The page one sees while no record is open."""

    def __init__(self, folder: Path, clock: Clock, answers: Answers, qtbot: QtBot) -> None:
        self.folder, self.answers = folder, answers
        self.sitting = Sitting(watch=LockWatch(running=lambda: clock.running))
        self.page = RecordDoor(self.sitting, answers, folder)
        qtbot.addWidget(self.page)
        self.page.show()
        self.page.refresh()

    @property
    def names(self) -> list[str]:
        return [self.page.list.item(row).text() for row in range(self.page.list.count())]

    def begin(self, label: str, until: str, first: str, again: str) -> str:
        page = self.page
        page.label.setText(label)
        page.keep_until.setText(until)
        page.new_passphrase.first.setText(first)
        page.new_passphrase.again.setText(again)
        page.begin_here.click()
        return page.said.text()


@pytest.fixture
def outside(folder: Path, clock: Clock, answers: Answers, qtbot: QtBot) -> Iterator[Outside]:
    made = Outside(folder, clock, answers, qtbot)
    yield made
    made.sitting.throw_away()


def test_without_a_record_one_is_begun(outside: Outside) -> None:
    page = outside.page
    assert outside.names == []
    assert page.said.text() == "There is no record in the usual folder yet: begin one."
    assert page.focusWidget() is page.label
    page.open.click()
    assert page.said.text() == "Choose a record first."
    for line, name in ((page.label, "Class and year"), (page.keep_until, "Keep until")):
        assert line.accessibleName() == name
        assert line.isVisible()
        assert page.isAncestorOf(line)
    page.refresh("It locked.")
    assert page.said.text() == "It locked."


@pytest.mark.parametrize(
    ("label", "until", "first", "again", "said", "field"),
    [
        (" ", "", OTHER, OTHER, "Write class and year first", "label"),
        ("Oak", "soon", OTHER, OTHER, "Write the date until when to keep it", "keep_until"),
        ("Oak", "", "", "", "", "first"),
        ("Oak", "", OTHER, OTHER + "s", "The two are not the same", "first"),
    ],
)
def test_what_a_new_record_needs_is_said_where_it_is(
    label: str, until: str, first: str, again: str, said: str, field: str, outside: Outside
) -> None:
    text = outside.begin(label, until, first, again)
    assert text
    assert said in text
    fields = {"first": outside.page.new_passphrase.first}
    wanted: QLineEdit = fields.get(field) or getattr(outside.page, field)
    assert outside.page.focusWidget() is wanted
    assert list(outside.folder.iterdir()) == []
    assert not outside.sitting.is_open


@pytest.mark.parametrize(
    ("label", "until", "name", "kept"),
    [
        ("Oak, 2026/27", "31/08/2027", "Oak- 2026-27", date(2027, 8, 31)),
        (" Oak ", "", "Oak", None),
        ("???", "", "class", None),
    ],
)
def test_a_record_is_begun(
    label: str, until: str, name: str, kept: date | None, outside: Outside
) -> None:
    assert outside.begin(label, until, OTHER, OTHER) == ""
    assert [each.name for each in outside.folder.glob(f"*{SUFFIX}")] == [f"{name}{SUFFIX}"]
    assert outside.sitting.record == ClassRecord(label.strip(), kept)
    assert outside.page.new_passphrase.first.text() == ""
    outside.sitting.close()
    assert "is there already" in outside.begin(label, until, OTHER, OTHER)


def test_begun_elsewhere_it_has_its_own_ending(outside: Outside, tmp_path: Path) -> None:
    page = outside.page
    page.label.setText("Oak")
    page.new_passphrase.first.setText(OTHER)
    page.new_passphrase.again.setText(OTHER)
    outside.answers.files[:] = [None, tmp_path / "mine"]
    page.begin_elsewhere.click()
    assert not outside.sitting.is_open
    page.begin_elsewhere.click()
    assert outside.sitting.path == tmp_path / f"mine{SUFFIX}"


def test_the_right_passphrase_opens(outside: Outside, path: Path) -> None:
    page = outside.page
    page.refresh()
    assert outside.names == ["willow"]
    assert page.list.currentRow() == 0
    assert page.focusWidget() is page.passphrase
    assert page.passphrase.echoMode() is not QLineEdit.EchoMode.Normal
    page.passphrase.setText("another altogether")
    QTest.keyClick(page.passphrase, Qt.Key.Key_Return)
    assert page.said.text().startswith(f"{path.name}: ")
    assert (page.passphrase.text(), outside.sitting.is_open) == ("", False)
    assert page.focusWidget() is page.passphrase
    page.passphrase.setText(PASSPHRASE)
    page.open.click()
    assert outside.sitting.is_open
    assert (page.said.text(), page.passphrase.text()) == ("", "")
    outside.sitting.lock()
    page.refresh()
    assert outside.names == ["willow"], "the one that was locked, once"


def test_a_record_from_elsewhere_comes_first(outside: Outside, path: Path, tmp_path: Path) -> None:
    page = outside.page
    page.refresh()
    other, none = tmp_path / f"away{SUFFIX}", tmp_path / f"none{SUFFIX}"
    other.write_bytes(path.read_bytes())
    none.write_bytes(b"words")
    outside.answers.files[:] = [None, none, tmp_path / f"gone{SUFFIX}", other]
    page.elsewhere.click()
    assert outside.names == ["willow"]
    for file in (none, tmp_path / f"gone{SUFFIX}"):
        page.elsewhere.click()
        assert page.said.text().startswith(f"{file.name}: ")
        assert outside.names == ["willow"]
    page.elsewhere.click()
    assert (outside.names, page.said.text()) == (["away", "willow"], "")
    assert page.list.currentRow() == 0
    page.passphrase.setText(PASSPHRASE)
    page.open.click()
    assert outside.sitting.path == other


# --- kept, brought in, handed over


class Inside:
    def __init__(self, path: Path, clock: Clock, answers: Answers, qtbot: QtBot) -> None:
        story = read_text(STORY).story
        assert story is not None
        self.sitting = Sitting(watch=LockWatch(running=lambda: clock.running))
        self.sitting.open(path, PASSPHRASE)
        self.answers = answers
        self.papers: list[str] = []
        self.replaced: list[bool] = []
        self.page = KeepingPage(
            self.sitting, answers, lambda: story, lambda: march(24), self._write
        )
        qtbot.addWidget(self.page)
        self.page.replaced.connect(lambda: self.replaced.append(True))
        self.page.begin()

    def _write(self, _: WrittenDocument, name: str) -> None:
        self.papers.append(name)

    @property
    def record(self) -> ClassRecord:
        return self.sitting.record

    @property
    def said(self) -> str:
        return self.page.said.text()


@pytest.fixture
def inside(path: Path, clock: Clock, answers: Answers, qtbot: QtBot) -> Iterator[Inside]:
    made = Inside(path, clock, answers, qtbot)
    yield made
    made.sitting.throw_away()


@pytest.mark.parametrize(
    ("label", "until", "kept", "said"),
    [
        (" Oak ", "01/02/2028", ("Oak", date(2028, 2, 1)), ""),
        ("", "", ("Willow, spring", None), ""),
        ("Oak", "soon", ("Willow, spring", date(2027, 8, 31)), "Write the date until when"),
    ],
)
def test_what_is_kept_of_the_record_itself(
    label: str, until: str, kept: tuple[str, date | None], said: str, inside: Inside
) -> None:
    page = inside.page
    assert (page.label.text(), page.until.text()) == ("Willow, spring", "31/08/2027")
    page.label.setText(label)
    page.until.setText(until)
    page.until.editingFinished.emit()
    assert (inside.record.label, inside.record.keep_until) == kept
    assert inside.said.startswith(said)


@pytest.mark.parametrize("button", ["bring", "table", "everything", "copy", "take"])
def test_where_no_file_is_chosen_nothing_is_done(button: str, inside: Inside) -> None:
    before, said = inside.record, inside.said
    inside.answers.files[:] = [None]
    getattr(inside.page, button).click()
    assert inside.answers.files == []
    assert (inside.record, inside.said, inside.replaced) == (before, said, [])


def test_everything_readable_in_a_folder(inside: Inside, tmp_path: Path) -> None:
    folder = tmp_path / "all"
    folder.mkdir()
    inside.answers.files[:] = [folder]
    inside.page.everything.click()
    names = sorted(each.name for each in folder.iterdir())
    assert names
    assert inside.said.startswith("Made ")
    assert all(name in inside.said for name in names)


def test_a_copy_opens_with_the_same_passphrase(inside: Inside, tmp_path: Path) -> None:
    copy = tmp_path / f"copy{SUFFIX}"
    inside.answers.files[:] = [copy, tmp_path / "nowhere" / "x"]
    inside.page.copy.click()
    assert inside.said == f"Saved {copy.name}, with the same passphrase."
    found = open_record(copy, PASSPHRASE)
    assert found.record == inside.record
    found.close()
    inside.page.copy.click()
    assert inside.said.startswith("x was not saved: ")


TABLE = """\
Date,Pupil,Moment,Answer,Seen
24/03/2027,M.,wait after “Splash”,answered,reached
24/03/2027,Qx7,wait after “Splash”,,smiled
25/03/2027,Qx7,wait after “Splash”,came away,
24/03/2027,Z.,wait after “Splash”,,x
"""


def test_notes_are_kept_when_that_is_said(inside: Inside, tmp_path: Path) -> None:
    table = tmp_path / "notes.csv"
    inside.answers.files[:] = [tmp_path / "gone.csv", table, table, table]
    inside.page.bring.click()
    assert inside.said.startswith("gone.csv: ")
    table.write_text("nothing,of,this\n1,2,3\n", encoding="utf-8")
    before = inside.record
    inside.page.bring.click()
    assert inside.said
    assert inside.answers.asked == []
    inside.answers.choices[:] = [LEAVE_THEM, KEEP_THEM]
    table.write_text(TABLE, encoding="utf-8")
    inside.page.bring.click()
    assert (inside.record, inside.replaced) == (before, [])
    assert inside.answers.asked == ["This was understood."], inside.said
    assert inside.answers.more[0].splitlines() == [
        "2027-03-24, telling 4, M., wait after “Splash”: answered “reached”",
        "2027-03-24, telling 4, Qx7, wait after “Splash”: “smiled”",
        "2027-03-25, telling 5, Qx7, wait after “Splash”: came away",
        "Row 5, Pupil’s initials: No pupil has this mark. In the record: Qx7, M.",
    ]
    inside.page.bring.click()
    assert inside.replaced == [True]
    assert inside.said.startswith("The notes are kept.")
    assert [told.date for told in inside.record.tellings[-2:]] == [march(24), march(25)]


def tick(page: KeepingPage, *rows: int) -> None:
    for row in rows:
        page.chosen.item(row).setCheckState(Qt.CheckState.Checked)


@pytest.mark.parametrize(
    ("ticked", "first", "again", "said"),
    [
        ((), OTHER, OTHER, "Tick the pupils first."),
        ((), "", "", "Tick the pupils first."),
        ((0,), "", "", "letters or more"),
        ((0,), OTHER, "", "The two are not the same."),
    ],
)
def test_nobody_is_handed_over_without_a_tick_and_a_passphrase(
    ticked: tuple[int, ...], first: str, again: str, said: str, inside: Inside
) -> None:
    page = inside.page
    tick(page, *ticked)
    page.new.first.setText(first)
    page.new.again.setText(again)
    page.over.click()
    assert said in inside.said
    assert inside.papers == []
    assert inside.answers.asked == []


def test_handed_over_with_a_receipt(inside: Inside, tmp_path: Path) -> None:
    page, over = inside.page, tmp_path / f"over{SUFFIX}"
    speaks = evolve(inside.record.pupils[1], way_in=(("yes", f"looks at {PLANTED_MARK}"),))
    inside.sitting.change(lambda record: evolve(record, pupils=(record.pupils[0], speaks)))
    page.show_record()
    assert [page.chosen.item(n).text() for n in range(page.chosen.count())] == [PLANTED_MARK, "M."]
    tick(page, 1)
    page.new.first.setText(OTHER)
    page.new.again.setText(OTHER)
    inside.answers.choices[:] = [STOP, GO_ON, GO_ON]
    page.over.click()
    assert inside.answers.asked == ["Some of it speaks of other pupils."]
    assert (inside.papers, over.exists()) == ([], False)
    inside.answers.files[:] = [None, over]
    page.over.click()
    assert (inside.papers, over.exists()) == ([], False)
    page.over.click()
    assert inside.papers == ["receipt"]
    assert inside.said == f"Made {over.name}. Tell the passphrase by word of mouth."
    assert page.new.first.text() == ""
    theirs = open_record(over, OTHER)
    assert [pupil.mark for pupil in theirs.record.pupils] == ["M."]
    theirs.close()
    assert len(inside.record.pupils) == 2, "here they stay"


def test_a_record_is_taken_in(inside: Inside, clock: Clock, folder: Path) -> None:
    page, theirs = inside.page, folder / f"theirs{SUFFIX}"
    other = Sitting(watch=LockWatch(running=lambda: clock.running))
    pupil = evolve(inside.record.pupils[1], id="p9", mark="T.")
    other.begin(theirs, OTHER, ClassRecord("Oak", pupils=(pupil,)))
    other.close()
    inside.answers.files[:] = [theirs, theirs]
    page.their_passphrase.setText("not this one at all")
    page.take.click()
    assert inside.said.startswith(f"{theirs.name}: ")
    assert (page.their_passphrase.text(), inside.replaced) == ("", [])
    page.their_passphrase.setText(OTHER)
    page.take.click()
    assert [each.mark for each in inside.record.pupils] == [PLANTED_MARK, "M.", "T."]
    assert (inside.replaced, inside.said) == ([True], "Everybody in it was taken in.")


def test_no_button_of_the_page_takes_enter(inside: Inside) -> None:
    page = inside.page
    buttons = (page.bring, page.table, page.everything, page.copy, page.over, page.take)
    assert not any(button.autoDefault() for button in (*buttons, page.changing))
    assert all(page.isAncestorOf(button) for button in buttons)


def test_where_no_record_is_there_is_nothing_to_choose_and_enter(
    outside: Outside, folder: Path, tmp_path: Path
) -> None:
    page = outside.page
    shown = (page.list, page.passphrase, page.open)
    assert not any(part.isVisible() for part in shown)
    assert page.elsewhere.isVisible()
    outside.begin("Willow", "", PASSPHRASE, PASSPHRASE)
    outside.sitting.lock()
    page.refresh()
    assert all(part.isVisible() for part in shown)
    (kept,) = folder.glob(f"*{SUFFIX}")
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    kept.rename(elsewhere / kept.name)
    outside.sitting.throw_away()
    page.refresh()
    assert not any(part.isVisible() for part in shown)
    outside.answers.files.append(elsewhere / kept.name)
    page.elsewhere.click()
    assert all(part.isVisible() for part in shown)
    assert outside.names == [kept.stem]
    assert page.list.currentRow() == 0
