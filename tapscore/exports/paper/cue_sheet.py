"""The leader's cue sheet: the whole story on paper, as a PDF."""

from attrs import evolve

from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.drawing import Page
from tapscore.exports.paper.pages import sides_mm
from tapscore.exports.paper.pdf import Printed
from tapscore.exports.paper.running_pages import printed, running_pages, sheet_of
from tapscore.exports.paper.sheet_front import front
from tapscore.exports.paper.sheet_lines import SheetLines
from tapscore.exports.paper.sizes import SHEET_SIZES
from tapscore.exports.paper.steps import steps
from tapscore.model.story import Story
from tapscore.rhythm.performance import Performance
from tapscore.wording.catalogue import say

MARGIN_MM = 8.0
TWO_COLUMNS_MM = 280.0
"""A sheet whose short side is so long lies and has two columns."""
COLUMN_GAP_PT = 22.0


def cue_sheet(
    story: Story, performance: Performance, *, paper: str = "A4", margin_mm: float | None = None
) -> Printed:
    """Print the whole story for the leader: ten lines on one side of A4, forty on two of A3.

    Raises ValueError for a paper or margin there is no room on.
    """
    pages = sheet_pages(story, performance, paper=paper, margin_mm=margin_mm)
    return printed(
        story, pages, what=say("cue sheet"), subject=say("The whole story for the leader")
    )


def sheet_pages(
    story: Story, performance: Performance, *, paper: str = "A4", margin_mm: float | None = None
) -> tuple[Page, ...]:
    """Lay out the pages that ``cue_sheet`` prints, as data: upright, on A3 lying in two columns."""
    columns = 2 if sides_mm(paper)[0] >= TWO_COLUMNS_MM else 1
    margin = MARGIN_MM if margin_mm is None else margin_mm
    size = sheet_of(paper, margin, landscape=columns > 1)
    wide = (size.inner_width_pt - (columns - 1) * COLUMN_GAP_PT) / columns
    made = front(story, performance, SHEET_SIZES, wide)
    made += _story(story, performance, wide)
    return running_pages(made, size, story.title, columns=columns, gap_pt=COLUMN_GAP_PT)


def _story(story: Story, performance: Performance, width: float) -> list[Band]:
    lines = SheetLines(story, performance, SHEET_SIZES, width)
    made: list[Band] = []
    section: str | None = None
    for step in steps(performance):
        found = lines.step(step)
        heading = step.segments[0].section
        if heading != section and heading and found:
            found[0] = evolve(found[0], bookmark=heading)
        section = heading
        made += found
    made.append(lines.finish(performance.length_sec))
    return made
