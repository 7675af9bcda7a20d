"""Notes brought in from a CSV: what was understood, what was not and where."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.model.observing import SLIP, Alertness, Answer, Support
from tapscore.records.model import ClassRecord, Pupil
from tapscore.records.note_cells import as_written, harmless
from tapscore.records.notes_table import HEADINGS, blank_table, bring_in, written_out
from tests.records.class_records import BEADS, MOMENTS, WAVE, march, small_record

BOAT = "The Lantern Boat"
KAY = ClassRecord("Willow", pupils=(Pupil("p1", "K."), Pupil("p2", "M.")))


def table(*rows: dict[str, str], delimiter: str = ",") -> bytes:
    out = io.StringIO()
    heads = list(dict.fromkeys(key for row in rows for key in row))
    writer = csv.DictWriter(out, heads, delimiter=delimiter)
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue().encode()


def test_headings_are_the_slip_s_in_its_order() -> None:
    labels = next(csv.reader(io.StringIO(blank_table(MOMENTS, BOAT))))
    assert labels == ["Story", *(field.label for field in SLIP)]


def test_a_filled_table_is_understood() -> None:
    rows = list(csv.DictReader(io.StringIO(blank_table(MOMENTS, BOAT))))
    rows[1] |= {
        "Date": "10/03/2027",
        "Telling number": "4",
        "Pupil’s initials": "k.",
        "Seen by": "AB",
        "The pupil was": "Sleepy",
        "Answer": "answered",
        "before the cue": "x",
        "Seen": "turned, then smiled",
        "Support": "touch",
        "Time to answer": "8",
        "Areas": "anticipation; Personal, Social and Emotional Development",
    }
    rows[2] |= {"Date": "2027-03-10", "Pupil’s initials": "M.", "Answer": "came"}
    brought = bring_in(KAY, table(*rows), BOAT, MOMENTS)
    assert brought.troubles == ()
    assert len(brought.understood) == 2
    (telling,) = brought.record.tellings
    assert (telling.date, telling.number, telling.story) == (march(10), 4, BOAT)
    assert telling.moments == MOMENTS
    slip = telling.slip("p1")
    assert slip is not None
    assert (slip.observer, slip.alertness) == ("AB", Alertness.SLEEPY)
    note = slip.note(WAVE)
    assert (note.answer, note.before_cue, note.support) == (Answer.SEEN, True, Support.TOUCH)
    assert note.words == "turned, then smiled"
    assert note.areas == ("anticipation", "Personal, Social and Emotional Development")
    other = telling.slip("p2")
    assert other is not None
    assert other.note(BEADS).answer is Answer.AWAY
    assert bring_in(brought.record, table(*rows), BOAT, MOMENTS).already == 2


GOOD = {"Date": "2027-03-10", "Pupil": "K.", "Moment": WAVE, "Answer": "answered"}


def test_another_story_s_telling_has_none_of_this_one_s_moments() -> None:
    rows = [GOOD | {"Story": "The Mill", "Moment": "the wheel"}, GOOD]
    mill, boat = bring_in(KAY, table(*rows), BOAT, MOMENTS).record.tellings
    assert [(each.story, each.moments) for each in (mill, boat)] == [
        ("The Mill", ()),
        (BOAT, MOMENTS),
    ]


@pytest.mark.parametrize(
    ("changed", "heading", "said"),
    [
        ({"Date": "10th of March"}, "Date", "2027-03-10"),
        ({"Date": ""}, "Date", "2027-03-10"),
        ({"Pupil": "Z."}, "Pupil’s initials", "K., M."),
        ({"Moment": "the dragon"}, "Moment", "has no such moment"),
        ({"Moment": ""}, "Moment", "Write which moment"),
        ({"Answer": "great"}, "Answer", "no response seen"),
        ({"Support": "p q"}, "Support", "hand under hand"),
        ({"Areas": "maths"}, "Areas", "Mathematics"),
        ({"before the cue": "perhaps"}, "before the cue", "leave it empty"),
        ({"Telling number": "third"}, "Telling number", "in figures"),
        ({"The pupil was": "ill"}, "The pupil was", "unsettled"),
    ],
)
def test_what_is_not_understood_is_said_with_its_place(
    changed: dict[str, str], heading: str, said: str
) -> None:
    data = table({**GOOD, **dict.fromkeys(changed, "")}, {**GOOD, **changed})
    if not (changed.keys() & GOOD.keys()):
        assert len(bring_in(KAY, data, BOAT, MOMENTS).understood) == 1
    brought = bring_in(KAY, data, BOAT, MOMENTS)
    trouble = brought.troubles[-1]
    assert (trouble.row, trouble.heading) == (3, heading)
    assert said in trouble.message


def test_a_note_that_is_there_stays() -> None:
    first = bring_in(KAY, table(GOOD), BOAT, MOMENTS).record
    brought = bring_in(first, table({**GOOD, "Answer": "came away"}), BOAT, MOMENTS)
    assert brought.record == first
    assert "keeps it" in brought.troubles[0].message


def test_who_was_there_is_taken_where_nobody_is_noted_and_kept_where_somebody_is() -> None:
    """Rows of one day are of one telling, unless they say another number or story."""
    day = {**GOOD, "Telling number": "", "Who was there": "", "Story": BOAT}
    first = bring_in(KAY, table(day), BOAT, MOMENTS).record
    assert [(each.number, each.there) for each in first.tellings] == [(1, "")]
    for there, kept in (("AB", "AB"), ("CD", "AB"), ("", "AB")):
        row = {**day, "Pupil": "M.", "Moment": BEADS, "Who was there": there}
        first = bring_in(first, table(row), BOAT, MOMENTS).record
        assert [(each.number, each.there) for each in first.tellings] == [(1, kept)]
        assert [slip.pupil for slip in first.tellings[0].slips] == ["p1", "p2"]
    for more, tellings in (
        ({"Telling number": "1"}, [1]),
        ({"Telling number": "4"}, [1, 4]),
        ({"Date": "2027-03-11"}, [1, 2]),
        ({"Story": "The Hill"}, [1, 1]),
    ):
        row = {**day, "Pupil": "M.", "Moment": WAVE, **more}
        made = bring_in(first, table(row), BOAT, MOMENTS).record
        assert [each.number for each in made.tellings] == tellings


@pytest.mark.parametrize(
    ("data", "row", "said"),
    [
        (b"a,b\n1,2\n", 1, "needs the headings"),
        (b"Date;Pupil\n", 1, "Moment"),
        (b"Date,Pupil,Moment,Answer\n2027-03-10,Z.,,\n", 2, "K., M."),
    ],
)
def test_the_row_that_is_named_counts_from_the_headings(data: bytes, row: int, said: str) -> None:
    (trouble,) = bring_in(KAY, data, BOAT, MOMENTS).troubles
    assert trouble.row == row
    assert said in trouble.message


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("code", ["utf-8", "utf-8-sig", "utf-16"])
def test_tables_from_any_spreadsheet(delimiter: str, code: str) -> None:
    data = table({**GOOD, "Seen": "café – ☺"}, delimiter=delimiter).decode().encode(code)
    brought = bring_in(KAY, data, BOAT, MOMENTS)
    slip = brought.record.tellings[0].slip("p1")
    assert slip is not None
    assert slip.note(WAVE).words == "café – ☺"


def test_windows_letters_are_read_and_said() -> None:
    brought = bring_in(KAY, table({**GOOD, "Seen": "café"}).decode().encode("cp1252"), BOAT, ())
    assert "Windows letters" in brought.troubles[0].message
    assert len(brought.understood) == 1


@pytest.mark.parametrize("data", [b"", b"  \n", b"PK\x03\x04\0\0", b"a,b\n1,2\n"])
def test_what_is_no_table(data: bytes) -> None:
    brought = bring_in(KAY, data, BOAT, MOMENTS)
    assert brought.record == KAY
    assert brought.troubles


def test_everything_written_out_comes_back() -> None:
    record = small_record()
    bare = ClassRecord(record.label, record.keep_until, record.next_story, record.pupils)
    brought = bring_in(bare, written_out(record).encode(), "", ())
    assert brought.troubles == ()
    assert [
        (t.date, t.number, t.story, t.there, {s.pupil: s for s in t.slips})
        for t in brought.record.tellings
    ] == [
        (t.date, t.number, t.story, t.there, {s.pupil: s for s in t.slips}) for t in record.tellings
    ]


def test_no_cell_is_a_formula() -> None:
    data = table({**GOOD, "Seen": "=HYPERLINK(1)"})
    out = written_out(bring_in(KAY, data, BOAT, MOMENTS).record)
    assert ",'=HYPERLINK" in out
    again = bring_in(KAY, out.encode(), BOAT, MOMENTS).record.tellings[0].slip("p1")
    assert again is not None
    assert again.note(WAVE).words == "=HYPERLINK(1)"


@pytest.mark.parametrize(
    ("said", "cell"),
    [
        *[("=1", "'=1"), ("+1", "'+1"), ("-1", "'-1"), ("@a", "'@a"), ("\ta", "'\ta")],
        *[("'=1", "''=1"), ("'a", "''a"), ("a=1", "a=1"), ("a'", "a'"), ("", ""), ("a-b", "a-b")],
    ],
)
def test_cells_that_begin_like_formulas_are_marked_and_read_back(said: str, cell: str) -> None:
    assert harmless(said) == cell
    assert as_written(cell) == said.strip()


def test_a_quote_or_sign_somebody_typed_stays() -> None:
    """Only what was put before a risky cell is taken off again."""
    for cell in ("'tis well", "a=b", " b ", "o-o"):
        assert as_written(cell) == cell.strip()


@given(data=st.binary(max_size=200))
def test_any_bytes_are_read_or_told_of(data: bytes) -> None:
    head = (",".join(HEADINGS.values()) + "\n").encode()
    for each in (data, head + data):
        bring_in(KAY, each, BOAT, MOMENTS)
