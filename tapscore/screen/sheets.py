"""Which sheet each page goes on, and what a printer's paper does not suit: plain data."""

from collections.abc import Sequence

from attrs import frozen

from tapscore.wording.catalogue import say

SAME_MM = 1.0
"""Sheets that differ by less are the same paper."""
REACH_MM = 0.5
"""How much nearer the edge than a printer reaches is still let be."""

Size = tuple[float, float]
Edges = tuple[float, float, float, float]
"""Left, top, right and bottom."""


@frozen
class PrintRun:
    """Pages after one another on one kind of sheet: one job of the printer."""

    sheet_mm: Size
    """Width and height as the pages lie."""
    pages: tuple[int, ...]


def name_of(size: Size) -> str:
    """A sheet as it is spoken of: ``A5 landscape``, ``A4 portrait``, ``120 x 180 mm portrait``."""
    from tapscore.exports.paper.pages import PAPERS, paper

    short, long = sorted(size)
    way = say("landscape") if size[0] > size[1] else say("portrait")
    for name in PAPERS:
        known = paper(name, landscape=False)
        sides = (known.width_pt / 72 * 25.4, known.height_pt / 72 * 25.4)
        if same((short, long), sides):
            return f"{name} {way}"
    return say("{short:.0f} x {long:.0f} mm {way}", short=short, long=long, way=way)


def same(one: Size, other: Size) -> bool:
    """Whether two sheets are the same, as they lie."""
    return all(abs(a - b) < SAME_MM for a, b in zip(one, other, strict=True))


def turned(sheet: Size, page: Size) -> Size:
    """A sheet turned so that it lies as a page does."""
    short, long = sorted(sheet)
    return (long, short) if page[0] > page[1] else (short, long)


def fits_on(page: Size, sheet: Size) -> bool:
    """Whether a page at its full size has room on a sheet, turned as it needs."""
    return all(a < b + SAME_MM for a, b in zip(page, turned(sheet, page), strict=True))


def counted(sizes: Sequence[Size]) -> str:
    """A sentence on how many pages there are of which size."""
    names = [name_of(size) for size in sizes]
    if not names:
        return say("Nothing to print yet.")
    each = [f"{names.count(name)} {name}" for name in dict.fromkeys(names)]
    count = len(names)
    if len(each) == 1:
        return say("{count:1 page|# pages}, {size}.", count=count, size=names[0])
    return say("{count} pages: {listed}.", count=count, listed=", ".join(each))


def runs(
    pages: Sequence[int], sheets: Sequence[Size], papers: Sequence[str] = ()
) -> tuple[PrintRun, ...]:
    """Pages in order, with the sheet for each, as jobs of one kind of sheet.

    ``papers`` names what each page is of, where none may begin on the back of another.
    """
    found: list[PrintRun] = []
    for at, (page, sheet) in enumerate(zip(pages, sheets, strict=True)):
        goes_on = not papers or (at > 0 and papers[at] == papers[at - 1])
        if found and goes_on and same(found[-1].sheet_mm, sheet):
            found[-1] = PrintRun(found[-1].sheet_mm, (*found[-1].pages, page))
        else:
            found.append(PrintRun(sheet, (page,)))
    return tuple(found)


def out_of_reach(blank: Edges, least: Edges) -> str | None:
    """Where a page has print nearer its edge than the printer reaches; None if nowhere."""
    words = (say("left"), say("top"), say("right"), say("bottom"))
    lost = [
        f"{word} {need:.0f} mm"
        for word, have, need in zip(words, blank, least, strict=True)
        if need - have > REACH_MM
    ]
    return ", ".join(lost) or None
