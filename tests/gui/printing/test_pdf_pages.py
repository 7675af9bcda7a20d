"""Pages as PDFium draws them, against a page whose every place is known."""

from io import BytesIO

import pytest
from PySide6.QtCore import QSize
from pytestqt.qtbot import QtBot
from reportlab.lib.units import mm  # type: ignore[import-untyped]
from reportlab.pdfgen.canvas import Canvas  # type: ignore[import-untyped]

from tapscore.gui.printing.pdf_pages import PdfPages


def pdf(*words: str) -> bytes:
    """Sheets of 100 x 200 mm, a black bar on each, 20 mm from the left and 30 from the top."""
    made = BytesIO()
    canvas = Canvas(made, pagesize=(100 * mm, 200 * mm))
    for each in words:
        canvas.rect(20 * mm, 160 * mm, 40 * mm, 10 * mm, stroke=0, fill=1)
        canvas.drawString(25 * mm, 100 * mm, each)
        canvas.showPage()
    canvas.save()
    return made.getvalue()


@pytest.fixture
def pages(qtbot: QtBot) -> PdfPages:
    made = PdfPages()
    made.add("one", pdf("Splash!", "Hush"))
    made.add("two", pdf("Ä and ö"))
    return made


def test_pages_count_through_all_files_and_say_what_stands_on_them(pages: PdfPages) -> None:
    assert pages.count == 3
    assert [pages.name(page) for page in range(3)] == ["one", "one", "two"]
    assert [pages.words(page).strip() for page in range(3)] == ["Splash!", "Hush", "Ä and ö"]
    assert pages.size_mm(2) == pytest.approx((100, 200), abs=0.01)
    assert pages.source(2) == (pages.whole((2,)), 0)
    assert pages.whole((0, 2)) is None


def test_a_page_is_drawn_in_the_size_asked_for_on_clear_ground(pages: PdfPages) -> None:
    image = pages.image(0, QSize(200, 400))
    assert (image.width(), image.height()) == (200, 400)
    inside, outside = image.pixelColor(80, 70), image.pixelColor(80, 50)
    assert (inside.lightness(), inside.alpha()) == (0, 255)
    assert outside.alpha() == 0
    # the bar's corners, to a pixel: 20 to 60 mm across, 30 to 40 down
    inked = [[image.pixelColor(x, y).alpha() > 127 for x in range(200)] for y in (59, 60, 79, 80)]
    assert [sum(row) for row in inked] == [0, 80, 80, 0]
    assert inked[1].index(True) == 40


def test_where_a_page_is_blank(pages: PdfPages) -> None:
    left, top, right, bottom = pages.blank_mm(0)
    assert (left, top, right) == pytest.approx((20, 30, 40), abs=0.5)
    assert 98 < bottom < 102


def test_nothing_is_left_of_files_that_were_forgotten(pages: PdfPages) -> None:
    pages.clear()
    assert pages.count == 0
    pages.add("three", pdf("Again"))
    assert pages.words(0).strip() == "Again"
