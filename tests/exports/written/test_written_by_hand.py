"""What each part of a written paper becomes, by hand: places, sizes, letters, properties."""

from io import BytesIO

import docx
import pytest
from docx.enum.section import WD_ORIENT
from docx.oxml.ns import qn
from docx.shared import Pt, RGBColor
from pypdf import PdfReader

from tapscore.exports.paper.drawing import TextRun
from tapscore.exports.written.document import (
    Heading,
    Part,
    ToFill,
    Words,
    WrittenDocument,
    WrittenTable,
)
from tapscore.exports.written.docx_document import FONT, docx_document
from tapscore.exports.written.pdf_document import document_pages, not_printed, pdf_document


def of(*parts: Part, text_pt: float = 12.0, paper: str = "A4") -> WrittenDocument:
    return WrittenDocument("K.", "", parts, paper, text_pt=text_pt, subject="term sheet")


def runs(document: WrittenDocument) -> list[TextRun]:
    return [
        each
        for page in document_pages(document)
        for block in page.blocks
        for each in block.elements
        if isinstance(each, TextRun)
    ]


def placed(document: WrittenDocument) -> dict[str, TextRun]:
    return {run.text.strip(): run for run in runs(document)}


def read(document: WrittenDocument, language: str = "en-GB") -> docx.document.Document:
    return docx.Document(BytesIO(docx_document(document, language)))


@pytest.mark.parametrize("text_pt", [12.0, 18.0])
def test_sizes_on_paper(text_pt: float) -> None:
    at = placed(of(Heading("Then"), Words("plain"), Words("inside", "Bold", set_in=True)))
    large = placed(
        of(Heading("Then"), Words("plain"), Words("inside", "Bold", set_in=True), text_pt=text_pt)
    )
    assert large["Then"].size_pt == pytest.approx(text_pt * 4 / 3)
    assert large["plain"].size_pt == large["inside"].size_pt == text_pt
    assert large["Bold"].x - large["plain"].x == 18, "set in by a quarter of an inch"
    assert large["Bold"].bold
    assert not large["inside"].bold
    assert large["inside"].x > large["Bold"].x
    assert at["K."].size_pt == large["K."].size_pt, "the title is as large as ever"


def test_places_to_write_on_are_as_many_as_asked() -> None:
    one, three = (placed(of(ToFill("Agreed", lines), Words("after"))) for lines in (1, 3))
    assert three["after"].y > one["after"].y
    paragraphs = read(of(ToFill("Agreed", 3))).paragraphs
    assert [each.text for each in paragraphs] == ["K.", "Agreed", *["_" * 40] * 3]
    assert [run.bold for run in paragraphs[1].runs] == [True]


def test_words_that_are_set_in_end_where_the_others_do() -> None:
    at = runs(of(Words("and so on " * 40), Words("and so on " * 40, set_in=True)))
    plain, inside = (
        {len(run.text) for run in at if run.x == left} for left in sorted({r.x for r in at})[:2]
    )
    assert max(inside) < max(plain), "a line has fewer letters"


def test_nothing_that_was_written_of_a_pupil_is_in_a_description() -> None:
    """What a class record prints must not reach a log with an error."""
    parts = (Heading("K."), Words("K.", "K."), WrittenTable(("K.",), (("K.",),)), ToFill("K."))
    assert "K." not in repr(WrittenDocument("K.", "K.", parts))


def test_a_wide_table_goes_on_below_with_its_rows_names() -> None:
    heads = ("Moment", *(f"{day} May" for day in range(1, 8)))
    grid = WrittenTable(heads, (("splash", *"abcdefg"),))
    lines: dict[float, list[TextRun]] = {}
    for run in runs(of(grid)):
        lines.setdefault(run.y, []).append(run)
    rows = [
        [run.text for run in sorted(row, key=lambda run: run.x)] for _, row in sorted(lines.items())
    ]
    tables = [row for row in rows if row[0] in ("Moment", "splash")]
    most = len(tables[0]) - 1
    assert tables == [
        ["Moment", *heads[1 : most + 1]],
        ["splash", *"abcdefg"[:most]],
        ["Moment", *heads[most + 1 :]],
        ["splash", *"abcdefg"[most:]],
    ]
    at = placed(of(grid))
    assert at["a"].x == at["abcdefg"[most]].x, "columns of both are as wide"
    assert at["b"].x - at["a"].x >= 82


def test_a_table_of_names_alone_is_a_table() -> None:
    assert {"Moment", "splash"} <= set(placed(of(WrittenTable(("Moment",), (("splash",),)))))


