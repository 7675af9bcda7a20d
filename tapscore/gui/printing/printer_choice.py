"""What the system's printer dialog is told and what it gives back."""

from typing import TYPE_CHECKING

from attrs import frozen
from PySide6.QtGui import QPageLayout, QPageSize

from tapscore.gui.printing.cups_answer import take_pages
from tapscore.gui.printing.print_job import layout_for
from tapscore.screen.sheets import (
    Edges,
    Size,
    fits_on,
    name_of,
    out_of_reach,
    same,
    turned,
)
from tapscore.wording.catalogue import say

if TYPE_CHECKING:
    from PySide6.QtPrintSupport import QPrinter


@frozen
class PrintPlan:
    """Pages to print, the sheet for each, and what to ask first."""

    pages: tuple[int, ...]
    sheets_mm: tuple[Size, ...]
    doubts: tuple[str, ...]
    """Sentences on what the printer does not suit; it is asked whether to go on."""
    impossible: str | None = None
    """Why nothing can be printed so."""


def new_printer(name: str, first_page_mm: Size, *, both_sides: bool) -> "QPrinter":
    """The system's usual printer, set for pages like the first one."""
    from PySide6.QtPrintSupport import QPrinter

    printer = QPrinter(QPrinter.PrinterMode.HighResolution)
    printer.setDocName(name)
    printer.setCreator("tapscore")
    printer.setPageLayout(layout_for(first_page_mm))
    duplex = QPrinter.DuplexMode
    printer.setDuplex(duplex.DuplexLongSide if both_sides else duplex.DuplexNone)
    return printer


def there_is_a_printer() -> bool:
    """Whether the system knows any printer."""
    from PySide6.QtPrintSupport import QPrinterInfo

    return bool(QPrinterInfo.availablePrinterNames())


def pages_wanted(printer: "QPrinter", count: int, shown: int) -> tuple[int, ...]:
    """Which of ``count`` pages were asked for, from 0, in the order to print them."""
    from PySide6.QtPrintSupport import QPrinter

    which = printer.printRange()
    if which == QPrinter.PrintRange.CurrentPage:
        pages = [shown]
    elif which == QPrinter.PrintRange.PageRange:
        ranges = [(each.from_, each.to) for each in printer.pageRanges().toRangeList()]
        ranges = ranges or [(printer.fromPage(), printer.toPage())]
        pages = [
            number - 1
            for number in range(1, count + 1)
            if any(first <= number <= last for first, last in ranges)
        ]
    else:
        pages = list(range(count))
    seen = take_pages(printer, count)
    pages = [page for page in pages if page + 1 in seen]
    if printer.pageOrder() == QPrinter.PageOrder.LastPageFirst:
        pages.reverse()
    return tuple(pages)


def chosen_sheet(printer: "QPrinter", offered_mm: Size) -> Size | None:
    """The paper that was chosen instead of the one offered; None if it was left."""
    size = printer.pageLayout().pageSize().size(QPageSize.Unit.Millimeter)
    chosen = (size.width(), size.height())
    return None if same(turned(chosen, offered_mm), offered_mm) else chosen


def left_as_usual(printer: "QPrinter", sheet_mm: Size, sizes_mm: tuple[Size, ...]) -> bool:
    """Whether nobody may have chosen a paper, though the printer has that of each page.

    Qt's dialog forgets the paper it was given: it gives the printer's usual one back.
    """
    from PySide6.QtPrintSupport import QPrinter, QPrinterInfo

    if printer.outputFormat() != QPrinter.OutputFormat.NativeFormat:
        return False
    info = QPrinterInfo.printerInfo(printer.printerName())
    usual = info.defaultPageSize().size(QPageSize.Unit.Millimeter)
    return same(turned((usual.width(), usual.height()), sheet_mm), sheet_mm) and all(
        _has_paper(printer, size) for size in sizes_mm
    )


