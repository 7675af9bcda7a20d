"""Some pupils to the next class; and taken in there."""

from attrs import evolve

from tapscore.records.data import to_json
from tapscore.records.edits import with_note, with_pupil, with_slip
from tapscore.records.handover import joined, part_of, speaks_of_others, told_with
from tapscore.records.model import ClassRecord, Note, Slip
from tests.records.class_records import WAVE, small_record


def test_only_the_chosen_pupils_go() -> None:
    record = small_record()
    part = part_of(record, {"p2"}, "for Oak")
    text = to_json(part).decode()
    for words in ("Qx7", "zebra", "p1", "finds the wave", "AB, CD", "keep the wave"):
        assert words not in text
    assert len(part.tellings) == 3
    assert part.pupils == (record.pupils[1],)


def test_a_telling_without_them_does_not_go() -> None:
    """When and how often the others were told a story is nobody's there."""
    record = small_record()
    kept = record.tellings[0]
    bare = evolve(kept, slips=tuple(slip for slip in kept.slips if slip.pupil == "p1"))
    record = evolve(record, tellings=(bare, *record.tellings[1:]))
    assert [each.id for each in part_of(record, {"p2"}, "x").tellings] == [
        each.id for each in record.tellings[1:]
    ]


def test_taken_in_elsewhere() -> None:
    part = part_of(small_record(), {"p1"}, "x")
    oak, said = joined(ClassRecord("Oak"), part)
    assert said == ()
    assert oak.pupils == part.pupils
    assert oak.tellings == part.tellings
    again, said = joined(oak, part)
    assert again == oak
    assert "here already" in said[0]
    other = with_pupil(ClassRecord("Oak"), evolve(part.pupils[0], id="another"))
    kept, said = joined(other, part)
    assert kept == other
    assert "another pupil has this mark" in said[0]


def test_a_telling_that_both_know_is_one() -> None:
    record = small_record()
    here = part_of(record, {"p2"}, "x")
    both, _ = joined(here, part_of(record, {"p1"}, "x"))
    assert [len(each.slips) for each in both.tellings] == [2, 2, 2]


def test_words_that_speak_of_others_are_pointed_out() -> None:
    record = small_record()
    slip = with_note(Slip("p2"), Note(WAVE, words="looked over to qx7."))
    record = with_slip(record, "t2", slip)
    kay, em = record.pupils
    assert speaks_of_others(record, (em,), (kay,)) == ("Qx7 stands in a note of 10 March 2027.",)
    assert speaks_of_others(record, (kay,), (em,)) == ()
    record = evolve(record, next_story="Qx7 liked the wave", pupils=(kay, em))
    assert len(told_with(record, kay)) == 2
    assert told_with(small_record(), kay) == ()


def test_a_mark_in_who_was_there_is_pointed_out() -> None:
    record = small_record()
    first, *rest = record.tellings
    record = evolve(record, tellings=(evolve(first, there="AB, with Qx7"), *rest))
    (said,) = told_with(record, record.pupils[0])
    assert said.startswith("Qx7 stands in who was there on ")
    assert told_with(record, record.pupils[1]) == ()
