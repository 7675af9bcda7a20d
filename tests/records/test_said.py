"""Notes side by side: their own words, nothing added."""

import re
from datetime import date

from attrs import evolve
from hypothesis import given

from tapscore.model.curriculum import ENGAGEMENT_AREAS
from tapscore.model.observing import Answer
from tapscore.records.edits import with_note, with_slip
from tapscore.records.model import ClassRecord, Note, Slip
from tapscore.records.said import (
    class_overview,
    moment_order,
    noted_moments,
    stories,
    term_sheet,
)
from tests.records.class_records import (
    BEADS,
    PLANTED_WORDS,
    REFRAIN,
    WAVE,
    class_records,
    march,
    small_record,
)

BOAT = "The Lantern Boat"
EVER = date(1900, 1, 1), date(2100, 1, 1)


def test_the_same_small_answer_on_three_dates_stands_side_by_side() -> None:
    record = small_record()
    sheet = term_sheet(record, record.pupils[0], BOAT, *EVER)
    assert [each.date for each in sheet.tellings] == [march(3), march(10), march(17)]
    assert sheet.grid == (
        (REFRAIN, ("", "", "")),
        (WAVE, ("answered before the cue", "answered", "no response seen")),
        (BEADS, ("", "", "")),
    )
    ((moment, said),) = sheet.by_moment
    assert moment == WAVE
    assert [each.note.words for each in said] == [PLANTED_WORDS, "turned with the wave", ""]
    assert [each.what for each in said] == [
        "answered before the cue, independent, after 8 s",
        "answered, touch support",
        "no response seen",
    ]
    ((area, tagged),) = sheet.by_area
    assert area == "anticipation"
    assert [each.note.words for each in tagged] == [PLANTED_WORDS, "turned with the wave"]


def test_dates_and_choices_narrow_it() -> None:
    record = small_record()
    sheet = term_sheet(record, record.pupils[0], BOAT, march(4), march(10))
    assert len(sheet.tellings) == 1
    chosen = term_sheet(record, record.pupils[0], BOAT, *EVER, only={("t3", WAVE)})
    assert [said.what for _, found in chosen.by_moment for said in found] == ["no response seen"]
    assert term_sheet(record, record.pupils[0], "Another", *EVER).by_moment == ()


def test_the_overview_speaks_of_the_story() -> None:
    record = small_record()
    rows = {row.moment: row for row in class_overview(record, BOAT, *EVER)}
    assert rows[WAVE].answered_by == ("Qx7",)
    assert rows[BEADS].answered_by == ()
    assert rows[BEADS].nobody
    assert not rows[REFRAIN].was_offered
    assert not rows[REFRAIN].nobody
    slip = with_note(Slip("p1"), Note(REFRAIN, Answer.NOT_OFFERED))
    first = evolve(record.tellings[0], slips=(slip,))
    rows = {
        row.moment: row for row in class_overview(evolve(record, tellings=(first,)), BOAT, *EVER)
    }
    assert not rows[REFRAIN].was_offered, "nobody could have answered what was not offered"


def test_moments_in_the_order_of_the_last_story() -> None:
    record = small_record()
    changed = evolve(record.tellings[2], moments=(BEADS, "new wait", REFRAIN))
    tellings = (*record.tellings[:2], changed)
    assert moment_order(tellings) == (BEADS, "new wait", REFRAIN, WAVE)
    assert noted_moments(record, BOAT) == {WAVE, BEADS}
    assert stories(record) == (BOAT,)


def test_a_blank_slip_is_not_kept() -> None:
    record = with_slip(small_record(), "t1", Slip("p2", "AB", notes=(Note(WAVE),)))
    assert record.tellings[0].slip("p2") is None


@given(record=class_records)
def test_every_word_is_a_note_s_own_and_none_is_lost(record: ClassRecord) -> None:
    for pupil in record.pupils:
        for story in stories(record):
            sheet = term_sheet(record, pupil, story, *EVER)
            slips = [t.slip(pupil.id) for t in record.tellings if t.story == story]
            notes = [note for slip in slips if slip for note in slip.notes]
            shown = [said.note for _, found in sheet.by_moment for said in found]
            assert all(note in notes for note in shown)
            assert all(note in shown for note in notes)
            tagged = {area for note in notes if note.words for area in note.areas}
            assert {area for area, _ in sheet.by_area} == tagged


def test_nothing_counts() -> None:
    """The engagement model is no ladder (Standards and Testing Agency, 2020): no numbers."""
    record = small_record()
    for telling in record.tellings[1:]:
        record = with_slip(record, telling.id, Slip("p1", "AB", notes=telling.slips[0].notes))
    sheet = term_sheet(record, record.pupils[0], BOAT, *EVER)
    words = " ".join(cell for _, cells in sheet.grid for cell in cells)
    assert not re.search(r"\d|%|total|level|average", words)
    assert sheet.by_area[0][0] in ENGAGEMENT_AREAS
