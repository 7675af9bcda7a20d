"""Papers of a record: own words with date and observer, equal weight, nothing counted."""

import re
from datetime import date
from io import BytesIO
from pathlib import Path

import docx
import pytest
from attrs import evolve
from pypdf import PdfReader

from tapscore.exports.written.document import Words, WrittenDocument, WrittenTable
from tapscore.exports.written.pdf_document import pdf_document
from tapscore.records.edits import term_of
from tapscore.records.said import class_overview, term_sheet
from tapscore.records.way_in import WAY_IN
from tapscore.workflow.records import paper_files
from tapscore.workflow.records.paper_files import as_text, write_everything, write_paper
from tapscore.workflow.records.papers import (
    blank_way_in,
    class_paper,
    receipt,
    review_paper,
    term_paper,
    way_in_sheet,
)
from tests.exports.paper.test_pdf_ua import faults
from tests.records.class_records import PLANTED_WORDS, WAVE, march, small_record

BOAT = "The Lantern Boat"
TERM = march(1), march(31)


def papers() -> dict[str, WrittenDocument]:
    record = small_record()
    kay = record.pupils[0]
    sheet = term_sheet(record, kay, BOAT, *TERM)
    term = term_of(kay, *TERM, BOAT)
    return {
        "way in": way_in_sheet(kay),
        "blank": blank_way_in(),
        "term": term_paper(sheet, term),
        "review": review_paper(sheet, term),
        "class": class_paper(record, BOAT, class_overview(record, BOAT, *TERM), *TERM),
        "receipt": receipt(record, "oak.classrecord", "ab" * 32, march(31), "Oak"),
    }


def words_of(document: WrittenDocument) -> list[str]:
    return [f"{p.bold} {p.text}" for p in document.parts if isinstance(p, Words)]


@pytest.mark.parametrize("name", papers())
def test_every_paper_follows_pdf_ua(name: str, tmp_path: Path) -> None:
    assert faults(pdf_document(papers()[name]), tmp_path) == []


def test_three_dates_stand_side_by_side() -> None:
    lines = words_of(papers()["term"])
    at = lines.index(f"{WAVE} ")
    assert lines[at + 1 : at + 4] == [
        f"3 March 2027 “{PLANTED_WORDS}” (answered before the cue, independent, after 8 s; alert,"
        " on the board; seen by AB)",
        "10 March 2027 “turned with the wave” (answered, touch support; alert, on the board; seen"
        " by AB)",
        "17 March 2027 no response seen; alert, on the board; seen by AB. Also going on: “lift"
        " alarm in the corridor”",
    ]


def test_no_response_seen_has_the_same_weight() -> None:
    (grid,) = [part for part in papers()["term"].parts if isinstance(part, WrittenTable)]
    row = next(row for row in grid.rows if row[0] == WAVE)
    assert row == (WAVE, "answered before the cue", "answered", "no response seen")


def test_nothing_is_counted_or_judged() -> None:
    for name, document in papers().items():
        text = printed(document)
        assert not re.search(r"%|\btotal|\bscore|\blevel|\baverage|\bout of\b|\bprogress", text), (
            name
        )


def printed(document: WrittenDocument) -> str:
    pages = PdfReader(BytesIO(pdf_document(document))).pages
    return " ".join(" ".join(page.extract_text().split()) for page in pages)


def test_the_way_in_is_one_a5_side_and_says_what_is_filled_in() -> None:
    document = papers()["way in"]
    pages = PdfReader(BytesIO(pdf_document(document))).pages
    assert len(pages) == 1
    box = pages[0].mediabox
    assert (round(box.width / 72 * 25.4), round(box.height / 72 * 25.4)) == (148, 210)
    assert "“Yes” looks like: looks to the left" in words_of(document)
    assert "When to change position" not in pages[0].extract_text()
    full = evolve(small_record().pupils[0], way_in=tuple((each.key, each.label) for each in WAY_IN))
    text = " ".join(
        page.extract_text() for page in PdfReader(BytesIO(pdf_document(way_in_sheet(full)))).pages
    )
    for each in WAY_IN:
        assert each.label in text


def test_the_blank_form_asks_everything() -> None:
    text = printed(blank_way_in())
    for each in WAY_IN:
        assert each.label in text


def test_files_by_their_ending(tmp_path: Path) -> None:
    document = papers()["term"]
    assert write_paper(document, tmp_path / "sheet.pdf") == ""
    assert write_paper(document, tmp_path / "sheet.docx") == ""
    made = docx.Document(str(tmp_path / "sheet.docx"))
    assert any(PLANTED_WORDS in paragraph.text for paragraph in made.paragraphs)
    with pytest.raises(ValueError, match=r"\.pdf or \.docx"):
        write_paper(document, tmp_path / "sheet.odt")
    strange = evolve(document, parts=(Words("turned 𓂀 away"),))
    assert "𓂀" in write_paper(strange, tmp_path / "other.pdf")
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "other.pdf",
        "sheet.docx",
        "sheet.pdf",
    ]


def test_no_paper_goes_by_way_of_temporary_files(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "sheet.pdf"
    path.write_bytes(b"before")
    monkeypatch.setattr("os.access", lambda place, how: Path(place) != tmp_path)
    with pytest.raises(PermissionError, match="nothing new may stand"):
        write_paper(papers()["term"], path)
    assert path.read_bytes() == b"before"


def test_a_note_of_twenty_thousand_letters_in_any_script() -> None:
    long = "hin und her هنا وهناك यहाँ " * 800
    record = small_record()
    kay = record.pupils[0]
    slip = record.tellings[0].slips[0]
    note = evolve(slip.notes[0], words=long)
    telling = evolve(record.tellings[0], slips=(evolve(slip, notes=(note,)),))
    sheet = term_sheet(evolve(record, tellings=(telling,)), kay, BOAT, *TERM)
    document = term_paper(sheet, term_of(kay, *TERM, BOAT))
    assert pdf_document(document).startswith(b"%PDF")


def test_everything_readable(tmp_path: Path) -> None:
    text, table = write_everything(small_record(), tmp_path / "out")
    assert "looks to the left" in text.read_text(encoding="utf-8")
    assert "finds the wave" in text.read_text(encoding="utf-8")
    assert PLANTED_WORDS in table.read_text(encoding="utf-8")
    with pytest.raises(FileExistsError):
        write_everything(small_record(), tmp_path / "out")


def test_where_not_all_can_be_written_out_nothing_is(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Half of it would lie there, readable by anybody, and nobody would know."""
    written: list[Path] = []

    def full(path: Path, data: bytes) -> None:
        if written:
            raise OSError(28, "No space left on device")
        written.append(path)
        path.write_bytes(data)

    monkeypatch.setattr(paper_files, "write_whole_bytes", full)
    with pytest.raises(OSError, match="No space"):
        write_everything(small_record(), tmp_path / "out")
    assert len(written) == 1
    assert list((tmp_path / "out").iterdir()) == []
    assert "31 August 2027" in as_text(small_record())
    assert date(2027, 8, 31) == small_record().keep_until
