"""Words from DOCX files, with an independent writer; and files made to do harm.

Outside: python-docx writes the files; the harm is CWE-409 (data amplification in a zip) and
CWE-776 (entities that unfold without end).
"""

import zipfile
from contextlib import suppress
from pathlib import Path
from random import Random

import docx
import pytest

from tapscore.workflow.docx_words import MOST_XML_BYTES, DocxDamaged, docx_text
from tapscore.workflow.plain_words import UnreadableWordsError, read_words

W = 'xmlns:w="http://schemas.openxmlformats.org/wordprocessingml/2006/main"'
MOST = 200_000


def _made(path: Path, document: str, styles: str = "") -> Path:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("word/document.xml", document)
        if styles:
            archive.writestr("word/styles.xml", styles)
    return path


def _document(body: str, head: str = "") -> str:
    return f"{head}<w:document {W}><w:body>{body}</w:body></w:document>"


def _paragraph(text: str) -> str:
    return f"<w:p><w:r><w:t>{text}</w:t></w:r></w:p>"


def test_headings_paragraphs_and_tables(tmp_path: Path) -> None:
    written = docx.Document()
    written.add_heading("The Boat", 0)
    written.add_heading("Evening", 1)
    written.add_paragraph("Row the boat").add_run(" home").bold = True
    table = written.add_table(rows=2, cols=2)
    for number, said in enumerate(["Out we go", "in we come", "and home", "again"]):
        table.cell(number // 2, number % 2).text = said
    paragraph = written.add_paragraph("First")
    paragraph.add_run().add_break()
    paragraph.add_run("second")
    written.save(str(tmp_path / "a.docx"))
    words = read_words(tmp_path / "a.docx")
    assert words.title == "The Boat"
    assert words.parts[0].heading == "Evening"
    assert words.parts[0].lines == (
        *("Row the boat home", "Out we go", "in we come", "and home", "again"),
    )
    assert words.parts[1].lines == ("First", "second")


def test_headings_in_another_language(tmp_path: Path) -> None:
    style = '<w:style w:styleId="berschrift1"><w:name w:val="heading 1"/></w:style>'
    styles = f"<w:styles {W}>{style}</w:styles>"
    body = '<w:p><w:pPr><w:pStyle w:val="berschrift1"/></w:pPr><w:r><w:t>Abend</w:t></w:r></w:p>'
    path = _made(tmp_path / "a.docx", _document(body + _paragraph("Row")), styles)
    assert docx_text(path, MOST) == "# Abend\nRow"


def test_what_was_deleted_and_what_is_said_twice_is_left_out(tmp_path: Path) -> None:
    body = (
        "<w:p><w:del><w:r><w:delText>gone</w:delText></w:r></w:del>"
        "<w:ins><w:r><w:t>new</w:t></w:r></w:ins></w:p>"
        f'<mc:AlternateContent xmlns:mc="m"><mc:Choice>{_paragraph("box")}</mc:Choice>'
        f"<mc:Fallback>{_paragraph('box')}</mc:Fallback></mc:AlternateContent>"
    )
    assert docx_text(_made(tmp_path / "a.docx", _document(body)), MOST) == "new\nbox"


def test_a_zip_that_unpacks_without_end(tmp_path: Path) -> None:
    path = _made(tmp_path / "a.docx", _document("<w:p/>" * (MOST_XML_BYTES // 4)))
    assert path.stat().st_size < 500_000
    text = docx_text(path, MOST)
    assert len(text) < MOST + 100_000
    with pytest.raises(UnreadableWordsError):
        read_words(path)
    path = _made(tmp_path / "b.docx", _document("<w:r>" + " " * (MOST_XML_BYTES + 9)))
    with pytest.raises(DocxDamaged, match="unpacks to far more"):
        docx_text(path, MOST)


def test_entities_that_unfold_without_end(tmp_path: Path) -> None:
    levels = "".join(f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 10))
    head = f'<!DOCTYPE lolz [<!ENTITY l0 "row ">{levels}]>'
    path = _made(tmp_path / "a.docx", _document(_paragraph("&l9;"), head))
    with pytest.raises(DocxDamaged, match="document type"):
        docx_text(path, MOST)


@pytest.mark.parametrize("encoding", ["UTF-100", "shift_jis", "utf-7", "base64", ""])
def test_an_encoding_that_is_none(tmp_path: Path, encoding: str) -> None:
    head = f'<?xml version="1.0" encoding="{encoding}"?>'
    path = _made(tmp_path / "a.docx", _document(_paragraph("Row"), head))
    with pytest.raises(DocxDamaged, match="damaged"):
        docx_text(path, MOST)


def test_very_deep_and_very_many(tmp_path: Path) -> None:
    deep = "<w:tbl>" * 100_000 + _paragraph("Row") + "</w:tbl>" * 100_000
    assert "Row" in docx_text(_made(tmp_path / "a.docx", _document(deep)), MOST)
    nested = "<w:p>" * 50_000 + "</w:p>" * 50_000
    docx_text(_made(tmp_path / "b.docx", _document(nested)), MOST)


def test_no_document_a_password_and_damage(tmp_path: Path) -> None:
    written = docx.Document()
    written.add_paragraph("Row the boat")
    written.save(str(tmp_path / "a.docx"))
    whole = (tmp_path / "a.docx").read_bytes()
    with zipfile.ZipFile(tmp_path / "none.docx", "w") as archive:
        archive.writestr("other.xml", "<a/>")
    with pytest.raises(DocxDamaged, match="no document"):
        docx_text(tmp_path / "none.docx", MOST)
    rng = Random(3)
    for _ in range(100):
        data = bytearray(whole)
        if rng.random() < 0.3:
            del data[rng.randrange(len(data)) :]
        for _ in range(rng.randint(1, 5)):
            if data:
                data[rng.randrange(len(data))] = rng.randrange(256)
        (tmp_path / "b.docx").write_bytes(data)
        with suppress(UnreadableWordsError):
            read_words(tmp_path / "b.docx")


def test_a_line_of_three_thousand_words(tmp_path: Path) -> None:
    (tmp_path / "a.txt").write_text("Title\n\n" + "row the boat " * 1000 + "\n")
    with pytest.raises(UnreadableWordsError, match=r"Line 3 of .* has 3,000 words"):
        read_words(tmp_path / "a.txt")
