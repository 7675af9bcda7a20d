"""The cautions page: what to think of with these props and any pupil, and whom to ask."""

from collections.abc import Sequence

from attrs import evolve

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.drawing import (
    Element,
    Page,
    Panel,
    StraightLine,
    TableCell,
    TaggedBlock,
    TextRun,
)
from tapscore.exports.paper.inks import MUTED
from tapscore.exports.paper.pdf import Printed
from tapscore.exports.paper.running_pages import (
    NOTICE_PAD,
    TEXT_PT,
    heading,
    notice,
    printed,
    running_pages,
    sheet_of,
    text,
    title,
)
from tapscore.exports.paper.text_flow import Piece
from tapscore.model.cautions import CAUTIONS, Caution, title_of
from tapscore.model.pupil_cautions import DEFERS, PLACE_CAUTIONS, PUPIL_CAUTIONS
from tapscore.model.story import Story
from tapscore.wording.catalogue import say

SHARES = (0.34, 0.22, 0.28, 0.16)
ROW_PT = 26.0
LEAST_ROWS = 8
BLANK = "\N{NO-BREAK SPACE}"
CELLS = 1
"""Which table of the document."""


def cautions_page(story: Story, *, paper: str = "A4", margin_mm: float | None = None) -> Printed:
    """Print the cautions.  Raises ValueError for a paper or margin there is no room on."""
    pages = cautions_pages(story, paper=paper, margin_mm=margin_mm)
    return printed(
        story, pages, what=say("cautions"), subject=say("What to think of, and whom to ask")
    )


def cautions_pages(
    story: Story, *, paper: str = "A4", margin_mm: float | None = None
) -> tuple[Page, ...]:
    """Lay out the pages that ``cautions_page`` prints, as data."""
    size = sheet_of(paper, margin_mm)
    wide = size.inner_width_pt
    inner = wide - NOTICE_PAD
    made = [
        title(
            say("{title}: cautions", title=story.title),
            say("Read this before the first session."),
            wide,
        ),
        notice([text(DEFERS, inner, 13.0, bold="")], wide, warn=True),
    ]
    cautioned = [prop for prop in story.props if prop.cautions]
    if cautioned:
        made.append(heading(say("This story’s props"), wide))
    for word in dict.fromkeys(word for prop in cautioned for word in prop.cautions):
        names = ", ".join(prop.name for prop in cautioned if word in prop.cautions)
        known = CAUTIONS.get(word)
        bold = f"{names}: {title_of(word)}. "
        made.append(text(_sentences(known) if known else "", wide, bold=bold))
    for part, cautions in (
        (say("Pupils"), PUPIL_CAUTIONS),
        (say("Board and room"), PLACE_CAUTIONS),
    ):
        made.append(heading(part, wide))
        made += [caution_band(each, wide, space=5.0) for each in cautions]
    made.append(heading(say("Asked and answered for this class"), wide))
    asked = [f"{prop.name}: {title_of(word)}" for prop in cautioned for word in prop.cautions]
    made += _table([*asked, *[""] * max(LEAST_ROWS - len(asked), 3)], wide)
    return running_pages(made, size, say("{title}: cautions", title=story.title))


def caution_band(caution: Caution, wide: float, *, space: float = 3.0) -> Band:
    """A hazard's name, what it asks of adults, and who decides."""
    name = f"{caution.name[:1].upper()}{caution.name[1:]}. "
    return text(_sentences(caution), wide, bold=name, space=space)


def _sentences(caution: Caution) -> str:
    """What a hazard asks of adults, and who decides."""
    return f"{caution.reminder} {say('Ask {who}.', who=caution.ask)}"


def _table(asked: Sequence[str], wide: float) -> list[Band]:
    """Rows to fill in by hand: what, asked whom, the answer, and when."""
    heads = (say("What"), say("Asked whom"), say("Answer"), say("Date"))
    made: list[Band] = []
    for row, words in enumerate([heads, *((word, "", "", "") for word in asked)]):
        cells: list[TaggedBlock] = []
        x = high = 0.0
        for share, word in zip(SHARES, words, strict=True):
            said = bands.paragraph((Piece(word, row == 0),), TEXT_PT, wide * share - 8)
            if not word:
                blank = TextRun(0, TEXT_PT, BLANK, TEXT_PT, MUTED, False, width_pt=3.0)
                said = Band((TaggedBlock("TD", (blank,)),), TEXT_PT)
            tag, scope = ("TH", "Column") if row == 0 else ("TD", "")
            cells += [
                evolve(block, tag=tag, cell=TableCell(CELLS, row, scope))
                for block in said.at(x + 4, 3)
            ]
            high = max(high, said.height + 6, 0.0 if row == 0 else ROW_PT)
            x += wide * share
        grid: list[Element] = [Panel(0.4, 0.4, wide - 0.8, high - 0.8, 0, None, MUTED, 0.8)]
        x = 0.0
        for share in SHARES[:-1]:
            x += wide * share
            grid.append(StraightLine(x, 0, x, high, MUTED, 0.8))
        made.append(Band((TaggedBlock("Artifact", tuple(grid)), *cells), high, with_next=row == 0))
    return made
