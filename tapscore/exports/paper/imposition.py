"""Several cards on one sheet, with marks to cut along and backs that match either way round.

A pile of sheets is cut and the piles laid on one another, the top left one uppermost: the
cards are then in order.
"""

from collections.abc import Sequence

from tapscore.exports.paper import bands
from tapscore.exports.paper.drawing import Block, Page, Rule, moved_block
from tapscore.exports.paper.inks import INK, TEAL
from tapscore.exports.paper.pages import PT_PER_MM, Paper
from tapscore.exports.paper.pages import paper as named_paper
from tapscore.exports.paper.sizes import Sizes
from tapscore.exports.paper.text_flow import Piece

PER_SHEET = (1, 2, 4)
CUT_MARK_MM = (5.0, 11.0)
"""Where a mark begins and ends, from the edge of the sheet: no nearer than printers reach."""
_LARGER = {"A6": "A5", "A5": "A4"}


def sheet_paper(card: Paper, per_sheet: int) -> Paper:
    """The sheet that holds so many cards: two lie above one another, four two by two.

    Raises ValueError if it would be larger than A4, or for another number.
    """
    if per_sheet not in PER_SHEET:
        raise ValueError(f"cards go 1, 2 or 4 on a sheet, not {per_sheet}")
    name = card.name
    for _ in range({1: 0, 2: 1, 4: 2}[per_sheet]):
        if name not in _LARGER:
            raise ValueError(
                f"{per_sheet} cards of {card.name} need a sheet larger than A4:"
                " choose smaller cards, or fewer on a sheet"
            )
        name = _LARGER[name]
    return named_paper(name, landscape=per_sheet != 2)


def impose(cards: Sequence[Page], per_sheet: int, back: Page | None = None) -> tuple[Page, ...]:
    """Put cards of one size on sheets; ``back``, if any, is behind each of them.

    All backs are alike, so that it does not matter over which edge the printer turns.
    """
    if not cards:
        return ()
    if per_sheet == 1:
        return tuple(page for card in cards for page in ((card, back) if back else (card,)))
    sheet = sheet_paper(cards[0].paper, per_sheet)
    across = 2 if per_sheet == 4 else 1
    down = per_sheet // across
    count = -(-len(cards) // per_sheet)
    marks = _cut_marks(sheet, across, down)
    made: list[Page] = []
    for number in range(count):
        here = [
            (place, cards[place * count + number])
            for place in range(per_sheet)
            if place * count + number < len(cards)
        ]
        made.append(_sheet(sheet, across, down, here, marks))
        if back:
            every = [(place, back) for place in range(per_sheet)]
            made.append(_sheet(sheet, across, down, every, marks))
    return tuple(made)


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


def _sheet(
    sheet: Paper,
    across: int,
    down: int,
    cards: Sequence[tuple[int, Page]],
    marks: Block,
) -> Page:
    wide, high = sheet.width_pt / across, sheet.height_pt / down
    blocks: list[Block] = []
    bookmarks: list[str] = []
    for place, card in cards:
        dx = (place % across) * wide + (wide - card.paper.width_pt) / 2
        dy = (place // across) * high + (high - card.paper.height_pt) / 2
        blocks += [moved_block(block, dx, dy) for block in card.blocks]
        bookmarks += card.bookmarks
    return Page(sheet, (*blocks, marks), tuple(bookmarks))


def _cut_marks(sheet: Paper, across: int, down: int) -> Block:
    begin, end = (side * PT_PER_MM for side in CUT_MARK_MM)
    wide, high = sheet.width_pt, sheet.height_pt
    rules: list[Rule] = []
    if down == 2:
        y = high / 2
        rules += [_rule(begin, y, end, y), _rule(wide - end, y, wide - begin, y)]
    if across == 2:
        x = wide / 2
        rules += [_rule(x, begin, x, end), _rule(x, high - end, x, high - begin)]
        arm = (end - begin) / 2
        rules += [
            _rule(x - arm, high / 2, x + arm, high / 2),
            _rule(x, high / 2 - arm, x, high / 2 + arm),
        ]
    return Block("Artifact", tuple(rules))


def _rule(x0: float, y0: float, x1: float, y1: float) -> Rule:
    return Rule(x0, y0, x1, y1, INK, 0.6)
