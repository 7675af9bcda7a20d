"""Tables of written papers by hand: what is bold, widths of columns, the rules below rows."""

from io import BytesIO

import docx
import pytest
from docx.oxml.ns import qn

from tapscore.exports.paper.drawing import StraightLine, TextRun
from tapscore.exports.written.document import WrittenDocument, WrittenTable
from tapscore.exports.written.docx_document import MARGIN_MM, docx_document
from tapscore.exports.written.pdf_document import document_pages

GRID = WrittenTable(("Moment", "1 May", "8 May"), (("splash", "seen", "no"), ("home", "", "seen")))
ROWS = [["Moment", "1 May", "8 May"], ["splash", "seen", "no"], ["home", "–", "seen"]]
DOCUMENT = WrittenDocument("K.", "Willow", (GRID, GRID))


def test_heads_of_rows_and_columns_alone_are_bold() -> None:
    made = docx.Document(BytesIO(docx_document(DOCUMENT)))
    assert len(made.tables) == 2
    for table in made.tables:
        assert [[cell.text for cell in row.cells] for row in table.rows] == ROWS
        bold = [
            [run.bold for cell in row.cells for run in cell.paragraphs[0].runs if run.text]
            for row in table.rows
        ]
        assert bold == [[True, True, True], [True, False, False], [True, False, False]]


def test_columns_are_as_wide_as_each_other_and_rules_go_across() -> None:
    (page,) = document_pages(DOCUMENT)
    elements = [each for block in page.blocks for each in block.elements]
    places = {run.text: run.x for run in elements if isinstance(run, TextRun)}
    first, second, third = (places[text] for text in ROWS[0])
    rules = [each for each in elements if isinstance(each, StraightLine)][:6]  # then the foot's
    assert [rule.thick_pt for rule in rules] == [1.4, 0.7, 0.7, 1.4, 0.7, 0.7], "heads, then rows"
    (left,) = {rule.x0 for rule in rules}
    (right,) = {rule.x1 for rule in rules}
    pad = first - left
    assert 0 < pad < 10
    assert third - second == pytest.approx(right - (third - pad))
    bold = {run.text: run.bold for run in elements if isinstance(run, TextRun)}
    assert [bold[text] for text in ("Moment", "8 May", "splash", "home")] == [True] * 4
    assert not bold["seen"]


def test_each_row_stands_between_the_rules_round_it() -> None:
    (page,) = document_pages(WrittenDocument("K.", "", (GRID,)))
    elements = [each for block in page.blocks for each in block.elements]
    ys = {run.text: run.y for run in elements if isinstance(run, TextRun)}
    first, second, third = [each.y0 for each in elements if isinstance(each, StraightLine)][:3]
    assert ys["Moment"] < first < ys["splash"] - 8 < ys["splash"] < second < ys["home"] - 8 < third


def test_title_above_what_stands_beneath_it() -> None:
    (page,) = document_pages(DOCUMENT)
    runs = [each for block in page.blocks for each in block.elements if isinstance(each, TextRun)]
    title = next(run for run in runs if run.text == "K.")
    beneath = next(run for run in runs if run.text == "Willow")
    assert title.size_pt > beneath.size_pt
    assert title.y != beneath.y


def test_margins_and_the_language_of_a_docx() -> None:
    made = docx.Document(BytesIO(docx_document(DOCUMENT)))
    (section,) = made.sections
    sides = (section.left_margin, section.right_margin, section.top_margin, section.bottom_margin)
    assert {round(side.mm) for side in sides if side is not None} == {round(MARGIN_MM)}
    defaults = made.styles.element.find(qn("w:docDefaults"))
    assert defaults is not None
    said = {each.get(qn("w:val")) for each in defaults.iter(qn("w:lang"))}
    assert said == {"en-GB"}
