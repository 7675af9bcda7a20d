"""A document as DOCX (ECMA-376), for the school's own word processor."""

from io import BytesIO
from typing import TYPE_CHECKING, Any

from tapscore.exports.paper.pages import sides_mm
from tapscore.exports.written.document import (
    Heading,
    Part,
    ToFill,
    Words,
    WrittenDocument,
    WrittenTable,
)

if TYPE_CHECKING:
    from docx.document import Document as Docx

MARGIN_MM = 15
SET_IN_PT = 18
HEADING_SHARE = 4 / 3
FONT = "Atkinson Hyperlegible"
LONGEST_NAME = 255
"""Letters of a file's property at most (python-docx keeps to it, too)."""


def docx_document(document: WrittenDocument, language: str = "en-GB") -> bytes:
    """Write a document as DOCX: headings as styles, tables with heads that come again."""
    import docx
    from docx.shared import Mm, Pt

    made = docx.Document()
    _without_thumbnail(made)
    short, long = sides_mm(document.paper)
    section = made.sections[0]
    wide, high = (long, short) if document.landscape else (short, long)
    section.page_width, section.page_height = Mm(round(wide)), Mm(round(high))
    if document.landscape:
        from docx.enum.section import WD_ORIENT

        section.orientation = WD_ORIENT.LANDSCAPE
    for side in ("left_margin", "right_margin", "top_margin", "bottom_margin"):
        setattr(section, side, Mm(MARGIN_MM))
    _dress(made, document.text_pt, language)
    properties = made.core_properties
    properties.title = _plain(document.title)[:LONGEST_NAME]
    properties.subject = _plain(document.subject)[:LONGEST_NAME]
    properties.author, properties.comments, properties.language = "tapscore", "", language
    made.add_heading(_plain(document.title), 0)
    if document.beneath:
        made.add_paragraph(_plain(document.beneath))
    for part in document.parts:
        _add(made, part, Pt(SET_IN_PT))
    out = BytesIO()
    made.save(out)
    return out.getvalue()


def _add(made: "Docx", part: Part, set_in: Any) -> None:
    if isinstance(part, Heading):
        made.add_heading(_plain(part.text), 1)
    elif isinstance(part, WrittenTable):
        _add_grid(made, part)
    elif isinstance(part, ToFill):
        made.add_paragraph().add_run(_plain(part.label)).bold = True
        for _ in range(part.lines):
            made.add_paragraph("_" * 40)
    else:
        _add_words(made, part, set_in)


def _add_words(made: "Docx", part: Words, set_in: Any) -> None:
    paragraph = made.add_paragraph()
    if part.set_in:
        paragraph.paragraph_format.left_indent = set_in
    if part.bold:
        paragraph.add_run(f"{_plain(part.bold)} ").bold = True
    paragraph.add_run(_plain(part.text))


def _add_grid(made: "Docx", grid: WrittenTable) -> None:
    from docx.oxml import OxmlElement

    table = made.add_table(rows=0, cols=len(grid.heads))
    table.style = "Table Grid"
    for number, row in enumerate(grid.lines):
        cells = table.add_row().cells
        for place, text in enumerate(row):
            run = cells[place].paragraphs[0].add_run(_plain(text))
            run.bold = number == 0 or place == 0
    first = table.rows[0]._tr.get_or_add_trPr()
    head = OxmlElement("w:tblHeader")
    first.append(head)
    for each in table.rows:
        whole = OxmlElement("w:cantSplit")
        each._tr.get_or_add_trPr().append(whole)


def _dress(made: "Docx", text_pt: float, language: str) -> None:
    """Black letters, large enough, and the language for whoever reads it aloud."""
    from docx.oxml.ns import qn
    from docx.shared import Pt, RGBColor

    for name, size in (("Normal", text_pt), ("Title", 24), ("Heading 1", text_pt * HEADING_SHARE)):
        style = made.styles[name]
        style.font.name = FONT
        style.font.size = Pt(size)
        style.font.color.rgb = RGBColor(0, 0, 0)
        fonts = style.element.get_or_add_rPr().get_or_add_rFonts()
        for attribute in ("w:ascii", "w:hAnsi"):
            fonts.set(qn(attribute), FONT)
        for theme in ("w:asciiTheme", "w:hAnsiTheme", "w:eastAsiaTheme", "w:cstheme"):
            fonts.attrib.pop(qn(theme), None)
    defaults = made.styles.element.find(qn("w:docDefaults"))
    for lang in defaults.iter(qn("w:lang")) if defaults is not None else ():
        lang.set(qn("w:val"), language)


def _without_thumbnail(made: "Docx") -> None:
    """The library's template brings a picture of a page along."""
    package = made.part.package
    for key, relation in list(package.rels.items()):
        if relation.reltype.endswith("/thumbnail"):
            del package.rels[key]


def _plain(text: str) -> str:
    """Without what XML 1.0 can't hold (production Char of the recommendation)."""
    return "".join(
        c
        for c in text
        if c in "\t\n\r" or " " <= c <= "\ud7ff" or (c >= "\ue000" and c not in "\ufffe\uffff")
    )
