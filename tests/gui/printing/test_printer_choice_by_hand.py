"""What a printer is told and does not suit: each page's sheet, each sentence, by hand."""

from typing import cast

import pytest
from PySide6 import QtPrintSupport
from PySide6.QtCore import QMarginsF
from PySide6.QtGui import QPageLayout, QPageRanges, QPageSize
from PySide6.QtPrintSupport import QPrinter
from pytestqt.qtbot import QtBot

from tapscore.gui.printing.printer_choice import (
    PrintPlan,
    chosen_sheet,
    left_as_usual,
    new_printer,
    pages_wanted,
    plan,
    stopped,
    there_is_a_printer,
)
from tapscore.screen.sheets import Edges, Size

A4, A4_LYING, A5_LYING = (210.0, 297.0), (297.0, 210.0), (210.0, 148.0)
WIDE: Edges = (20.0, 20.0, 20.0, 20.0)
Duplex = QPrinter.DuplexMode


class Office:
    """A printer of the system, as far as it is asked here."""

    def __init__(self, *, least_mm: Edges = (0, 0, 0, 0), file: bool = False) -> None:
        self._least_mm, self._file = least_mm, file
        self._layout = QPageLayout()

    def printerName(self) -> str:  # noqa: N802
        return "Office"

    def outputFormat(self) -> QPrinter.OutputFormat:  # noqa: N802
        return QPrinter.OutputFormat.PdfFormat if self._file else QPrinter.OutputFormat.NativeFormat

    def setPageLayout(self, layout: QPageLayout) -> None:  # noqa: N802
        self._layout = layout

    def pageLayout(self) -> QPageLayout:  # noqa: N802
        self._layout.setUnits(QPageLayout.Unit.Millimeter)
        self._layout.setMinimumMargins(QMarginsF(*self._least_mm))
        self._layout.setUnits(QPageLayout.Unit.Point)
        return self._layout


class Info:
    """What the system knows of it."""

    sizes: tuple[QPageSize.PageSizeId, ...] = ()
    modes: tuple[QPrinter.DuplexMode, ...] = (Duplex.DuplexNone,)
    at: QPrinter.PrinterState | None = QPrinter.PrinterState.Idle
    names: tuple[str, ...] = ("Office",)

    @classmethod
    def printerInfo(cls, name: str) -> "Info":  # noqa: N802
        assert name == "Office"
        return cls()

    @classmethod
    def availablePrinterNames(cls) -> list[str]:  # noqa: N802
        return list(cls.names)

    def supportedPageSizes(self) -> list[QPageSize]:  # noqa: N802
        return [QPageSize(each) for each in self.sizes]

    def defaultPageSize(self) -> QPageSize:  # noqa: N802
        return QPageSize(QPageSize.PageSizeId.A4)

    def supportedDuplexModes(self) -> list[QPrinter.DuplexMode]:  # noqa: N802
        return list(self.modes)

    def isNull(self) -> bool:  # noqa: N802
        return self.at is None

    def state(self) -> QPrinter.PrinterState | None:
        return self.at


@pytest.fixture(autouse=True)
def info(monkeypatch: pytest.MonkeyPatch) -> pytest.MonkeyPatch:
    monkeypatch.setattr(QtPrintSupport, "QPrinterInfo", Info)
    return monkeypatch


def planned(
    sizes: tuple[Size, ...],
    pages: tuple[int, ...],
    sheet: Size | None = None,
    *,
    blank: Edges = WIDE,
    both_sides: bool = False,
    office: Office | None = None,
) -> PrintPlan:
    printer = cast(QPrinter, office or Office())
    return plan(printer, sizes, (blank,) * len(sizes), pages, sheet, both_sides=both_sides)


def test_each_page_has_its_own_sheet_in_the_order_asked_for() -> None:
    assert planned((A5_LYING, A4, A5_LYING), (2, 1)) == PrintPlan((2, 1), (A5_LYING, A4), ())
    nothing = planned((A4,), ())
    assert nothing.impossible == "None of the pages was chosen."


