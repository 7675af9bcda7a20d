"""Documents as tagged PDF and as DOCX, read back by others."""

import shutil
import subprocess
import zipfile
from io import BytesIO
from pathlib import Path
from typing import Any

import docx
import pytest
from docx.oxml.ns import qn
from hypothesis import example, given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from tapscore.exports.written.document import (
    Heading,
    Part,
    ToFill,
    Words,
    WrittenDocument,
    WrittenTable,
)
from tapscore.exports.written.docx_document import docx_document
from tapscore.exports.written.pdf_document import not_printed, pdf_document
from tests.exports.paper.test_pdf_ua import faults

MANY = tuple(f"{day} March" for day in range(1, 21))
DOCUMENT = WrittenDocument(
    "K.: spring",
    "Willow",
    (
        Heading("At each telling"),
        WrittenTable(
            ("Moment", *MANY),
            tuple(
                (f"wait after “line {number}”", *(["no response seen", "answered"] * 10))
                for number in range(25)
            ),
        ),
        Heading("In words"),
        Words("“turned before the wave” (AB)", "10 March"),
        Words("and back again. " * 400, set_in=True),
        ToFill("Agreed with", 2),
    ),
    landscape=True,
)


def test_the_pdf_follows_pdf_ua(tmp_path: Path) -> None:
    assert faults(pdf_document(DOCUMENT), tmp_path) == []


def test_tables_are_tables_with_heads_for_rows_and_columns() -> None:
    reader = PdfReader(BytesIO(pdf_document(DOCUMENT)))
    catalog: Any = reader.trailer["/Root"]
    root = catalog["/StructTreeRoot"]["/K"]
    tables = [kid.get_object() for kid in root["/K"] if kid.get_object()["/S"] == "/Table"]
    assert tables
    cells = 0
    for table in tables:
        rows = [kid.get_object() for kid in table["/K"]]
        assert all(row["/S"] == "/TR" for row in rows)
        wide = {len(row["/K"]) for row in rows}
        assert len(wide) == 1, "every row has as many cells"
        head = [kid.get_object() for kid in rows[0]["/K"]]
        assert {cell["/A"]["/Scope"] for cell in head} == {"/Column"}
        for row in rows[1:]:
            first, *rest = (kid.get_object() for kid in row["/K"])
            assert first["/A"]["/Scope"] == "/Row"
            assert {cell["/S"] for cell in rest} == {"/TD"}
            cells += len(rest)
    assert cells == 25 * 20


def test_nothing_is_lost_and_nothing_leaves_the_paper() -> None:
    reader = PdfReader(BytesIO(pdf_document(DOCUMENT)))
    text = " ".join(" ".join(page.extract_text().split()) for page in reader.pages)
    assert text.count("again.") == 400
    for day in MANY:
        assert day in text
    assert text.count("no response") == 250


def test_the_docx_reads_back() -> None:
    made = docx.Document(BytesIO(docx_document(DOCUMENT)))
    text = [paragraph.text for paragraph in made.paragraphs]
    assert text[:3] == ["K.: spring", "Willow", "At each telling"]
    assert "10 March “turned before the wave” (AB)" in text
    assert [p.text for p in made.paragraphs if p.style and p.style.name == "Heading 1"] == [
        "At each telling",
        "In words",
    ]
    (table,) = made.tables
    assert [cell.text for cell in table.rows[0].cells] == ["Moment", *MANY]
    assert len(table.rows) == 26
    assert table.rows[0]._tr.find(f".//{qn('w:tblHeader')}") is not None
    section = made.sections[0]
    assert section.page_width is not None
    assert section.page_height is not None
    assert section.page_width > section.page_height
    assert made.core_properties.author == "tapscore"
    assert made.core_properties.language == "en-GB"


def test_the_docx_has_no_thumbnail() -> None:
    names = zipfile.ZipFile(BytesIO(docx_document(DOCUMENT))).namelist()
    assert not any("thumbnail" in name for name in names)


@pytest.mark.skipif(shutil.which("soffice") is None, reason="LibreOffice is not here")
def test_libreoffice_opens_the_docx(tmp_path: Path) -> None:
    path = tmp_path / "sheet.docx"
    path.write_bytes(docx_document(DOCUMENT))
    subprocess.run(
        [
            *("soffice", f"-env:UserInstallation=file://{tmp_path}/profile", "--headless"),
            *("--convert-to", "pdf", "--outdir", str(tmp_path), str(path)),
        ],
        check=True,
        capture_output=True,
        timeout=110,
    )
    reader = PdfReader(tmp_path / "sheet.pdf")
    text = " ".join(" ".join(page.extract_text().split()) for page in reader.pages)
    assert "turned before the wave" in text
    assert text.count("again.") == 400
    box = reader.pages[0].mediabox
    assert (round(box.width / 72 * 25.4), round(box.height / 72 * 25.4)) == (297, 210)


_text = st.text(max_size=60)
_parts: st.SearchStrategy[Part] = (
    st.builds(Heading, _text)
    | st.builds(Words, _text, _text, st.booleans())
    | st.builds(ToFill, _text, st.integers(1, 3))
    | st.integers(1, 4).flatmap(
        lambda wide: st.builds(
            WrittenTable,
            st.lists(_text, min_size=wide, max_size=wide).map(tuple),
            st.lists(st.lists(_text, min_size=wide, max_size=wide).map(tuple), max_size=3).map(
                tuple
            ),
        )
    )
)


@settings(deadline=None, max_examples=40)
@given(parts=st.lists(_parts, max_size=4).map(tuple), title=_text)
@example(parts=(Words("\x00\x1f\ufffe\uffff", "\U0010ffff"),), title="\ufffe")
def test_any_letters_are_written(parts: tuple[Part, ...], title: str) -> None:
    document = WrittenDocument(title, "", parts, paper="A5")
    assert pdf_document(document).startswith(b"%PDF")
    docx.Document(BytesIO(docx_document(document)))
    not_printed(document)
