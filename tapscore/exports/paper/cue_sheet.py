"""The leader's cue sheet: the whole story on paper, as a PDF."""

from collections.abc import Sequence

from attrs import evolve

from tapscore.exports.paper import bands, fonts
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.drawing import Block, Page, Rule
from tapscore.exports.paper.inks import LINE, MUTED
from tapscore.exports.paper.pages import Paper
from tapscore.exports.paper.pages import paper as sheet
from tapscore.exports.paper.pdf import Printed, write_pdf
from tapscore.exports.paper.pour import pour
from tapscore.exports.paper.print_findings import print_findings
from tapscore.exports.paper.sheet_front import front
from tapscore.exports.paper.sheet_lines import SheetLines
from tapscore.exports.paper.sizes import SHEET_SIZES
from tapscore.exports.paper.steps import steps
from tapscore.exports.paper.text_flow import Piece, flow
from tapscore.model.story import Story
from tapscore.rhythm.performance import Performance

MARGIN_MM = 13.0


def cue_sheet(story: Story, performance: Performance, *, paper: str = "A4") -> Printed:
    """Print the whole story for the leader, standing.

    Raises ValueError for a paper there is none of.
    """
    pages = sheet_pages(story, performance, paper=paper)
    pdf, count = write_pdf(
        pages,
        title=f"{story.title}: cue sheet",
        subject="The whole story for the leader",
        language=story.language,
    )
    return Printed(pdf, count, print_findings(story))


def sheet_pages(story: Story, performance: Performance, *, paper: str = "A4") -> tuple[Page, ...]:
    """Lay out the pages that ``cue_sheet`` prints, as data."""
    fonts.register()
    size = sheet(paper, landscape=False, margin_mm=MARGIN_MM)
    made = front(story, performance, SHEET_SIZES, size.inner_width_pt)
    made += _story(story, performance, size.inner_width_pt)
    foot_pt = SHEET_SIZES.label * 2
    room = size.inner_height_pt - foot_pt
    sides = pour(made, lambda _: room, lambda _: room)
    return tuple(
        _page(size, side, _foot(story.title, number, len(sides), size))
        for number, side in enumerate(sides, 1)
    )


def _story(story: Story, performance: Performance, width: float) -> list[Band]:
    lines = SheetLines(story, performance.roles, SHEET_SIZES, width)
    made: list[Band] = []
    section: str | None = None
    gap = SHEET_SIZES.label
    for step in steps(performance):
        heading = step.segments[0].section
        if heading != section and heading:
            title = bands.paragraph((Piece(heading, True),), 20.0, width, tag="H2")
            spaced = bands.spaced(title, gap * 1.8, with_next=True)
            made.append(evolve(spaced, bookmark=heading))
        section = heading
        made += lines.step(step)
    made.append(lines.finish(performance.length_sec))
    return made


def _page(paper: Paper, side: Sequence[Band], foot: tuple[Block, ...]) -> Page:
    y = paper.margin_pt
    blocks: list[Block] = []
    for index, band in enumerate(side):
        y += band.space_before if index else 0.0
        blocks += band.at(paper.margin_pt, y)
        y += band.height
    marks = tuple(band.bookmark for band in side if band.bookmark)
    return Page(paper, tuple(b for b in (*blocks, *foot) if b.elements), marks)


def _foot(title: str, number: int, count: int, paper: Paper) -> tuple[Block, ...]:
    size, width = SHEET_SIZES.label, paper.inner_width_pt
    page = flow((Piece(f"page {number} of {count}", False, MUTED),), size, width)
    name = flow((Piece(title, False, MUTED),), size, 1e6)
    room = width - page.width_pt - size
    left = name if name.width_pt <= room else flow((), size, room)
    top = paper.height_pt - paper.margin_pt - size * 1.3
    rule = Rule(0, 0, width, 0, LINE, 0.7)
    made = Band(
        (
            Block("Artifact", (rule,)),
            *Band((Block("Artifact", left.texts),), 0).at(0, size * 0.2),
            *Band((Block("Artifact", page.texts),), 0).at(width - page.width_pt, size * 0.2),
        ),
        size * 1.3,
    )
    return made.at(paper.margin_pt, top)