@pytest.mark.parametrize(
    ("part", "lost"),
    [
        (Heading("𓀀"), "𓀀"),
        (Words("plain", "𓀀"), "𓀀"),
        (Words("𓀀"), "𓀀"),
        (ToFill("𓀀"), "𓀀"),
        (WrittenTable(("𓀀", "a"), ()), "𓀀"),
        (WrittenTable(("a", "b"), (("c", "𓀀"),)), "𓀀"),
        (Words("Größe"), ""),
    ],
)
def test_letters_that_no_font_prints_are_told_wherever_they_stand(part: Part, lost: str) -> None:
    assert not_printed(of(part)) == lost
    assert not_printed(WrittenDocument("𓀀", "", ())) == "𓀀"
    assert not_printed(WrittenDocument("", "𓀀", ())) == "𓀀"


def test_properties_of_the_pdf() -> None:
    info = PdfReader(BytesIO(pdf_document(of(Words("a"))))).metadata
    assert info is not None
    assert (info.title, info.subject) == ("K.", "term sheet")
    bare = PdfReader(BytesIO(pdf_document(WrittenDocument("K.", "", (Words("a"),))))).metadata
    assert bare is not None
    assert bare.subject == "K.", "without a subject its title says what it is"


def test_properties_of_the_docx() -> None:
    long = WrittenDocument("K" * 300, "", (), subject="s" * 300)
    said = read(long, "cy").core_properties
    assert (said.title, said.subject) == ("K" * 255, "s" * 255)
    assert (said.author, said.comments, said.language) == ("tapscore", "", "cy")


@pytest.mark.parametrize(
    ("paper", "landscape", "size_mm"),
    [("A4", False, (210, 297)), ("A4", True, (297, 210)), ("A5", False, (148, 210))],
)
def test_the_sheet_of_a_docx(paper: str, landscape: bool, size_mm: tuple[int, int]) -> None:
    (section,) = read(WrittenDocument("K.", "", (), paper, landscape)).sections
    for side, side_mm in zip((section.page_width, section.page_height), size_mm, strict=True):
        assert side is not None
        assert side.mm == pytest.approx(side_mm, abs=0.02), "a file counts in twentieths of a point"
    assert section.orientation is (WD_ORIENT.LANDSCAPE if landscape else WD_ORIENT.PORTRAIT)


def test_letters_of_a_docx_are_black_and_of_one_font() -> None:
    made = read(of(text_pt=15))
    for name, size_pt in (("Normal", 15), ("Title", 24), ("Heading 1", 20)):
        style = made.styles[name]
        assert style.font.size == Pt(size_pt)
        assert style.font.color.rgb == RGBColor(0, 0, 0)
        fonts = style.element.rPr.rFonts
        assert {fonts.get(qn(f"w:{kind}")) for kind in ("ascii", "hAnsi")} == {FONT}
        assert not [key for key in fonts.attrib if "heme" in key], "no theme's font instead"


def test_paragraphs_of_a_docx() -> None:
    made = read(WrittenDocument("K.", "Willow", (Words("in", "Bold", set_in=True), Words("out"))))
    assert [(each.text, each.style and each.style.name) for each in made.paragraphs] == [
        ("K.", "Title"),
        ("Willow", "Normal"),
        ("Bold in", "Normal"),
        ("out", "Normal"),
    ]
    inside, outside = made.paragraphs[2:]
    assert inside.paragraph_format.left_indent == Pt(18)
    assert outside.paragraph_format.left_indent is None
    assert [(run.text, run.bold) for run in inside.runs] == [("Bold ", True), ("in", None)]


def test_no_row_of_a_docx_is_cut_by_a_page_and_the_first_comes_again() -> None:
    (table,) = read(of(WrittenTable(("a", "b"), (("c", "d"), ("e", "f"))))).tables
    assert table.style is not None
    assert table.style.name == "Table Grid"
    marks = [[mark.tag for mark in row._tr.trPr] for row in table.rows]
    head, whole = qn("w:tblHeader"), qn("w:cantSplit")
    assert marks == [[head, whole], [whole], [whole]]


def test_what_xml_cannot_hold_is_left_out_and_nothing_else() -> None:
    """Production Char of XML 1.0: tab, line ends, from space on; no surrogates, no FFFE, FFFF."""
    kept = "\t a\ud7ff\ue000\ufffd\U00010000\U0010ffff"
    (_, told) = read(of(Words(f"\x08\x0b\x1f{kept}\ufffe\uffff"))).paragraphs
    assert told.text == kept
