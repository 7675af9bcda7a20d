"""The leader's cue sheet: the whole story on paper, as a PDF."""

from attrs import evolve

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.drawing import Page
from tapscore.exports.paper.pdf import Printed
from tapscore.exports.paper.running_pages import printed, running_pages, sheet_of
from tapscore.exports.paper.sheet_front import front
from tapscore.exports.paper.sheet_lines import SheetLines
from tapscore.exports.paper.sizes import SHEET_SIZES
from tapscore.exports.paper.steps import steps
from tapscore.exports.paper.text_flow import Piece
from tapscore.model.story import Story
from tapscore.rhythm.performance import Performance


def cue_sheet(
    story: Story, performance: Performance, *, paper: str = "A4", margin_mm: float | None = None
) -> Printed:
    """Print the whole story for the leader, standing.

    Raises ValueError for a paper or margin there is no room on.
    """
    pages = sheet_pages(story, performance, paper=paper, margin_mm=margin_mm)
    return printed(story, pages, what="cue sheet", subject="The whole story for the leader")


def sheet_pages(
    story: Story, performance: Performance, *, paper: str = "A4", margin_mm: float | None = None
) -> tuple[Page, ...]:
    """Lay out the pages that ``cue_sheet`` prints, as data."""
    size = sheet_of(paper, margin_mm)
    made = front(story, performance, SHEET_SIZES, size.inner_width_pt)
    made += _story(story, performance, size.inner_width_pt)
    return running_pages(made, size, story.title)


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
