"""The panel that prints, with pages of a line each: what is asked, said and made."""

from collections.abc import Callable
from io import BytesIO
from pathlib import Path

import numpy as np
import pypdf
import pytest
from PySide6.QtCore import QMarginsF, QSize
from PySide6.QtGui import QPageSize
from PySide6.QtPrintSupport import QPrinter
from pytestqt.qtbot import QtBot
from reportlab.pdfgen.canvas import Canvas  # type: ignore[import-untyped]

from tapscore.gui.printing import print_job, print_panel
from tapscore.gui.printing.pdf_pages import PdfPages
from tapscore.gui.printing.print_job import PrintJob, layout_for
from tapscore.gui.printing.print_panel import PrintPanel
from tapscore.gui.printing.printer_choice import new_printer, pages_wanted
from tapscore.screen.sheets import PrintRun
from tapscore.workflow.papers import ToPrint
from tests.gui.answers import Answers
from tests.gui.pixels import dark

MM = 72 / 25.4
A4, A4_LYING, A5_LYING = (210.0, 297.0), (297.0, 210.0), (210.0, 148.0)


def pdf(*sizes_mm: tuple[float, float], mark: str = "page") -> bytes:
    """A page of each size, with a word and a block 20 mm from its left and 30 from its top."""
    out = BytesIO()
    canvas = Canvas(out)
    for number, (wide, high) in enumerate(sizes_mm, 1):
        canvas.setPageSize((wide * MM, high * MM))
        canvas.drawString(40 * MM, (high - 100) * MM, f"{mark} {number}")
        canvas.rect(20 * MM, (high - 60) * MM, 50 * MM, 30 * MM, fill=1)
        canvas.showPage()
    canvas.save()
    return out.getvalue()


class Printing:
    def __init__(self, qtbot: QtBot, answers: Answers, tmp_path: Path) -> None:
        self.qtbot, self.answers = qtbot, answers
        self.out = tmp_path / "out.pdf"
        self.panel = PrintPanel("Papers", answers)
        qtbot.addWidget(self.panel)
        self.whole = 0
        self.panel.all_printed.connect(self._count)

    def _count(self) -> None:
        self.whole += 1

    def show(self, *papers: ToPrint) -> str:
        self.panel.show_papers(papers)
        assert self.panel.said.text() == "Making the pages."
        assert not self.panel.print.isEnabled()
        self.qtbot.waitUntil(lambda: not self.panel.making.busy, timeout=20_000)
        return self.panel.said.text()

    def into_file(self, change: Callable[[QPrinter], object] = lambda _: None) -> None:
        def chosen(printer: QPrinter) -> bool:
            printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
            printer.setOutputFileName(str(self.out))
            change(printer)
            return True

        self.answers.set_printer.append(chosen)

    def print(self) -> str:
        self.panel.print.click()
        self.qtbot.waitUntil(lambda: not self.panel.printing, timeout=20_000)
        return self.panel.said.text()

    def pages(self) -> list[str]:
        return [page.extract_text().strip() for page in pypdf.PdfReader(self.out).pages]


