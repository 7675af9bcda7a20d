"""Standing pages that run on, with the title and the number of the page at their foot."""

from collections.abc import Sequence

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.drawing import Page, Panel, StraightLine, TaggedBlock
from tapscore.exports.paper.inks import AMBER, CREAM, INK, LINE, MUTED, Ink
from tapscore.exports.paper.pages import PT_PER_MM, Paper
from tapscore.exports.paper.pages import paper as named_paper
from tapscore.exports.paper.pdf import Printed, write_pdf
from tapscore.exports.paper.pour import pour
from tapscore.exports.paper.print_findings import margin_findings, print_findings
from tapscore.exports.paper.text_flow import Piece, flow, own
from tapscore.model.story import Story
from tapscore.wording.catalogue import say

MARGIN_MM = 13.0
FOOT_PT = 12.0
TEXT_PT = 12.0
"""The smallest print of anything held in the hand."""


LEAST_ROOM_MM = 70.0
"""No page of words is narrower or lower than this between its margins."""


def sheet_of(paper: str, margin_mm: float | None = None, *, landscape: bool = False) -> Paper:
    """A sheet with the margins of these pages, or with a margin of one's own.

    Raises ValueError for a paper there is none of, and if there is no room between the
    margins.
    """
    margin = MARGIN_MM if margin_mm is None else margin_mm
    size = named_paper(paper, landscape=landscape, margin_mm=margin)
    if min(size.inner_width_pt, size.inner_height_pt) < LEAST_ROOM_MM * PT_PER_MM - 0.01:
        raise ValueError(
            say(
                "{paper} with a margin of {margin} mm is too small for pages of words: "
                "choose larger paper or a smaller margin",
                paper=size.name,
                margin=margin,
            )
        )
    return size


def running_pages(
    made: Sequence[Band], paper: Paper, foot: str, *, columns: int = 1, gap_pt: float = 0.0
) -> tuple[Page, ...]:
    """Pour bands on as many pages as they need, ``foot`` and the page's number below them.

    A single page that is full has no foot.
    They are as wide as one of the ``columns``, which stand ``gap_pt`` apart.
    """
    room = paper.inner_height_pt - FOOT_PT * 2
    sides = pour(made, lambda _: room, lambda _: room)
    step = (paper.inner_width_pt + gap_pt) / columns
    if len(sides) > columns:
        whole = paper.inner_height_pt
        full = pour(made, lambda _: whole, lambda _: whole)
        if len(full) <= columns:
            return (_page(paper, full, step, ()),)
    pages = [sides[at : at + columns] for at in range(0, len(sides), columns)]
    return tuple(
        _page(paper, page, step, _foot(foot, number, len(pages), paper))
        for number, page in enumerate(pages, 1)
    )


def printed(story: Story, pages: Sequence[Page], *, what: str, subject: str) -> Printed:
    """Write pages about a story; ``what`` they are goes into the title."""
    pdf, count = write_pdf(
        pages, title=f"{story.title}: {what}", subject=subject, language=story.language
    )
    edges = margin_findings(pages[0].paper) if pages else ()
    return Printed(pdf, count, (*print_findings(story), *edges))


def title(text: str, beneath: str, width: float) -> Band:
    """The title of a document and, smaller, what it is."""
    strips = [bands.paragraph((Piece(text, True),), 26.0, width, tag="H1")]
    if beneath:
        strips.append(bands.paragraph((Piece(beneath, False, MUTED),), 14.0, width))
    return bands.stack(strips, 2.0)


def heading(text: str, width: float, size_pt: float = 18.0) -> Band:
    """A heading within a document, kept with what follows."""
    made = bands.paragraph((Piece(text, True),), size_pt, width, tag="H2")
    return bands.spaced(made, size_pt * 0.9, with_next=True)


def text(
    words: str, width: float, size_pt: float = TEXT_PT, *, bold: str = "", space: float = 3.0
) -> Band:
    """A paragraph, with bold words before it if any."""
    pieces = (Piece(bold, True), Piece(own(words))) if bold else (Piece(words),)
    return bands.spaced(bands.paragraph(pieces, size_pt, width), space)


def tick(words: str, width: float, size_pt: float = TEXT_PT, *, bold: str = "") -> Band:
    """A box to tick, with words after it."""
    left = size_pt * 1.5
    said = text(words, width - left, size_pt, bold=bold)
    box = Panel(0.6, 0.6, size_pt, size_pt, 2.0, None, INK, 1.2)
    blocks = (TaggedBlock("Artifact", (box,)), *said.at(left, 0))
    return Band(blocks, max(said.height, size_pt * 1.3), 4.0)


def write_on(label: str, width: float, lines: int = 1, size_pt: float = TEXT_PT) -> Band:
    """A label with lines to write on: beside it, then below it."""
    said = bands.paragraph((Piece(label, True),), size_pt, width)
    begin = flow((Piece(label, True),), size_pt, width).width_pt + size_pt * 0.5
    step = size_pt * 2.1
    blocks = list(said.blocks)
    for number in range(lines):
        x = begin if number == 0 and begin < width * 0.8 else 0.0
        y = said.height - size_pt * 0.1 + number * step
        blocks.append(TaggedBlock("Artifact", (StraightLine(x, y, width, y, MUTED, 1.0),)))
    return Band(tuple(blocks), said.height + size_pt * 0.08 + (lines - 1) * step, size_pt * 0.9)


def notice(strips: Sequence[Band], width: float, *, warn: bool = False) -> Band:
    """Strips in a frame; dashed amber for a warning."""
    pad = 8.0
    inside = bands.stack(list(strips))
    high = inside.height + 2 * pad
    fill: Ink | None = CREAM if warn else None
    edge = AMBER if warn else MUTED
    panel = Panel(0.8, 0.8, width - 1.6, high - 1.6, 6.0, fill, edge, 1.2, 5.0 if warn else 0.0)
    return Band((TaggedBlock("Artifact", (panel,)), *inside.at(pad, pad)), high, 8.0)


NOTICE_PAD = 16.0
"""How much narrower the text in a notice is than the notice."""


def _page(
    paper: Paper, columns: Sequence[Sequence[Band]], step: float, foot: tuple[TaggedBlock, ...]
) -> Page:
    blocks: list[TaggedBlock] = []
    for number, column in enumerate(columns):
        y = paper.margin_pt
        for index, band in enumerate(column):
            y += band.space_before if index else 0.0
            blocks += band.at(paper.margin_pt + number * step, y)
            y += band.height
    marks = tuple(band.bookmark for column in columns for band in column if band.bookmark)
    return Page(paper, tuple(b for b in (*blocks, *foot) if b.elements), marks)


def _foot(words: str, number: int, count: int, paper: Paper) -> tuple[TaggedBlock, ...]:
    size, width = FOOT_PT, paper.inner_width_pt
    page = flow(
        (Piece(say("page {number} of {count}", number=number, count=count), False, MUTED),),
        size,
        width,
    )
    name = flow((Piece(words, False, MUTED),), size, 1e6)
    left = name if name.width_pt <= width - page.width_pt - size else flow((), size, width)
    rule = StraightLine(0, 0, width, 0, LINE, 0.7)
    made = Band(
        (
            TaggedBlock("Artifact", (rule,)),
            *Band((TaggedBlock("Artifact", left.texts),), 0).at(0, size * 0.2),
            *Band((TaggedBlock("Artifact", page.texts),), 0).at(width - page.width_pt, size * 0.2),
        ),
        size * 1.3,
    )
    return made.at(paper.margin_pt, paper.height_pt - paper.margin_pt - size * 1.3)
