"""Locking, saving and the slip's fields by themselves, each limit by hand."""

from datetime import date
from pathlib import Path

import pytest
from attrs import evolve
from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from tapscore.gui.records.lock_watch import LockWatch
from tapscore.gui.records.passphrase_fields import NewPassphrase
from tapscore.gui.records.sitting import CHANGED_ELSEWHERE, Sitting
from tapscore.gui.records.tellings import TellingFields, put
from tapscore.gui.records.tick_row import TickRow
from tapscore.records import record_file
from tapscore.records.model import ClassRecord, KeptTelling
from tapscore.records.record_file import open_record
from tapscore.records.sealed import SealError
from tests.gui.records.conftest import Clock
from tests.records.class_records import PASSPHRASE

# --- when it locks


class Watching:
    def __init__(self, clock: Clock) -> None:
        self.clock = clock
        self.watch = LockWatch(running=lambda: clock.running, wall=lambda: clock.wall)
        self.due: list[float] = []
        self.watch.due.connect(lambda: self.due.append(clock.running))
        self.watch.start()

    def after(self, running: float, wall: float | None = None) -> bool:
        """Whether it is due when so much time has passed."""
        self.clock.pass_on(running, wall)
        before = len(self.due)
        self.watch.look()
        return len(self.due) > before


@pytest.fixture
def watching(qapp: object, clock: Clock) -> Watching:
    return Watching(clock)


def test_ten_minutes_without_a_touch(watching: Watching) -> None:
    assert watching.watch._timer.interval() == 1000
    for _ in range(599):
        assert not watching.after(1.0)
    assert watching.after(1.0)


@pytest.mark.parametrize(
    ("kind", "touches"),
    [
        (QEvent.Type.KeyPress, True),
        (QEvent.Type.MouseButtonPress, True),
        (QEvent.Type.Wheel, True),
        (QEvent.Type.TouchBegin, True),
        (QEvent.Type.InputMethod, True),
        (QEvent.Type.Paint, False),
        (QEvent.Type.Timer, False),
    ],
)
def test_what_counts_as_somebody_there(
    kind: QEvent.Type, touches: bool, watching: Watching
) -> None:
    watching.watch.idle_minutes = 1
    for _ in range(4):
        assert not watching.after(12.0)
    assert not watching.watch.eventFilter(QObject(), QEvent(kind)), "nothing is kept from anybody"
    assert watching.after(12.0) is not touches
    if touches:
        for _ in range(3):
            assert not watching.after(12.0)
        assert watching.after(12.0)


@pytest.mark.parametrize(
    ("running", "wall", "due"),
    [
        (20.0, 20.0, False),
        (21.0, 21.0, True),  # a clock that goes on in sleep
        (1.0, 21.0, False),
        (1.0, 22.0, True),  # one that stands still
        (1.0, -3600.0, False),  # set back by hand
    ],
)
def test_a_computer_that_slept(running: float, wall: float, due: bool, watching: Watching) -> None:
    assert watching.after(running, wall) is due
    assert not watching.after(1.0), "once"


def test_sleep_that_is_told_before_it_comes(watching: Watching) -> None:
    watching.watch.sleeps(False)
    assert watching.due == []
    watching.watch.sleeps(True)
    assert len(watching.due) == 1
    watching.watch.stop()
    watching.watch.sleeps(True)
    assert len(watching.due) == 1


# --- a sitting


class Sat:
    """A sitting, with what it tells."""

    def __init__(self, clock: Clock) -> None:
        self.sitting = Sitting(watch=LockWatch(running=lambda: clock.running))
        self.told: list[str] = []
        sitting = self.sitting
        sitting.said.connect(self.told.append)
        for name in ("opened", "leaving", "locked", "changed"):
            getattr(sitting, name).connect(lambda name=name: self.told.append(name))

    def change(self, label: str) -> None:
        self.sitting.change(lambda record: evolve(record, label=label))


@pytest.fixture
def sat(qapp: object, clock: Clock) -> Sat:
    return Sat(clock)


def label_on_disc(path: Path) -> str:
    found = open_record(path, PASSPHRASE)
    found.close()
    return found.record.label


def test_opened_changed_saved_and_closed(sat: Sat, path: Path) -> None:
    sitting = sat.sitting
    assert not sitting.is_open
    assert sitting.read_only == ""
    assert sitting.close(), "nothing to close"
    sitting.open(path, PASSPHRASE)
    assert sitting.watch._timer.isActive()
    sat.change("Oak")
    assert sitting._timer.isActive()
    assert sitting._timer.interval() == 1500
    sat.change("Oak")
    assert sitting.close()
    assert sat.told == ["opened", "changed", "changed", "leaving", "Saved.", "locked"]
    assert not sitting.watch._timer.isActive()
    assert not sitting._timer.isActive()
    assert sitting.path is None
    assert label_on_disc(path) == "Oak"