@pytest.fixture
def printing(
    qtbot: QtBot, answers: Answers, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Printing:
    monkeypatch.setattr(print_panel, "there_is_a_printer", lambda: True)
    return Printing(qtbot, answers, tmp_path)


def paper(name: str, *sizes_mm: tuple[float, float]) -> ToPrint:
    return ToPrint(name, lambda: pdf(*sizes_mm, mark=name))


def broken(name: str, why: str) -> ToPrint:
    def make() -> bytes:
        raise ValueError(why)

    return ToPrint(name, make)


def test_pages_are_counted_and_what_could_not_be_made_is_told_once(printing: Printing) -> None:
    said = printing.show(
        paper("cards", A5_LYING, A5_LYING),
        broken("sheet", "too small"),
        paper("list", A4),
        broken("plan", "too small"),
        broken("slip", "no board"),
    )
    assert said.splitlines() == [
        "3 pages: 2 A5 landscape, 1 A4 portrait.",
        "sheet: too small",
        "slip: no board",
    ]
    assert printing.panel.print.isEnabled()
    assert printing.panel.what.text() == "Cards"
    assert printing.show(broken("sheet", "no")) == "Nothing to print yet.\nsheet: no"
    assert not printing.panel.print.isEnabled()
    printing.panel.start()
    assert printing.answers.asked == [], "nothing to print: nothing is asked"


def test_all_pages_go_into_the_file_in_order(printing: Printing) -> None:
    printing.show(paper("cards", A5_LYING), paper("list", A4, A4))
    printing.into_file()
    assert printing.print() == f"3 pages went to {printing.out}."
    assert printing.answers.asked == ["print 3 pages"]
    assert printing.pages() == ["cards 1", "list 1", "list 2"]
    sizes = [
        (round(float(p.mediabox.width) / MM), round(float(p.mediabox.height) / MM))
        for p in pypdf.PdfReader(printing.out).pages
    ]
    assert sizes == [(210, 148), (210, 297), (210, 297)]
    assert printing.whole == 1
    assert printing.panel.bar.isHidden()
    assert printing.panel.stop.isHidden()
    assert printing.panel.print.isEnabled()


def test_some_pages_are_no_whole(printing: Printing) -> None:
    printing.show(paper("list", A4, A4, A4))

    def second(printer: QPrinter) -> None:
        printer.setPrintRange(QPrinter.PrintRange.PageRange)
        printer.setFromTo(2, 2)

    printing.into_file(second)
    assert printing.print() == f"1 page went to {printing.out}."
    assert printing.pages() == ["list 2"]
    assert printing.whole == 0


def test_papers_that_could_not_be_made_leave_it_unfinished(printing: Printing) -> None:
    printing.show(paper("list", A4), broken("sheet", "no"))
    printing.into_file()
    printing.print()
    assert printing.whole == 0


def test_a_closed_dialog_prints_nothing(printing: Printing) -> None:
    printing.show(paper("list", A4))
    printing.answers.set_printer.append(lambda _: False)
    assert printing.print() == "Nothing was printed."
    assert not printing.out.exists()


@pytest.mark.parametrize(
    ("answer", "prints"), [("Print into a PDF file", True), ("Don't print", False)]
)
def test_without_a_printer_a_file_is_offered(
    answer: str, prints: bool, printing: Printing, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(print_panel, "there_is_a_printer", lambda: False)
    printing.show(paper("list", A4))
    printing.answers.choices = [answer]
    printing.into_file()
    printing.print()
    assert printing.answers.asked[0] == "No printer was found on this computer."
    assert printing.out.exists() is prints


USUAL = QPageSize(QPageSize.PageSizeId.A4)


@pytest.mark.parametrize(
    ("answer", "long_mm"),
    [("Print on paper of the pages' own size", 210), ("Print all the same", 297)],
)
def test_the_printer_s_usual_paper_is_asked_about_where_it_is_larger(
    answer: str, long_mm: float, printing: Printing, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Qt's dialog gives A4 back from an office printer whatever paper it was given."""
    monkeypatch.setattr(print_panel, "left_as_usual", lambda *_: True)
    printing.show(paper("card", A5_LYING))
    printing.answers.choices = [answer]
    printing.into_file(lambda printer: printer.setPageSize(USUAL))
    printing.print()
    assert len(printing.answers.more) == 1
    assert float(pypdf.PdfReader(printing.out).pages[0].mediabox.width) / MM == pytest.approx(
        long_mm, abs=0.5
    )


def test_what_has_no_room_on_the_usual_paper_is_printed_on_its_own(
    printing: Printing, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(print_panel, "left_as_usual", lambda *_: True)
    printing.show(paper("part", (420.0, 297.0), A4_LYING))
    printing.into_file(lambda printer: printer.setPageSize(USUAL))
    printing.print()
    wide = [float(page.mediabox.width) / MM for page in pypdf.PdfReader(printing.out).pages]
    assert wide == pytest.approx([420, 297], abs=0.5)


@pytest.mark.parametrize(
    ("answer", "prints"), [("Print all the same", True), ("Don't print", False)]
)
def test_a_printer_that_is_stopped_is_asked_about(
    answer: str, prints: bool, printing: Printing, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(print_panel, "stopped", lambda _: True)
    printing.show(paper("list", A4))
    printing.answers.choices = [answer]
    printing.into_file()
    said = printing.print()
    assert printing.answers.asked[1:] == ["Please look first."]
    assert "is stopped: the pages would wait until somebody starts it." in printing.answers.more[0]
    assert printing.out.exists() is prints
    assert (said == "Nothing was printed.") is not prints


def test_a_file_that_can_not_be_made_is_told_and_another_try_is_free(printing: Printing) -> None:
    printing.show(paper("list", A4))
    printing.into_file(lambda printer: printer.setOutputFileName("/nowhere/at/all.pdf"))
    assert printing.print().startswith("The file was not made: ")
    assert printing.whole == 0
    printing.into_file()
    printing.print()
    assert printing.whole == 1


def test_stopped_it_leaves_nothing(printing: Printing) -> None:
    printing.show(paper("list", *[A4] * 6))
    printing.into_file()
    printing.panel.print.click()
    assert printing.panel.printing
    assert not printing.panel.stop.isHidden()
    assert printing.panel.bar.maximum() == 6
    printing.panel.start()
    assert len(printing.answers.asked) == 1, "one at a time"
    printing.panel.stop.click()
    assert printing.panel.said.text() == "Stopping."
    printing.qtbot.waitUntil(lambda: not printing.panel.printing, timeout=20_000)
    assert not printing.out.exists()
    assert list(printing.out.parent.glob(".printing-*")) == []
    assert printing.whole == 0


# --- pages of PDFs


def test_pages_of_several_pdfs_count_through(qtbot: QtBot) -> None:
    pages = PdfPages()
    one, two = pdf(A4, A5_LYING, mark="one"), pdf(A4, mark="two")
    pages.add("one", one)
    pages.add("two", two)
    assert pages.count == 3
    assert [pages.name(page) for page in range(3)] == ["one", "one", "two"]
    assert [pages.source(page) for page in range(3)] == [(one, 0), (one, 1), (two, 0)]
    assert pages.size_mm(1) == pytest.approx(A5_LYING, abs=0.1)
    assert pages.words(1) == "one 2"
    assert pages.whole((0, 1)) == one
    assert pages.whole((2,)) == two
    assert pages.whole((0,)) is None, "pages chosen from it"
    assert pages.whole((1, 0)) is None
    assert pages.whole((0, 1, 2)) is None
    assert pages.blank_mm(0) == pytest.approx((20, 30, 140, 196), abs=0.6)
    pages.add("blank", pdf_without_marks())
    assert pages.blank_mm(3) == pytest.approx((100, 50, 100, 50), abs=0.1)
    pages.clear()
    assert pages.count == 0


def pdf_without_marks() -> bytes:
    out = BytesIO()
    canvas = Canvas(out, pagesize=(100 * MM, 50 * MM))
    canvas.showPage()
    canvas.save()
    return out.getvalue()


@pytest.mark.parametrize(("sheet", "lying"), [(A4, False), (A5_LYING, True), ((100, 100), False)])
def test_a_sheet_lies_as_its_page(sheet: tuple[float, float], lying: bool, qtbot: QtBot) -> None:
    layout = layout_for(sheet)
    assert (layout.orientation() == layout.Orientation.Landscape) is lying
    size = layout.fullRect(layout.Unit.Millimeter)
    assert (size.width(), size.height()) == pytest.approx(sheet, abs=0.5)
    assert layout.margins().isNull()
    layout.setMinimumMargins(QMarginsF(*[5.0] * 4))  # a printer that leaves the edge blank
    assert layout.margins().isNull(), "the page stays where it is on the sheet"


def test_which_pages_are_wanted(qtbot: QtBot) -> None:
    printer = new_printer("Papers", A4, both_sides=False)
    assert pages_wanted(printer, 4, 2) == (0, 1, 2, 3)
    printer.setPrintRange(QPrinter.PrintRange.CurrentPage)
    assert pages_wanted(printer, 4, 2) == (2,)
    printer.setPrintRange(QPrinter.PrintRange.PageRange)
    printer.setFromTo(2, 3)
    assert pages_wanted(printer, 4, 0) == (1, 2)
    printer.setFromTo(3, 9)
    assert pages_wanted(printer, 4, 0) == (2, 3)


def test_while_it_prints_how_far_it_is_can_be_seen_and_stopped(printing: Printing) -> None:
    printing.show(paper("list", A4, A4, A4))
    printing.into_file()
    panel = printing.panel
    panel.print.click()
    assert (panel.bar.isHidden(), panel.stop.isHidden(), panel.print.isEnabled()) == (
        False,
        False,
        False,
    )
    assert (panel.bar.minimum(), panel.bar.value(), panel.bar.maximum()) == (0, 0, 3)
    assert panel.said.text() == f"Giving the pages to {printing.out}."
    printing.qtbot.waitUntil(lambda: not panel.printing, timeout=20_000)
    assert (panel.bar.isHidden(), panel.stop.isHidden(), panel.print.isEnabled()) == (
        True,
        True,
        True,
    )


def test_the_page_that_is_seen_stays_when_papers_are_made_anew(printing: Printing) -> None:
    printing.show(paper("list", A4, A4, A4))
    printing.panel.view.turn_to(2)
    printing.show(paper("list", A4, A4, A4))
    assert printing.panel.view.page == 2
    cards = paper("cards", A5_LYING, A5_LYING)
    printing.show(paper("list", A4), cards, paper("plan", A4))
    assert (printing.panel.view.page, printing.panel.what.text()) == (2, "Cards")
    printing.panel.view.turn_to(3)
    printing.show(paper("list", A4), cards, paper("plan", A4))
    assert (printing.panel.view.page, printing.panel.what.text()) == (3, "Plan")
    printing.show(cards)
    assert printing.panel.view.page == 1, "the last there is"


class Drawing(QPrinter):
    """A printer that is given no file: pages are drawn for it; what it got can be read here."""

    def outputFileName(self) -> str:  # noqa: N802
        return ""


@pytest.mark.parametrize(
    ("sides", "jobs"),
    [(QPrinter.DuplexMode.DuplexLongSide, 2), (QPrinter.DuplexMode.DuplexNone, 1)],
)
def test_on_both_sides_each_paper_is_a_job_so_that_it_begins_on_a_front(
    sides: QPrinter.DuplexMode, jobs: int, printing: Printing, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(QPrinter, "duplex", lambda _: sides)
    seen: list[int] = []
    begin = PrintJob.start

    def start(job: PrintJob) -> None:
        seen.append(len(job._runs))
        begin(job)

    monkeypatch.setattr(PrintJob, "start", start)
    printing.show(paper("part", A4_LYING), paper("cards", A4_LYING, A4_LYING))
    printing.into_file()
    printing.print()
    assert seen == [jobs]


@pytest.mark.parametrize(("dots", "drawn"), [(300, 300), (600, 600), (1200, 600)])
def test_a_printer_gets_pages_at_their_real_size_and_no_finer_than_600_dots(
    dots: int, drawn: int, qtbot: QtBot, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Two runs on two papers, one of them larger than its page, which stays in the middle."""
    monkeypatch.setattr(print_job, "refusal", lambda: None)  # no print service is asked
    out = tmp_path / "drawn.pdf"
    printer = Drawing(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(out))
    printer.setResolution(dots)
    pages = PdfPages()
    for name in ("one", "two"):
        pages.add(name, pdf(A5_LYING))
    job = PrintJob(printer, pages, (PrintRun(A5_LYING, (0,)), PrintRun(A4_LYING, (1,))), pages)
    with qtbot.waitSignal(job.done, timeout=20_000) as done:
        job.start()
    assert done.args == [None]
    (page,) = pypdf.PdfReader(out).pages
    wide = {image.image.width for image in page.images if image.image is not None}
    assert wide == {round(210 / 25.4 * drawn)}
    made = PdfPages()
    made.add("drawn", out.read_bytes())
    assert made.size_mm(0) == pytest.approx(A4_LYING, abs=0.5)
    seen = made.image(0, QSize(2 * 297, 2 * 210))
    inked = [(x / 2, y / 2) for y, x in np.argwhere(dark(seen, 100))]
    left, top = (297 - 210) / 2 + 20, (210 - 148) / 2 + 30
    corner = min(x for x, _ in inked), min(y for _, y in inked)
    assert corner == pytest.approx((left, top), abs=0.6)
    words = [(x, y) for x, y in inked if y > top + 35]  # in another strip than the block
    block = [(x, y) for x, y in inked if y <= top + 35]
    foot = max(x for x, _ in block), max(y for _, y in block)
    assert foot == pytest.approx((left + 50, top + 30), abs=0.8)
    assert len(block) == pytest.approx(2 * 50 * 2 * 30, rel=0.03), "nothing is left out between"
    assert max(y for _, y in words) == pytest.approx(top + 70, abs=1.5)
    assert min(x for x, _ in words) == pytest.approx(left + 20, abs=0.8)


class Taking:
    """A process of the print service that takes a file, says why not, or does not answer."""

    def __init__(self, refuses: str, *, answers: bool = True) -> None:
        self.returncode = int(bool(refuses))
        self._refuses = refuses
        self._answers = answers
        self.killed = False

    def poll(self) -> int | None:
        return self.returncode if self._answers else None

    def kill(self) -> None:
        self.killed = True

    def communicate(self) -> tuple[str, str]:
        assert self._answers or self.killed, "it would be waited for"
        return "", self._refuses


@pytest.mark.parametrize("refuses", ["", "out of paper"])
def test_each_run_is_handed_to_the_print_service_as_it_is(
    refuses: str, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    given: list[tuple[tuple[float, float], list[str], Path]] = []

    def taken(how: tuple[float, float], file: Path) -> Taking:
        words = [page.extract_text().strip() for page in pypdf.PdfReader(file).pages]
        given.append((how, words, file))
        return Taking(refuses)

    monkeypatch.setattr(print_job, "can_hand_over", lambda: True)
    monkeypatch.setattr(print_job, "is_cups", lambda _: True)
    monkeypatch.setattr(print_job, "hand_over", lambda _, sheet_mm: sheet_mm)
    monkeypatch.setattr(print_job, "begin_to_hand_over", taken)
    pages = PdfPages()
    pages.add("one", pdf(A5_LYING, mark="one"))
    pages.add("two", pdf(A4, A4, mark="two"))
    printer = Drawing(QPrinter.PrinterMode.HighResolution)
    printer.setCollateCopies(True)
    runs = (PrintRun(A5_LYING, (0,)), PrintRun(A4, (2, 1)))
    job = PrintJob(printer, pages, runs, pages)
    with qtbot.waitSignal(job.done, timeout=20_000) as done:
        job.start()
    handed = [(A5_LYING, ["one 1"]), (A4, ["two 2", "two 1"])]
    assert [(how, words) for how, words, _ in given] == (handed[:1] if refuses else handed)
    assert not any(file.exists() for _, _, file in given), "nothing is left behind"
    assert done.args is not None
    (problem,) = done.args
    assert (problem or "").endswith("did not take the pages: out of paper" if refuses else "")
    assert (problem is None) == (not refuses)


@pytest.mark.parametrize(
    ("stops", "said"),
    [
        (False, "Office did not answer."),
        (True, "Stopped. Pages that the printer has already may still come out."),
    ],
)
def test_a_print_service_that_does_not_answer_is_given_up(
    stops: bool, said: str, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    taking, files = Taking("", answers=False), list[Path]()

    def begun(_: object, file: Path) -> Taking:
        files.append(file)
        if stops:
            job.stop()
        return taking

    monkeypatch.setattr(print_job, "can_hand_over", lambda: True)
    monkeypatch.setattr(print_job, "is_cups", lambda _: True)
    monkeypatch.setattr(print_job, "hand_over", lambda *_: None)
    monkeypatch.setattr(print_job, "begin_to_hand_over", begun)
    monkeypatch.setattr(print_job, "withdraw", lambda _: None)
    monkeypatch.setattr(print_job, "LONGEST_SEC", 60.0 if stops else -1.0)
    monkeypatch.setattr(Drawing, "printerName", lambda _: "Office")
    pages = PdfPages()
    pages.add("one", pdf(A4))
    job = PrintJob(
        Drawing(QPrinter.PrinterMode.HighResolution), pages, (PrintRun(A4, (0,)),) * 2, pages
    )
    with qtbot.waitSignal(job.done, timeout=20_000) as done:
        job.start()
    assert done.args == [said]
    assert taking.killed
    assert [file.exists() for file in files] == [False], "one was begun, and it is gone"


@pytest.mark.parametrize(
    ("collated", "order"),
    [
        (True, ["list 3", "list 1", "list 3", "list 1"]),
        (False, ["list 3", "list 3", "list 1", "list 1"]),
    ],
)
def test_copies_come_one_set_after_another_or_page_by_page(
    collated: bool, order: list[str], qtbot: QtBot, tmp_path: Path
) -> None:
    out = tmp_path / "copies.pdf"
    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setOutputFormat(QPrinter.OutputFormat.PdfFormat)
    printer.setOutputFileName(str(out))
    printer.setCopyCount(2)
    printer.setCollateCopies(collated)
    pages = PdfPages()
    pages.add("list", pdf(A4, A4, A4, mark="list"))
    job = PrintJob(printer, pages, (PrintRun(A4, (2, 0)),), pages)
    told: list[int] = []
    job.progressed.connect(told.append)
    with qtbot.waitSignal(job.done, timeout=20_000) as done:
        job.start()
    assert done.args == [None]
    assert [page.extract_text().strip() for page in pypdf.PdfReader(out).pages] == order
    assert (told, job.total) == ([1, 2, 3, 4], 4)
    assert list(tmp_path.iterdir()) == [out]


def test_a_pdf_printed_whole_stays_as_it_is_with_its_tags(printing: Printing) -> None:
    whole = pdf(A4, A5_LYING, mark="list")
    printing.show(ToPrint("list", lambda: whole))
    printing.into_file()
    printing.print()
    assert printing.out.read_bytes() == whole

    def twice(printer: QPrinter) -> None:
        printer.setCopyCount(2)
        printer.setCollateCopies(True)

    printing.into_file(twice)
    assert printing.print() == f"4 pages went to {printing.out}."
    assert printing.pages() == ["list 1", "list 2", "list 1", "list 2"]