def test_a_paper_chosen_for_all_is_turned_as_each_page_and_asked_about_once_a_size() -> None:
    found = planned((A5_LYING, A4, A5_LYING), (0, 1, 2), A4)
    assert found == PrintPlan(
        (0, 1, 2),
        (A4_LYING, A4, A4_LYING),
        (
            "The pages are A5 landscape, the paper is A4 landscape: they would stand in the "
            "middle of it at their full size, to be cut out.",
        ),
    )
    small = planned((A5_LYING, A4), (0, 1), A5_LYING)
    assert (small.pages, small.sheets_mm, small.doubts) == ((), (), ())
    assert small.impossible == (
        "The pages are A4 portrait and do not fit on A5 landscape. They are never made smaller: "
        "choose larger paper, or smaller cards."
    )
    assert planned((A5_LYING, A4), (0,), A5_LYING).impossible is None, "A4 was not asked for"


A4_ONLY = (
    "Office does not name A5 landscape among its papers. Put paper of that size in, or choose "
    "other paper in the printer's window."
)


@pytest.mark.parametrize(
    ("sizes", "sheet", "file", "doubts"),
    [
        ((QPageSize.PageSizeId.A4,), None, False, (A4_ONLY,)),
        ((QPageSize.PageSizeId.A4, QPageSize.PageSizeId.A5), None, False, ()),
        ((QPageSize.PageSizeId.A4,), A5_LYING, False, ()),
        ((), None, False, ()),
        ((QPageSize.PageSizeId.A4,), None, True, ()),
    ],
)
def test_paper_that_a_printer_does_not_name_is_asked_about(
    sizes: tuple[QPageSize.PageSizeId, ...],
    sheet: Size | None,
    file: bool,
    doubts: tuple[str, ...],
    info: pytest.MonkeyPatch,
) -> None:
    info.setattr(Info, "sizes", sizes)
    assert planned((A5_LYING,), (0,), sheet, office=Office(file=file)).doubts == doubts


@pytest.mark.parametrize(
    ("blank", "sheet", "said"),
    [
        ((1.0, 20.0, 20.0, 20.0), None, "left 4 mm"),
        ((20.0, 2.0, 20.0, 20.0), None, "top 5 mm"),
        ((20.0, 20.0, 3.0, 20.0), None, "right 6 mm"),
        ((20.0, 20.0, 20.0, 4.0), None, "bottom 12 mm"),
        ((1.0, 20.0, 3.0, 20.0), None, "left 4 mm, right 6 mm"),
        ((4.0, 5.0, 6.0, 12.0), None, ""),
        # in the middle of A4 lying there are 43.5 mm more at both sides and 31 above and below
        ((0.0, 0.0, 0.0, 0.0), A4, ""),
    ],
)
def test_print_nearer_to_an_edge_than_the_printer_reaches_is_told_by_its_side(
    blank: Edges, sheet: Size | None, said: str
) -> None:
    office = Office(least_mm=(4.0, 5.0, 6.0, 12.0))
    found = planned((A5_LYING, A5_LYING), (0, 1), sheet, blank=blank, office=office).doubts
    near = [each for each in found if "leaves the edge" in each]
    assert [each.split("(")[1].split(")")[0] for each in near] == ([said] if said else [])


def test_how_far_a_page_lies_from_the_edge_of_larger_paper() -> None:
    """A5 lying on A4 lying: 43.5 mm at the sides, 31 mm above and below."""
    for least, said in (
        ((44.5, 0.0, 0.0, 0.0), "left 44 mm"),
        ((0.0, 32.0, 0.0, 0.0), "top 32 mm"),
        ((0.0, 0.0, 44.5, 0.0), "right 44 mm"),
        ((0.0, 0.0, 0.0, 32.0), "bottom 32 mm"),
        ((43.5, 31.0, 43.5, 31.0), ""),
    ):
        office = Office(least_mm=least)
        found = planned((A5_LYING,), (0,), A4, blank=(0, 0, 0, 0), office=office).doubts
        assert [said for each in found[1:] if said in each] == ([said] if said else []), found
        assert len(found) == (2 if said else 1)


