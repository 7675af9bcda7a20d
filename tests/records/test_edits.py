"""Changes to a class record: what stands there before and after, by hand."""

from datetime import date

import pytest
from attrs import evolve

from tapscore.model.observing import Alertness, Answer, Support
from tapscore.records.edits import (
    clock_trouble,
    keeping_reminder,
    mark_trouble,
    new_id,
    next_number,
    reviews_due,
    telling_order,
    term_of,
    with_note,
    with_pupil,
    with_slip,
    with_telling,
    with_term,
    without_pupil,
    without_telling,
)
from tapscore.records.model import ClassRecord, KeptTelling, Note, Pupil, Slip, Term
from tapscore.records.said import NoteSaid, moment_order, stories, within
from tests.records.class_records import BEADS, MOMENTS, REFRAIN, WAVE, march, small_record

BOAT = "The Lantern Boat"


@pytest.mark.parametrize(
    ("mark", "of", "trouble"),
    [
        ("K.", "", ""),
        ("  ", "", "Write initials"),
        ("abcdefghijkl", "", ""),
        ("abcdefghijklm", "", "12 letters at most"),
        # runs of spaces count as one
        ("abcde     fghijk", "", ""),
        ("qx7", "", "“qx7” is taken"),
        (" QX7 ", "p2", "“QX7” is taken"),
        ("qx7", "p1", ""),
    ],
)
def test_a_mark_is_short_and_one_pupils(mark: str, of: str, trouble: str) -> None:
    said = mark_trouble(small_record(), mark, of)
    assert trouble in said
    assert bool(said) is bool(trouble)


def test_a_pupil_added_changed_and_taken_out_with_every_slip() -> None:
    record = small_record()
    more = with_pupil(record, Pupil("p3", "N."))
    assert [pupil.mark for pupil in more.pupils] == ["Qx7", "M.", "N."]
    changed = with_pupil(record, Pupil("p1", "Z."))
    assert [pupil.mark for pupil in changed.pupils] == ["Z.", "M."]
    without = without_pupil(record, "p1")
    assert [pupil.id for pupil in without.pupils] == ["p2"]
    assert [[slip.pupil for slip in telling.slips] for telling in without.tellings] == [["p2"]] * 3
    assert new_id() != new_id()
    assert len(new_id()) == 12


def test_tellings_stand_by_date_and_number() -> None:
    record = small_record()

    def days(some: ClassRecord) -> list[tuple[int, int | None]]:
        return [(telling.date.day, telling.number) for telling in some.tellings]

    early = with_telling(record, KeptTelling("new", march(1), 9, BOAT))
    assert days(early) == [(1, 9), (3, 1), (10, 2), (17, 3)]
    alike = with_telling(record, KeptTelling("new", march(10), None, BOAT))
    assert days(alike) == [(3, 1), (10, None), (10, 2), (17, 3)]
    moved = with_telling(record, evolve(record.tellings[0], date=march(30)))
    assert days(moved) == [(10, 2), (17, 3), (30, 1)]
    assert days(without_telling(record, "t2")) == [(3, 1), (17, 3)]
    assert telling_order(KeptTelling("a", march(2), None, BOAT)) == (march(2), 0)
    assert next_number(record, BOAT) == 4
    assert next_number(record, "Another") == 1
    assert (
        next_number(with_telling(record, KeptTelling("x", march(4), None, "Another")), "Another")
        == 1
    )


def test_slips_and_notes() -> None:
    record = small_record()
    note = Note(REFRAIN, Answer.SEEN)
    put = with_slip(record, "t2", Slip("p2", "EF", notes=(note, Note(WAVE))))
    slip = put.tellings[1].slip("p2")
    assert slip == Slip("p2", "EF", notes=(note,))
    assert put.tellings[1].slip("p1") == record.tellings[1].slip("p1")
    assert (put.tellings[0], put.tellings[2]) == (record.tellings[0], record.tellings[2])
    # nothing but who saw it is no slip; a position alone is one
    assert with_slip(record, "t2", Slip("p2", "EF")).tellings[1].slip("p2") is None
    placed = with_slip(record, "t2", Slip("p2", "EF", position="in a frame or chair"))
    assert placed.tellings[1].slip("p2") is not None
    three = with_note(with_note(Slip("p1"), Note(BEADS), MOMENTS), note, MOMENTS)
    assert [each.moment for each in three.notes] == [REFRAIN, BEADS]
    strange = with_note(with_note(three, Note("gone"), MOMENTS), Note(WAVE), MOMENTS)
    assert [each.moment for each in strange.notes] == [REFRAIN, WAVE, BEADS, "gone"]
    again = with_note(strange, evolve(note, answer=Answer.AWAY), MOMENTS)
    assert [each.answer for each in again.notes] == [Answer.AWAY, None, None, None]


