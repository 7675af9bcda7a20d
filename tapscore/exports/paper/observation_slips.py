"""Slips to write on what a pupil showed: two on a sheet, in the slip's order, and no scores.

``no response seen`` and ``came away`` stand beside ``answered``: all are answers.
"""

from collections.abc import Iterator, Sequence

from attrs import evolve

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.drawing import Page, TaggedBlock
from tapscore.exports.paper.imposition import impose
from tapscore.exports.paper.pages import Paper, parts
from tapscore.exports.paper.pages import paper as named_paper
from tapscore.exports.paper.pdf import Printed
from tapscore.exports.paper.running_pages import TEXT_PT, printed, tick, write_on
from tapscore.exports.paper.text_flow import Piece, own, pieces_of
from tapscore.exports.paper.text_width import width_pt
from tapscore.model.observing import SLIP, Entry, SlipField
from tapscore.model.story import Story
from tapscore.rhythm.moments import Moment, moment_words, moments
from tapscore.rhythm.performance import Performance
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term

PER_SHEET = 2
_BESIDE = (
    ("date", "number", "there"),
    ("pupil", "observer"),
    ("answer", "before_cue"),
)
"""Entries that share a line, neighbours in the slip's order."""
_SHARES = {"date": 0.24, "number": 0.28, "there": 0.48, "pupil": 0.5, "observer": 0.5}
_LINES_SEEN = 3
_GAP_PT = 14.0


def observation_slips(
    story: Story, performance: Performance, *, paper: str = "A4", margin_mm: float | None = None
) -> Printed:
    """Print a slip for each moment of the story, and blank ones.

    Raises ValueError for a paper or margin there is no room on.
    """
    pages = observation_pages(story, performance, paper=paper, margin_mm=margin_mm)
    return printed(story, pages, what=say("observation slips"), subject=say("What a pupil showed"))


def observation_pages(
    story: Story, performance: Performance, *, paper: str = "A4", margin_mm: float | None = None
) -> tuple[Page, ...]:
    """Lay out the pages that ``observation_slips`` prints, as data.

    Two slips are on a sheet, or one on a small one.
    """
    part, per_sheet = parts(paper, PER_SHEET)
    size = named_paper(part, landscape=True, margin_mm=margin_mm)
    slips = [page for moment in moments(performance) for page in _slip(story, moment, size)]
    blank = _slip(story, None, size)
    room = -len(slips) % per_sheet or per_sheet
    slips += blank * -(-room // len(blank))
    return impose(slips, per_sheet, on=paper)


def _slip(story: Story, moment: Moment | None, paper: Paper) -> list[Page]:
    wide = paper.inner_width_pt
    made = [bands.paragraph((Piece(story.title, True),), TEXT_PT + 2, wide, tag="H1")]
    for fields in _rows():
        if fields[0].key == "moment":
            made += _moment(fields[0], moment, wide)
        else:
            made.append(_row(fields, wide))
    return _poured(made, paper)


def _rows() -> Iterator[tuple[SlipField, ...]]:
    """The slip's entries in its order, those of one line together."""
    done: set[str] = set()
    for each in SLIP:
        if each.key not in done:
            row = next((keys for keys in _BESIDE if each.key in keys), (each.key,))
            done.update(row)
            yield tuple(field for field in SLIP if field.key in row)


def _row(fields: Sequence[SlipField], wide: float) -> Band:
    if all(field.entry is Entry.WORDS for field in fields):
        return _beside(fields, wide)
    if fields[0].entry is Entry.MANY_WORDS:
        return write_on(fields[0].shown, wide, _LINES_SEEN)
    return _choices(fields, wide)


def _moment(field: SlipField, moment: Moment | None, wide: float) -> list[Band]:
    if moment is None:
        return [write_on(field.shown, wide)]
    number = say(" (line {number})", number=moment.number) if moment.number is not None else ""
    name = moment_words(moment.name)
    said = (Piece(f"{field.shown} ", True), Piece(f"{own(name)}{number}"))
    made = [bands.spaced(bands.paragraph(said, TEXT_PT, wide), 7.0)]
    if moment.look_for:
        look = pieces_of("**Look for **{answer}", answer=own(moment.look_for))
        made.append(bands.spaced(bands.paragraph(look, TEXT_PT, wide), 3.0))
    return made


def _poured(made: list[Band], paper: Paper) -> list[Page]:
    from tapscore.exports.paper.pour import pour

    room = paper.inner_height_pt
    pages: list[Page] = []
    for side in pour(made, lambda _: room, lambda _: room):
        y = paper.margin_pt
        blocks: list[TaggedBlock] = []
        for index, band in enumerate(side):
            y += band.space_before if index else 0.0
            blocks += band.at(paper.margin_pt, y)
            y += band.height
        pages.append(Page(paper, tuple(b for b in blocks if b.elements)))
    return pages


def _beside(fields: Sequence[SlipField], wide: float) -> Band:
    """Labels with room to write, side by side; each has its share of the width."""
    blocks: list[TaggedBlock] = []
    x = high = 0.0
    for field in fields:
        share = wide * _SHARES.get(field.key, 1.0 / len(fields))
        band = write_on(field.shown, share - (8 if len(fields) > 1 else 0))
        blocks += band.at(x, 0)
        x += share
        high = max(high, band.height)
    return Band(tuple(blocks), high, 9.0)


def _choices(fields: Sequence[SlipField], wide: float) -> Band:
    """Boxes to tick after the entry's label, as many on a line as there is room for."""
    items: list[tuple[Band, float]] = []
    for field in fields:
        if field.entry is Entry.TICK:
            items.append(_tick(field.shown, wide))
            continue
        label = bands.paragraph((Piece(field.shown, True),), TEXT_PT, wide)
        items.append((label, width_pt(field.shown, TEXT_PT, bold=True)))
        items += [_tick(term(choice), wide) for choice in field.choices]
    blocks: list[TaggedBlock] = []
    x = y = high = 0.0
    for band, room in items:
        if x and x + room > wide + 0.01:
            x, y, high = 0.0, y + high + 4.0, 0.0
        blocks += band.at(x, y)
        x += room + _GAP_PT
        high = max(high, band.height)
    return Band(tuple(blocks), y + high, 9.0)


def _tick(words: str, wide: float) -> tuple[Band, float]:
    room = min(width_pt(words, TEXT_PT, bold=False) + TEXT_PT * 1.5 + 0.5, wide)
    return evolve(tick(words, room), space_before=0.0), room
