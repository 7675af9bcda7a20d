"""The words in large print, refrains in full each time, to read from or to sign with.

UKAAF G003 (2019): large print is 16 pt at least and best at 18 pt; sans serif, from the
left, no italics, no underlining, no blocks of capitals.
"""

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.drawing import Page, Panel, TaggedBlock
from tapscore.exports.paper.inks import TEAL
from tapscore.exports.paper.pdf import Printed
from tapscore.exports.paper.running_pages import printed, running_pages, sheet_of
from tapscore.exports.paper.steps import Step, steps
from tapscore.exports.paper.text_flow import Piece, own
from tapscore.model.story import Story
from tapscore.model.words import printed as plain
from tapscore.rhythm.performance import Performance, SegmentKind
from tapscore.wording.catalogue import say

WORDS_PT = 20.0
SMALLEST_PT = 18.0
RAIL_PT = 14.0


def large_words(
    story: Story, performance: Performance, *, paper: str = "A4", margin_mm: float | None = None
) -> Printed:
    """Print the words alone.  Raises ValueError for a paper or margin there is no room on."""
    pages = large_words_pages(story, performance, paper=paper, margin_mm=margin_mm)
    return printed(story, pages, what=say("words"), subject=say("The words in large print"))


def large_words_pages(
    story: Story, performance: Performance, *, paper: str = "A4", margin_mm: float | None = None
) -> tuple[Page, ...]:
    """Lay out the pages that ``large_words`` prints, as data."""
    size = sheet_of(paper, margin_mm)
    wide = size.inner_width_pt
    made = [bands.paragraph((Piece(story.title, True),), 30.0, wide, tag="H1")]
    section = ""
    for step in steps(performance):
        if step.segments[0].section != section:
            section = step.segments[0].section
            if section:
                title = bands.paragraph((Piece(section, True),), 24.0, wide, tag="H2")
                made.append(bands.spaced(title, 26.0, with_next=True))
        made += _step(step, wide)
    return running_pages(made, size, story.title)


def _step(step: Step, wide: float) -> list[Band]:
    left = RAIL_PT if step.refrain is not None else 0.0
    made: list[Band] = []
    for segment in step.segments:
        if segment.kind is not SegmentKind.LINE:
            bands.keep_with_next(made)
        if segment.kind is SegmentKind.LINE and segment.line is not None:
            pieces, size = (Piece(plain(segment.line.words)),), WORDS_PT
        elif segment.kind is SegmentKind.WAIT:
            pieces, size = (Piece(say("Wait"), True),), SMALLEST_PT
        else:
            pieces, size = (
                (Piece(say("Everyone’s turn: {prop}", prop=own(segment.prop or "")), True),),
                SMALLEST_PT,
            )
        band = bands.paragraph(pieces, size, wide - left)
        first = not made and segment.kind is SegmentKind.LINE
        space = 14.0 if first or segment.kind is not SegmentKind.LINE else 4.0
        blocks = band.at(left, 0)
        if left and segment.kind is SegmentKind.LINE:
            rail = Panel(0, 0, 3.0, band.height, 1.5, TEAL)
            blocks = (TaggedBlock("Artifact", (rail,)), *blocks)
        made.append(Band(blocks, band.height, space))
    return made