def plan(
    printer: "QPrinter",
    sizes_mm: tuple[Size, ...],
    blank_mm: tuple[Edges, ...],
    pages: tuple[int, ...],
    sheet_mm: Size | None,
    *,
    both_sides: bool,
) -> PrintPlan:
    """Give every page its sheet and say what the printer does not suit.

    Sizes and blank edges are those of all pages; ``sheet_mm`` is a paper chosen for all.
    """
    if not pages:
        return PrintPlan((), (), (), say("None of the pages was chosen."))
    sheets = tuple(turned(sheet_mm, sizes_mm[p]) if sheet_mm else sizes_mm[p] for p in pages)
    doubts: list[str] = []
    for page_mm in dict.fromkeys(sizes_mm[p] for p in pages):
        page_name = name_of(page_mm)
        if sheet_mm is not None and not fits_on(page_mm, sheet_mm):
            return PrintPlan(
                (),
                (),
                (),
                say(
                    "The pages are {page_name} and do not fit on {name_of}. They are never "
                    "made smaller: choose larger paper, or smaller cards.",
                    page_name=page_name,
                    name_of=name_of(sheet_mm),
                ),
            )
        if sheet_mm is not None and not same(turned(sheet_mm, page_mm), page_mm):
            on = name_of(turned(sheet_mm, page_mm))
            doubts.append(
                say(
                    "The pages are {page_name}, the paper is {on}: they would stand in the "
                    "middle of it at their full size, to be cut out.",
                    page_name=page_name,
                    on=on,
                )
            )
        elif sheet_mm is None and not _has_paper(printer, page_mm):
            doubts.append(
                say(
                    "{printer} does not name {page_name} among its papers. Put paper of "
                    "that size in, or choose other paper in the printer's window.",
                    printer=printer.printerName(),
                    page_name=page_name,
                )
            )
    doubts += _near_the_edge(printer, sizes_mm, blank_mm, pages, sheets)
    if both_sides and not _turns_paper(printer):
        doubts.append(
            say(
                "{printer} does not print on both sides by itself: fronts and backs "
                "would come out on sheets of their own.",
                printer=printer.printerName(),
            )
        )
    return PrintPlan(pages, sheets, tuple(doubts))


def stopped(printer: "QPrinter") -> bool:
    """Whether the printer says that it is not working just now."""
    from PySide6.QtPrintSupport import QPrinter, QPrinterInfo

    if printer.outputFormat() != QPrinter.OutputFormat.NativeFormat:
        return False
    info = QPrinterInfo.printerInfo(printer.printerName())
    return not info.isNull() and info.state() == QPrinter.PrinterState.Error


def _has_paper(printer: "QPrinter", page_mm: Size) -> bool:
    from PySide6.QtPrintSupport import QPrinter, QPrinterInfo

    if printer.outputFormat() != QPrinter.OutputFormat.NativeFormat:
        return True
    info = QPrinterInfo.printerInfo(printer.printerName())
    sizes = [size.size(QPageSize.Unit.Millimeter) for size in info.supportedPageSizes()]
    return not sizes or any(
        same(turned((size.width(), size.height()), page_mm), page_mm) for size in sizes
    )


def _turns_paper(printer: "QPrinter") -> bool:
    from PySide6.QtPrintSupport import QPrinter, QPrinterInfo

    if printer.outputFormat() != QPrinter.OutputFormat.NativeFormat:
        return True
    modes = QPrinterInfo.printerInfo(printer.printerName()).supportedDuplexModes()
    return any(mode != QPrinter.DuplexMode.DuplexNone for mode in modes)


def _near_the_edge(
    printer: "QPrinter",
    sizes_mm: tuple[Size, ...],
    blank_mm: tuple[Edges, ...],
    pages: tuple[int, ...],
    sheets: tuple[Size, ...],
) -> list[str]:
    lost: dict[str, None] = {}
    for page, sheet in zip(pages, sheets, strict=True):
        printer.setPageLayout(layout_for(sheet))
        layout = printer.pageLayout()
        layout.setUnits(QPageLayout.Unit.Millimeter)
        least = layout.minimumMargins()
        wide, high = ((a - b) / 2 for a, b in zip(sheet, sizes_mm[page], strict=True))
        left, top, right, bottom = blank_mm[page]
        cut = out_of_reach(
            (left + wide, top + high, right + wide, bottom + high),
            (least.left(), least.top(), least.right(), least.bottom()),
        )
        if cut:
            lost[cut] = None
    return [
        say(
            "{printer} leaves the edge of the paper blank ({cut}), and some of "
            "the print is nearer to it: it would be cut off. A wider blank edge can "
            "be chosen for the pages.",
            printer=printer.printerName(),
            cut=cut,
        )
        for cut in lost
    ]