def test_a_change_that_changes_nothing_is_not_told(sat: Sat, path: Path) -> None:
    sat.sitting.open(path, PASSPHRASE)
    sat.told.clear()
    sat.sitting.change(lambda record: record)
    assert sat.told == []
    assert not sat.sitting._timer.isActive()
    assert sat.sitting.save()
    assert sat.told == [], "nothing was unsaved"


def test_locked_it_holds_no_words_and_opens_again(sat: Sat, path: Path) -> None:
    sat.sitting.open(path, PASSPHRASE)
    sat.change("Oak")
    sat.sitting.lock()
    assert not sat.sitting.is_open
    assert sat.sitting.path == path, "it is offered first"
    assert label_on_disc(path) == "Oak"
    sat.sitting.lock()
    sat.sitting.open(path, PASSPHRASE)
    assert sat.sitting.record.label == "Oak"


def test_what_could_not_be_saved_is_sealed_and_comes_first(
    sat: Sat, path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    sitting = sat.sitting
    sitting.open(path, PASSPHRASE)
    sat.change("Oak")

    def gone(*_: object) -> None:
        raise OSError(5, "the drive is gone")

    with monkeypatch.context() as away:
        away.setattr(record_file, "write_whole_bytes", gone)
        assert not sitting.save()
        assert sat.told[-1].startswith(
            "Not saved: the drive is gone. What you typed is still here."
        )
        assert not sitting.close()
        assert sitting.is_open, "it stays open"
        file = sitting.file
        assert file is not None
        sitting.lock()
    assert (file.record.label, file.key.secret) == ("", b"")
    assert not sitting.close(), "there is something to lose"
    with pytest.raises(SealError, match=r"Open willow.classrecord first"):
        sitting.open(tmp_path / "other.classrecord", PASSPHRASE)
    with pytest.raises(OSError, match=r"Open willow.classrecord first"):
        sitting.begin(tmp_path / "other.classrecord", PASSPHRASE, ClassRecord("x"))
    with pytest.raises(SealError):
        sitting.open(path, "another passphrase altogether")
    assert not sitting.is_open
    sitting.open(path, PASSPHRASE)
    assert sitting.record.label == "Oak"
    assert sitting.close()
    assert label_on_disc(path) == "Oak"


def test_thrown_away_on_purpose(sat: Sat, path: Path) -> None:
    before = label_on_disc(path)
    sat.sitting.open(path, PASSPHRASE)
    sat.change("Oak")
    sat.sitting.throw_away()
    assert not sat.sitting.is_open
    assert sat.sitting.path is None
    assert sat.sitting.close()
    assert label_on_disc(path) == before


def test_whoever_comes_second_changes_nothing(sat: Sat, path: Path, clock: Clock) -> None:
    sat.sitting.open(path, PASSPHRASE)
    second = Sat(clock)
    second.sitting.open(path, PASSPHRASE)
    assert second.sitting.read_only
    second.change("Oak")
    assert second.told == ["opened"]
    assert second.sitting.save()
    assert second.sitting.close()
    sat.sitting.close()


def test_a_file_written_elsewhere_is_not_saved_over(sat: Sat, path: Path) -> None:
    sat.sitting.open(path, PASSPHRASE)
    path.write_bytes(path.read_bytes() + b"x")
    sat.change("Oak")
    assert not sat.sitting.save()
    assert sat.told[-1] == CHANGED_ELSEWHERE
    assert sat.sitting.change_passphrase("a new and long passphrase") == CHANGED_ELSEWHERE
    sat.sitting.throw_away()


# --- a new passphrase


def test_a_passphrase_is_taken_twice_the_same(qtbot: QtBot) -> None:
    fields = NewPassphrase()
    qtbot.addWidget(fields)
    fields.first.setText("short")
    typed, why = fields.taken()
    assert typed == ""
    assert why
    fields.first.setText(PASSPHRASE)
    fields.again.setText(PASSPHRASE + " ")
    assert fields.taken() == ("", "The two are not the same. Type them again.")
    fields.again.setText(PASSPHRASE)
    assert fields.taken() == (PASSPHRASE, "")
    fields.clear()
    assert (fields.first.text(), fields.again.text()) == ("", "")


# --- boxes to tick by a letter


@pytest.fixture
def row(qtbot: QtBot) -> TickRow:
    made = TickRow("Answer", ("look", "lean", "sound"), own=("help",))
    qtbot.addWidget(made)
    made.show()
    return made


def ticks(row: TickRow) -> list[tuple[str, ...]]:
    return [row.chosen, row.ticked]


def test_letters_tick_one_and_take_the_tick_away(row: TickRow) -> None:
    """l for look; lean has its e, sound its s; help stands for itself, by h."""
    told: list[bool] = []
    row.changed.connect(lambda: told.append(True))
    assert [box.accessibleDescription() for box in row.boxes] == [
        "key l",
        "key e",
        "key s",
        "key h",
    ]
    assert [box.text() for box in row.boxes] == ["&look", "l&ean", "&sound", "&help"]
    assert row.boxes[1].accessibleName() == "Answer: lean"
    QTest.keyClick(row.boxes[0], Qt.Key.Key_E)
    assert ticks(row) == [("lean",), ()]
    QTest.keyClick(row.boxes[1], Qt.Key.Key_H)
    QTest.keyClick(row.boxes[3], Qt.Key.Key_S)
    assert ticks(row) == [("sound",), ("help",)], "one choice, and what is apart"
    QTest.keyClick(row.boxes[2], Qt.Key.Key_S)
    assert ticks(row) == [(), ("help",)]
    assert len(told) == 4
    QTest.keyClick(row.boxes[2], Qt.Key.Key_L, Qt.KeyboardModifier.AltModifier)
    assert ticks(row) == [(), ("help",)], "with Alt letters belong to the page"


def test_several_may_hold_where_that_is_said(qtbot: QtBot) -> None:
    row = TickRow("Answer", ("look", "lean"), several=True)
    qtbot.addWidget(row)
    for key in (Qt.Key.Key_L, Qt.Key.Key_E):
        QTest.keyClick(row.boxes[0], key)
    assert row.chosen == ("look", "lean")


def test_arrows_go_round_and_one_box_is_the_tab_key_s(row: TickRow) -> None:
    def stop() -> int:
        policies = [box.focusPolicy() is Qt.FocusPolicy.StrongFocus for box in row.boxes]
        assert policies.count(True) == 1
        return policies.index(True)

    assert stop() == 0
    for key, then in (
        (Qt.Key.Key_Right, 1),
        (Qt.Key.Key_Left, 0),
        (Qt.Key.Key_Left, 3),
        (Qt.Key.Key_Right, 0),
    ):
        QTest.keyClick(row.boxes[stop()], key)
        assert stop() == then
    row.show_chosen(("lean", "help"))
    assert stop() == 1
    assert (row.chosen, row.ticked) == (("lean",), ("help",))
    row.show_chosen(())
    assert stop() == 0
    assert row.chosen == row.ticked == ()


# --- a telling, typed once


TODAY = date(2026, 3, 24)


def telling(number: int, when: date, held: str = "") -> KeptTelling:
    return KeptTelling(f"t{number}", when, number, "Boat", held, ())


RECORD = ClassRecord("Oak")


@pytest.fixture
def fields(qtbot: QtBot) -> TellingFields:
    made = TellingFields()
    qtbot.addWidget(made)
    return made


def test_a_new_telling_has_today_s_date_and_the_next_number(fields: TellingFields) -> None:
    record = RECORD
    for number in (1, 2):
        record = put(record, telling(number, date(2026, 3, number), f"room {number}"))
    fields.show_tellings(record, None)
    assert fields.which.itemText(0) == "a new telling"
    assert "Boat" in fields.which.itemText(1)
    assert ", 2, Boat" in fields.which.itemText(1), "the last one first"
    assert fields.id is None
    fields.show_telling(record, "Boat", TODAY)
    assert (fields.date.text(), fields.number.text(), fields.there.text()) == (
        *("24/03/2026", "3", ""),
    )
    fields.show_tellings(record, "t1")
    assert fields.id == "t1"
    fields.show_telling(record, "Boat", TODAY)
    assert (fields.date.text(), fields.number.text(), fields.there.text()) == (
        *("01/03/2026", "1", "room 1"),
    )
    made = fields.telling(record, "Boat", ())
    assert put(record, made) is record, "nothing was changed"


@pytest.mark.parametrize(
    ("typed", "number", "said"),
    [
        ("7", 7, ""),
        ("", None, ""),
        ("99999", 99_999, ""),
        ("100000", 1, "Write the telling’s number in figures, such as 3."),
        ("three", 1, "Write the telling’s number in figures, such as 3."),
        ("٣", 1, "Write the telling’s number in figures, such as 3."),
        ("-2", 1, "Write the telling’s number in figures, such as 3."),
    ],
)
def test_a_number_that_can_not_be_read_holds_nothing_up(
    typed: str, number: int | None, said: str, fields: TellingFields
) -> None:
    fields.show_tellings(RECORD, None)
    fields.show_telling(RECORD, "Boat", TODAY)
    fields.number.setText(typed)
    made = fields.telling(RECORD, "Boat", ("wave",))
    assert (made.number, made.date, made.moments) == (number, TODAY, ("wave",))
    assert fields.trouble.text() == said
    assert fields.trouble.isHidden() is not bool(said)


def test_a_date_that_can_not_be_read_counts_as_the_last_one(fields: TellingFields) -> None:
    fields.show_tellings(RECORD, None)
    fields.show_telling(RECORD, "Boat", TODAY)
    fields.date.setText("soon")
    fields.there.setText("  AB, CD ")
    made = fields.telling(RECORD, "Boat", ())
    assert made.date == TODAY
    assert made.there == "AB, CD"
    assert "Until then it counts as" in fields.trouble.text()
    fields.say("")
    fields.date.setText("25/03/2026")
    assert fields.telling(RECORD, "Boat", ()).date == date(2026, 3, 25)
