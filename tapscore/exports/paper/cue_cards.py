"""Cue cards of one adult as a PDF."""

from tapscore.exports.paper.card_layout import before_card, blank_card, lay_out
from tapscore.exports.paper.cards import role_cards
from tapscore.exports.paper.drawing import Page
from tapscore.exports.paper.imposition import back_page, cut_findings, impose, sheet_paper
from tapscore.exports.paper.pages import Paper
from tapscore.exports.paper.pages import paper as sheet
from tapscore.exports.paper.part_pieces import part_of
from tapscore.exports.paper.pdf import Printed, write_pdf
from tapscore.exports.paper.print_findings import margin_findings, print_findings
from tapscore.exports.paper.sizes import Sizes, card_sizes
from tapscore.exports.paper.turn_findings import card_findings
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story
from tapscore.rhythm.performance import Performance
from tapscore.wording.about import About
from tapscore.wording.catalogue import say


def cue_cards(
    story: Story,
    performance: Performance,
    role: str,
    *,
    paper: str = "A5",
    distance_m: float = 1.0,
    per_sheet: int = 1,
    backs: bool = False,
    margin_mm: float | None = None,
    other_paper: str = "A4",
) -> Printed:
    """Print the cards of one role, lying, to be read from ``distance_m`` metres.

    With 2 or 4 ``per_sheet`` they stand on larger sheets to be cut, those of a size of
    one's own on ``other_paper``; with ``backs`` every other page is the back of the one
    before.  Raises ValueError for a role, paper, margin, distance or number on a sheet
    there is none of.
    """
    size = sheet(paper, landscape=True, margin_mm=margin_mm)
    sheet_paper(size, per_sheet, other_paper)
    sizes = card_sizes(distance_m)
    laid = _laid_out(story, performance, role, size, sizes, distance_m)
    cards = _in_order(story, performance, role, size, sizes, laid)
    back = back_page(story.title, role, size, card_sizes(distance_m)) if backs else None
    pages = impose(cards, per_sheet, back, on=other_paper)
    title = f"{story.title}: {role}"
    pdf, count = write_pdf(
        pages, title=title, subject=say("Cue cards for one adult"), language=story.language
    )
    findings = (
        *print_findings(story),
        *margin_findings(size),
        *cut_findings(size, per_sheet, other_paper),
        *card_findings(story, performance, role, laid),
        *_many(role, len(laid), len(cards)),
    )
    return Printed(pdf, count, findings)


def card_pages(
    story: Story,
    performance: Performance,
    role: str,
    *,
    paper: str = "A5",
    distance_m: float = 1.0,
    margin_mm: float | None = None,
) -> tuple[Page, ...]:
    """Lay out the pages that ``cue_cards`` prints, as data."""
    size = sheet(paper, landscape=True, margin_mm=margin_mm)
    sizes = card_sizes(distance_m)
    laid = _laid_out(story, performance, role, size, sizes, distance_m)
    return _in_order(story, performance, role, size, sizes, laid)


def _laid_out(
    story: Story,
    performance: Performance,
    role: str,
    size: Paper,
    sizes: Sizes,
    distance_m: float,
) -> dict[str, tuple[Page, ...]]:
    """The sides of each card, by its label; a refrain may be called as another card is."""
    _check_room(size, sizes, distance_m)
    laid: dict[str, tuple[Page, ...]] = {}
    for card in role_cards(story, performance, role):
        laid[card.label] = (*laid.get(card.label, ()), *lay_out(story, card, size, sizes))
    return laid


def _in_order(
    story: Story,
    performance: Performance,
    role: str,
    size: Paper,
    sizes: Sizes,
    laid: dict[str, tuple[Page, ...]],
) -> tuple[Page, ...]:
    if not laid:
        return blank_card(story, role, size, sizes)
    before = before_card(part_of(story, performance, role), size, sizes)
    return (*before, *(page for pages in laid.values() for page in pages))


def _check_room(paper: Paper, sizes: Sizes, distance_m: float) -> None:
    """Raise ValueError for a paper that has no room for one row of words and a foot."""
    needed = 2.44 * sizes.number + 2.6 * sizes.label + sizes.words + 2.1 * sizes.mark
    if paper.inner_height_pt < needed or paper.inner_width_pt < 6 * sizes.words:
        raise ValueError(
            say(
                "{paper} is too small for cards to be read at {distance} m, with a margin of "
                "{margin} mm: choose larger paper, a shorter distance or a smaller margin",
                paper=paper.name,
                distance=distance_m,
                margin=paper.margin_mm,
            )
        )


def _many(role: str, cards: int, count: int) -> tuple[Finding, ...]:
    """Advice where most cards go on for several sides."""
    if count <= 3 * max(cards, 1):
        return ()
    about = About(cards=cards, role=role, sides=count)
    return (Finding("print-many-sides", Severity.ADVICE, path=("roles", role), about=about),)
