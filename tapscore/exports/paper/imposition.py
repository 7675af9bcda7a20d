"""Several cards on one sheet, with marks to cut along and backs that match either way round.

A pile of sheets is cut and the piles laid on one another, the top left one uppermost: the
cards are then in order.
"""

from collections.abc import Sequence

from attrs import frozen

from tapscore.exports.paper import bands
from tapscore.exports.paper.drawing import Page, StraightLine, TaggedBlock, moved_block
from tapscore.exports.paper.inks import INK, TEAL
from tapscore.exports.paper.pages import PT_PER_MM, Paper, paper_name
from tapscore.exports.paper.pages import paper as named_paper
from tapscore.exports.paper.sizes import Sizes
from tapscore.exports.paper.text_flow import Piece
from tapscore.model.finding import Finding, Severity
from tapscore.wording.about import About
from tapscore.wording.catalogue import say

PER_SHEET = (1, 2, 4)
CUT_MARK_MM = 6.0
"""How long a mark is; it begins at the margin, no nearer to the edge than the printer reaches."""
TOLERANCE_MM = 1.0
"""Cards may stand so much over the sheet, all together: ISO 216 rounds halves by as much."""
_LARGER = {"A6": "A5", "A5": "A4"}


@frozen
class CardGrid:
    """A sheet and the cards on it: rows and columns in its middle, so that backs match."""

    sheet: Paper
    across: int
    down: int
    cell_width_pt: float
    cell_height_pt: float

    @property
    def left_pt(self) -> float:
        """Where the first column begins."""
        return (self.sheet.width_pt - self.across * self.cell_width_pt) / 2

    @property
    def top_pt(self) -> float:
        """Where the first row begins."""
        return (self.sheet.height_pt - self.down * self.cell_height_pt) / 2

    @property
    def unmarked_mm(self) -> tuple[float, float]:
        """What is to be cut off at each side, and above and below, where no mark can be
        printed; 0 where marks show it, or where there is nothing to cut off.
        """
        strips = (self.left_pt, self.top_pt)
        side, end = (s if _is_cut(s) and s < self.sheet.margin_pt else 0.0 for s in strips)
        return side / PT_PER_MM, end / PT_PER_MM


def grid(card: Paper, per_sheet: int, on: str = "A4") -> CardGrid:
    """How so many cards lie on a sheet.

    Cards of A5 and A6 go on the standard size that is two or four times as large; others
    on a sheet of ``on``, standing or lying.  Raises ValueError if they don't fit, or for
    another number.
    """
    if per_sheet not in PER_SHEET:
        raise ValueError(say("cards go 1, 2 or 4 on a sheet, not {number}", number=per_sheet))
    if per_sheet == 1:
        return CardGrid(card, 1, 1, card.width_pt, card.height_pt)
    halvings = {2: 1, 4: 2}[per_sheet]
    name = card.name
    for _ in range(halvings):
        name = _LARGER.get(name, "")
    if name:
        sheet = named_paper(name, landscape=per_sheet == 4, margin_mm=card.margin_mm)
        across, down = per_sheet // 2, 2
        return CardGrid(sheet, across, down, sheet.width_pt / across, sheet.height_pt / down)
    spare = TOLERANCE_MM * PT_PER_MM
    for across, down in ((2, 2), (1, 4), (4, 1)) if per_sheet == 4 else ((1, 2), (2, 1)):
        for landscape in (False, True):
            sheet = named_paper(on, landscape=landscape, margin_mm=card.margin_mm)
            wide, high = across * card.width_pt, down * card.height_pt
            if wide <= sheet.width_pt + spare and high <= sheet.height_pt + spare:
                return CardGrid(sheet, across, down, card.width_pt, card.height_pt)
    raise ValueError(
        say(
            "{number} cards of {paper} need a sheet larger than {larger}: choose smaller cards, "
            "fewer on a sheet, or larger paper for the other pages",
            number=per_sheet,
            paper=card.name,
            larger=paper_name(on),
        )
    )


def sheet_paper(card: Paper, per_sheet: int, on: str = "A4") -> Paper:
    """The sheet that holds so many cards; raises ValueError as ``grid`` does."""
    return grid(card, per_sheet, on).sheet