SPRING = Term(march(1), march(31), BOAT, "finds the wave")


def test_what_is_written_of_a_term() -> None:
    summer = Term(date(2027, 5, 1), date(2027, 7, 1), BOAT, next_step="wait")
    pupil = with_term(with_term(Pupil("p", "P"), summer), SPRING)
    assert pupil.terms == (SPRING, summer)
    other = evolve(SPRING, outcome="more")
    assert with_term(pupil, other).terms == (other, summer)
    assert with_term(pupil, Term(march(1), march(31), BOAT)).terms == (summer,)
    assert term_of(pupil, march(1), march(31), BOAT) == SPRING
    # one that meets the dates by a day, at either end
    assert term_of(pupil, march(31), date(2027, 4, 9), BOAT) == SPRING
    assert term_of(pupil, date(2027, 2, 1), march(1), BOAT) == SPRING
    blank = term_of(pupil, date(2027, 4, 1), date(2027, 4, 9), BOAT)
    assert blank == Term(date(2027, 4, 1), date(2027, 4, 9), BOAT)
    assert term_of(pupil, march(1), march(31), "Another").outcome == ""
    narrow = evolve(SPRING, begins=march(2), outcome="narrow")
    both = with_term(pupil, narrow)
    assert term_of(both, march(2), march(31), BOAT) == narrow
    assert term_of(both, march(1), march(31), BOAT) == SPRING


def test_what_the_dates_say() -> None:
    record = small_record()
    assert clock_trouble(record, march(17)) == ""
    assert "newest note is of 17 March 2027" in clock_trouble(record, march(16))
    assert "it is 16 March 2027" in clock_trouble(record, march(16))
    assert clock_trouble(ClassRecord("x"), march(1)) == ""
    assert keeping_reminder(record, date(2027, 8, 30)) == ""
    assert "until 31 August 2027" in keeping_reminder(record, date(2027, 8, 31))
    assert keeping_reminder(evolve(record, keep_until=None), date(2030, 1, 1)) == ""
    # a clock that is set back does not put it off
    late = with_telling(record, KeptTelling("late", date(2027, 9, 1), 4, BOAT))
    assert keeping_reminder(late, march(1))


def test_whose_way_in_is_to_be_looked_at_again() -> None:
    def review(*dates: str) -> ClassRecord:
        pupils = tuple(
            Pupil(f"p{n}", f"P{n}", way_in=(("review", day),)) for n, day in enumerate(dates)
        )
        return ClassRecord("x", pupils=pupils)

    record = review("2027-03-10", "soon", "", "2027-03-11", " 2027-03-01 ")
    assert reviews_due(record, march(10)) == "Look again at the way in of P0, P4."
    assert reviews_due(record, march(11)) == "Look again at the way in of P0, P3, P4."
    assert reviews_due(record, date(2027, 2, 1)) == ""


def test_tellings_and_moments_in_their_order() -> None:
    record = small_record()
    assert [t.id for t in within(record, BOAT, march(3), march(10))] == ["t1", "t2"]
    assert [t.id for t in within(record, BOAT, march(4), march(17))] == ["t2", "t3"]
    assert within(record, "Another", march(1), march(31)) == ()
    more = with_telling(record, KeptTelling("x", march(12), 1, "Another"))
    assert stories(more) == (BOAT, "Another")
    assert stories(with_telling(record, KeptTelling("x", march(20), 1, "Another"))) == (
        *("Another", BOAT),
    )
    assert moment_order(()) == ()
    assert record.newest == march(17)
    assert record.marked(" m. ") == record.pupils[1]
    assert (record.telling("t2"), record.telling("t9")) == (record.tellings[1], None)


@pytest.mark.parametrize(
    ("note", "what"),
    [
        (Note(WAVE), ""),
        (Note(WAVE, Answer.SEEN, True), "answered before the cue"),
        (Note(WAVE, None, True), "before the cue"),
        (Note(WAVE, Answer.AWAY, time="8"), "came away, after 8 s"),
        (Note(WAVE, Answer.AWAY, time=" 2.5 "), "came away, after 2.5 s"),
        (Note(WAVE, Answer.AWAY, time="a minute"), "came away, after a minute"),
        (Note(WAVE, support=Support.TOUCH, time="1.2.3"), "touch support, after 1.2.3"),
    ],
)
def test_the_ticks_of_a_slip_in_words(note: Note, what: str) -> None:
    telling = small_record().tellings[0]
    said = NoteSaid(telling, Slip("p1", alertness=Alertness.SLEEPY, position="beside"), note)
    assert said.what == what
    assert said.how == "sleepy, beside"
    assert said.key == ("t1", WAVE)
    assert NoteSaid(telling, Slip("p1", position="beside"), note).how == "beside"