@pytest.mark.parametrize(
    ("modes", "both_sides", "file", "asked"),
    [
        ((Duplex.DuplexNone,), True, False, True),
        ((Duplex.DuplexNone, Duplex.DuplexLongSide), True, False, False),
        ((Duplex.DuplexNone,), False, False, False),
        ((Duplex.DuplexNone,), True, True, False),
    ],
)
def test_a_printer_that_turns_no_paper_is_asked_about_for_backs_alone(
    modes: tuple[QPrinter.DuplexMode, ...],
    both_sides: bool,
    file: bool,
    asked: bool,
    info: pytest.MonkeyPatch,
) -> None:
    info.setattr(Info, "modes", modes)
    found = planned((A4,), (0,), both_sides=both_sides, office=Office(file=file)).doubts
    said = (
        "Office does not print on both sides by itself: fronts and backs would come out on "
        "sheets of their own."
    )
    assert found == ((said,) if asked else ())


@pytest.mark.parametrize(
    ("at", "file", "found"),
    [
        (QPrinter.PrinterState.Error, False, True),
        (QPrinter.PrinterState.Idle, False, False),
        (QPrinter.PrinterState.Error, True, False),
        (None, False, False),
    ],
)
def test_whether_a_printer_is_stopped(
    at: QPrinter.PrinterState | None, file: bool, found: bool, info: pytest.MonkeyPatch
) -> None:
    info.setattr(Info, "at", at)
    assert stopped(cast(QPrinter, Office(file=file))) is found


def test_whether_there_is_any_printer(info: pytest.MonkeyPatch) -> None:
    assert there_is_a_printer()
    info.setattr(Info, "names", ())
    assert not there_is_a_printer()


def test_a_new_printer_is_set_for_pages_like_the_first(qtbot: QtBot) -> None:
    printer = new_printer("Cards", A5_LYING, both_sides=False)
    assert (printer.docName(), printer.creator(), printer.fullPage()) == ("Cards", "tapscore", True)
    assert printer.pageLayout().orientation() == QPageLayout.Orientation.Landscape
    assert chosen_sheet(printer, A5_LYING) is None
    assert chosen_sheet(printer, (148.0, 210.0)) is None, "the same paper, turned"
    assert chosen_sheet(printer, A4) == pytest.approx((148, 210), abs=0.5)


@pytest.mark.parametrize(
    ("sheet", "pages", "file", "found"),
    [
        (A4_LYING, (A5_LYING,), False, True),
        (A4, (A5_LYING, A4), False, True),
        (A5_LYING, (A4,), False, False),  # chosen by hand
        (A4, ((297.0, 420.0),), False, False),  # no other paper is there to print on
        (A4, (A5_LYING,), True, False),
    ],
)
def test_the_printer_s_usual_paper_may_be_nobody_s_choice(
    sheet: Size, pages: tuple[Size, ...], file: bool, found: bool, info: pytest.MonkeyPatch
) -> None:
    info.setattr(Info, "sizes", (QPageSize.PageSizeId.A4, QPageSize.PageSizeId.A5))
    assert left_as_usual(cast(QPrinter, Office(file=file)), sheet, pages) is found


def test_pages_in_several_ranges_and_the_last_first(qtbot: QtBot) -> None:
    printer = new_printer("Cards", A4, both_sides=False)
    ranges = QPageRanges()
    ranges.addRange(2, 3)
    ranges.addPage(5)
    printer.setPrintRange(QPrinter.PrintRange.PageRange)
    printer.setPageRanges(ranges)
    assert pages_wanted(printer, 6, 0) == (1, 2, 4)
    printer.setPageOrder(QPrinter.PageOrder.LastPageFirst)
    assert pages_wanted(printer, 6, 0) == (4, 2, 1)