def impose(
    cards: Sequence[Page], per_sheet: int, back: Page | None = None, *, on: str = "A4"
) -> tuple[Page, ...]:
    """Put cards of one size on sheets; ``back``, if any, is behind each of them.

    All backs are alike, so that it does not matter over which edge the printer turns.
    """
    if not cards:
        return ()
    if per_sheet == 1:
        return tuple(page for card in cards for page in ((card, back) if back else (card,)))
    laid = grid(cards[0].paper, per_sheet, on)
    count = -(-len(cards) // per_sheet)
    marks = _cut_marks(laid)
    made: list[Page] = []
    for number in range(count):
        here = [
            (place, cards[place * count + number])
            for place in range(per_sheet)
            if place * count + number < len(cards)
        ]
        made.append(_sheet(laid, here, marks))
        if back:
            every = [(place, back) for place in range(per_sheet)]
            made.append(_sheet(laid, every, marks))
    return tuple(made)


def cut_findings(card: Paper, per_sheet: int, on: str = "A4") -> tuple[Finding, ...]:
    """Advice where paper is to be cut off that is too narrow to print marks on."""
    side, end = grid(card, per_sheet, on).unmarked_mm
    if not (side or end):
        return ()
    about = About(side_mm=side, end_mm=end, both="yes" if side and end else "no")
    return (Finding("print-cut-by-measure", Severity.ADVICE, about=about),)


def back_page(title: str, role: str, paper: Paper, sizes: Sizes) -> Page:
    """The back of every card of one adult: whose it is, in which story."""
    wide = paper.inner_width_pt
    name = role[:1].upper() + role[1:]
    strips = [
        bands.paragraph((Piece(name, True, TEAL),), sizes.number, wide),
        bands.paragraph((Piece(title),), sizes.label, wide),
    ]
    made = bands.stack(strips, sizes.label * 0.4)
    top = max((paper.height_pt - made.height) / 2, paper.margin_pt)
    return Page(paper, made.at(paper.margin_pt, top))


def _sheet(laid: CardGrid, cards: Sequence[tuple[int, Page]], marks: TaggedBlock) -> Page:
    wide, high = laid.cell_width_pt, laid.cell_height_pt
    blocks: list[TaggedBlock] = []
    bookmarks: list[str] = []
    for place, card in cards:
        column, row = place % laid.across, place // laid.across
        dx = laid.left_pt + column * wide + (wide - card.paper.width_pt) / 2
        dy = laid.top_pt + row * high + (high - card.paper.height_pt) / 2
        blocks += [moved_block(block, dx, dy) for block in card.blocks]
        bookmarks += card.bookmarks
    return Page(laid.sheet, (*blocks, marks), tuple(bookmarks))


def _cut_marks(laid: CardGrid) -> TaggedBlock:
    """Marks at both ends of every cut the printer can reach, and where two cuts cross."""
    begin = laid.sheet.margin_pt
    end = begin + CUT_MARK_MM * PT_PER_MM
    wide, high = laid.sheet.width_pt, laid.sheet.height_pt
    xs = _cuts(laid.left_pt, laid.across, laid.cell_width_pt, begin)
    ys = _cuts(laid.top_pt, laid.down, laid.cell_height_pt, begin)
    rules: list[StraightLine] = []
    for y in ys:
        rules += [_rule(begin, y, end, y), _rule(wide - end, y, wide - begin, y)]
    for x in xs:
        rules += [_rule(x, begin, x, end), _rule(x, high - end, x, high - begin)]
    arm = (end - begin) / 2
    for x in xs:
        for y in ys:
            left, right = max(x - arm, begin), min(x + arm, wide - begin)
            top, foot = max(y - arm, begin), min(y + arm, high - begin)
            rules += [_rule(left, y, right, y), _rule(x, top, x, foot)]
    return TaggedBlock("Artifact", tuple(rules))


def _cuts(first: float, count: int, step: float, margin: float) -> list[float]:
    """Where to cut between cards and, if there is paper to cut off and it can be marked,
    round them.
    """
    between = [first + number * step for number in range(1, count)]
    outer = _is_cut(first) and first >= margin
    return [first, *between, first + count * step] if outer else between


def _is_cut(strip_pt: float) -> bool:
    """Whether a strip beside the cards is more than what rounding leaves."""
    return strip_pt > TOLERANCE_MM * PT_PER_MM / 2 + 0.01


def _rule(x0: float, y0: float, x1: float, y1: float) -> StraightLine:
    return StraightLine(x0, y0, x1, y1, INK, 0.6)
