"""Slips to write on what a pupil showed: four on a sheet, and no scores.

Every slip leaves room for ‘no response seen’ and ‘came away’: both are answers.
"""

from collections.abc import Iterator

from tapscore.exports.paper import bands, fonts
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.drawing import Block, Page
from tapscore.exports.paper.imposition import impose
from tapscore.exports.paper.pages import Paper, parts
from tapscore.exports.paper.pages import paper as named_paper
from tapscore.exports.paper.pdf import Printed
from tapscore.exports.paper.running_pages import TEXT_PT, printed, tick, write_on
from tapscore.exports.paper.steps import steps
from tapscore.exports.paper.text_flow import Piece
from tapscore.model.comfort import STAGE_WORDS
from tapscore.model.story import Story
from tapscore.rhythm.performance import Performance

PER_SHEET = 4


def observation_slips(
    story: Story, performance: Performance, *, paper: str = "A4", margin_mm: float | None = None
) -> Printed:
    """Print a slip for each moment with something to look for, and blank ones.

    Raises ValueError for a paper or margin there is no room on.
    """
    pages = observation_pages(story, performance, paper=paper, margin_mm=margin_mm)
    return printed(story, pages, what="observation slips", subject="What a pupil showed")


def observation_pages(
    story: Story, performance: Performance, *, paper: str = "A4", margin_mm: float | None = None
) -> tuple[Page, ...]:
    """Lay out the pages that ``observation_slips`` prints, as data.

    Four slips are on a sheet, or fewer on a small one.
    """
    fonts.register()
    part, per_sheet = parts(paper, PER_SHEET)
    size = named_paper(part, landscape=True, margin_mm=margin_mm)
    slips = [page for moment in _moments(performance) for page in _slip(story, moment, size)]
    blank = _slip(story, ("", ""), size)
    room = -len(slips) % per_sheet or per_sheet
    slips += blank * -(-room // len(blank))
    return impose(slips, per_sheet, on=paper)


def _moments(performance: Performance) -> Iterator[tuple[str, str]]:
    """Where there is something to look for, and what."""
    seen: set[tuple[str, str]] = set()
    before = "the start"
    for step in steps(performance):
        for segment in step.segments:
            if not segment.look_for:
                continue
            where = step.refrain or (f"{step.number}" if step.number else f"after {before}")
            moment = (where, segment.look_for)
            if moment not in seen:
                seen.add(moment)
                yield moment
        before = step.refrain or (f"{step.number}" if step.number else before)


def _slip(story: Story, moment: tuple[str, str], paper: Paper) -> list[Page]:
    wide = paper.inner_width_pt
    where, look_for = moment
    made = [bands.paragraph((Piece(story.title, True),), TEXT_PT + 2, wide, tag="H1")]
    made.append(_beside(("Date", 0.3), ("Pupil’s initials", 0.36), ("By", 0.34), wide=wide))
    line = bands.paragraph((Piece("Line ", True), Piece(where)), TEXT_PT, wide)
    made.append(bands.spaced(line, 6.0) if where else write_on("Line", wide))
    if look_for:
        said = (Piece("Look for ", True), Piece(look_for))
        made.append(bands.spaced(bands.paragraph(said, TEXT_PT, wide), 3.0))
    made.append(_ticks(STAGE_WORDS, wide))
    made.append(write_on("Seen", wide, 3))
    made.append(_beside(("Support given", 0.58), ("Time to response", 0.42), wide=wide))
    made.append(_ticks(("no response seen", "came away"), wide))
    made.append(write_on("What else was going on", wide))
    return _poured(made, paper)


def _poured(made: list[Band], paper: Paper) -> list[Page]:
    from tapscore.exports.paper.pour import pour

    room = paper.inner_height_pt
    pages: list[Page] = []
    for side in pour(made, lambda _: room, lambda _: room):
        y = paper.margin_pt
        blocks: list[Block] = []
        for index, band in enumerate(side):
            y += band.space_before if index else 0.0
            blocks += band.at(paper.margin_pt, y)
            y += band.height
        pages.append(Page(paper, tuple(b for b in blocks if b.elements)))
    return pages


def _beside(*fields: tuple[str, float], wide: float) -> Band:
    """Labels with room to write, side by side; each has its share of the width."""
    blocks: list[Block] = []
    x = high = 0.0
    for label, share in fields:
        band = write_on(label, wide * share - 8)
        blocks += band.at(x, 0)
        x += wide * share
        high = max(high, band.height)
    return Band(tuple(blocks), high, 9.0)


def _ticks(words: tuple[str, ...], wide: float) -> Band:
    blocks: list[Block] = []
    x = high = 0.0
    each = wide / len(words)
    for word in words:
        band = tick(word, each - 4)
        blocks += band.at(x, 0)
        x += each
        high = max(high, band.height)
    return Band(tuple(blocks), high, 8.0)
