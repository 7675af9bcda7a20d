"""The pocket key: what each sign on a card means, on the two sides of one small card."""

from collections.abc import Callable
from functools import partial

from attrs import evolve, frozen

from tapscore.exports import marks
from tapscore.exports.board.drawing import target
from tapscore.exports.marks import PathSink
from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.drawing import (
    Element,
    Page,
    Panel,
    StraightLine,
    TaggedBlock,
    TextRun,
    extent,
    shape,
)
from tapscore.exports.paper.inks import AMBER, CREAM, INK, MUTED, PLUM, TEAL, WHITE, Ink
from tapscore.exports.paper.pages import Paper
from tapscore.exports.paper.pages import paper as named_paper
from tapscore.exports.paper.pdf import Printed, write_pdf
from tapscore.exports.paper.pour import pour
from tapscore.exports.paper.print_findings import margin_findings
from tapscore.exports.paper.prop_tags import tag_item
from tapscore.exports.paper.text_flow import Piece
from tapscore.exports.paper.text_width import width_pt
from tapscore.model.loudness import Loudness
from tapscore.model.story import Story
from tapscore.model.strokes import Stroke
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term

TEXT_PT = 16.0
SIGN_PT = 46.0
"""Room for a sign, left of its words."""
ROW_PT = 26.5
LEAST_COLUMN_PT = 140.0
"""The signs stand in one column instead of two on narrower paper."""


@frozen
class _Sign:
    words: str
    elements: tuple[Element, ...]
    """Drawn in a box ``SIGN_PT`` wide and ``ROW_PT`` high from (0, 0)."""


def pocket_key(story: Story, *, paper: str = "A6", margin_mm: float | None = None) -> Printed:
    """Print the key, lying: the marks on one side, the signs on the other.

    It goes on to further cards if there is no room.  Raises ValueError for a paper or
    margin there is no room on.
    """
    pages = key_pages(paper=paper, margin_mm=margin_mm)
    pdf, count = write_pdf(
        pages,
        title=say("Key to the cards"),
        subject=say("What the signs on the cards mean"),
        language=story.language,
    )
    return Printed(pdf, count, margin_findings(pages[0].paper))


def key_pages(*, paper: str = "A6", margin_mm: float | None = None) -> tuple[Page, ...]:
    """Lay out the sides of the key: two, if the paper is large enough."""
    size = named_paper(paper, landscape=True, margin_mm=margin_mm)
    return (
        *_sides(say("How to tap"), (_strokes(), _loudness()), size),
        *_sides(say("What to look out for"), (_line_signs(), _band_signs()), size),
    )


def _sides(title: str, columns: tuple[list[_Sign], ...], size: Paper) -> list[Page]:
    wide = size.inner_width_pt
    if wide / len(columns) < LEAST_COLUMN_PT:
        columns = ([sign for column in columns for sign in column],)
    heading = bands.paragraph((Piece(title, True, TEAL),), TEXT_PT + 2, wide, tag="H1")
    top = size.margin_pt + heading.height + 4
    each = (wide - 10) / len(columns)
    room = size.height_pt - size.margin_pt - top
    poured = [
        pour([_row(sign, each, _left(signs)) for sign in signs], lambda _: room, lambda _: room)
        for signs in columns
    ]
    made: list[Page] = []
    for side in range(max(len(column) for column in poured)):
        blocks = list(heading.at(size.margin_pt, size.margin_pt))
        for number, column in enumerate(poured):
            y = top
            for band in column[side] if side < len(column) else ():
                blocks += band.at(size.margin_pt + number * (each + 10), y)
                y += band.height
        made.append(Page(size, tuple(blocks), () if side else (title,)))
    return made


def _left(signs: list[_Sign]) -> float:
    """Where the words of a column begin: right of its widest sign."""
    widest = max((extent(each)[2] for sign in signs for each in sign.elements), default=0.0)
    return max(SIGN_PT + 6, widest + 2)


def _row(sign: _Sign, width: float, left: float) -> Band:
    said = bands.paragraph((Piece(sign.words),), TEXT_PT, width - left)
    high = max(ROW_PT, said.height + 3)
    picture = Band((TaggedBlock("Artifact", sign.elements),), ROW_PT).at(0, (high - ROW_PT) / 2)
    return Band((*picture, *said.at(left, (high - said.height) / 2)), high)


def _drawn(colour: Ink, draw: Callable[[PathSink], None]) -> Element:
    return shape(colour, draw)


def _mark(stroke: Stroke, size: float, x: float = SIGN_PT / 2) -> Element:
    return _drawn(INK, partial(marks.tap_mark, stroke=stroke, x=x, y=ROW_PT / 2, size=size))


def _pill(name: str, panel: Panel, y: float) -> tuple[Element, ...]:
    """A word in a solid panel, wider than usual where the word is."""
    wide = width_pt(name, 14, bold=True)
    panel = evolve(panel, width_pt=max(panel.width_pt, wide + 6))
    x = panel.x + (panel.width_pt - wide) / 2
    return panel, TextRun(x, y, name, 14, WHITE, True, wide)


def _strokes() -> list[_Sign]:
    made = [_Sign(stroke.shown, (_mark(stroke, 22),)) for stroke in Stroke]
    there = tuple(target(SIGN_PT / 2, ROW_PT / 2, 26))
    seat = _pill(say("you"), Panel(2, 4, SIGN_PT - 4, 17, 4, TEAL), 17)
    return [*made, _Sign(say("tap here"), there), _Sign(say("your seat"), seat)]


def _loudness() -> list[_Sign]:
    made = [
        _Sign(level.shown, (_mark(Stroke.FLAT_HAND, marks.mark_size(level, 30)),))
        for level in Loudness
    ]
    accent = partial(marks.accent_wedge, x=SIGN_PT / 2, y=8, size=20)
    tail = partial(marks.hold_tail, x0=22, x1=SIGN_PT, y=ROW_PT / 2, thick=2.6)
    return [
        *made,
        _Sign(
            say("wedge: a little more weight"), (_drawn(INK, accent), _mark(Stroke.FLAT_HAND, 16))
        ),
        _Sign(
            say("tail: stay down so long"),
            (_mark(Stroke.FLAT_HAND, 16, 14), _drawn(INK, tail)),
        ),
    ]


def _line_signs() -> list[_Sign]:
    hairpin = partial(
        marks.hairpin, points=[(2, 2), (SIGN_PT - 2, 17)], foot=ROW_PT - 4, thinnest=2
    )
    ticks = partial(marks.tempo_ticks, x0=0, x1=SIGN_PT, y=7, height=11, slowing=True)
    closer = partial(marks.tempo_ticks, x0=0, x1=SIGN_PT, y=7, height=11, slowing=False)
    dot = partial(marks.ellipse, x=SIGN_PT / 2, y=ROW_PT / 2, rx=2, ry=2)
    return [
        _Sign(say("grows louder or softer"), (_drawn(PLUM, hairpin),)),
        _Sign(term("slowing"), (_drawn(PLUM, ticks),)),
        _Sign(term("quickening"), (_drawn(PLUM, closer),)),
        _Sign(
            say("the beat begins again"),
            (StraightLine(SIGN_PT / 2, 3, SIGN_PT / 2, 23, MUTED, 1.6),),
        ),
        _Sign(say("same word goes on"), (_drawn(MUTED, dot),)),
    ]


def _band_signs() -> list[_Sign]:
    warn = Panel(1, 4, SIGN_PT - 2, ROW_PT - 9, 5, CREAM, AMBER, 1.5, 5)
    solid = _pill(say("Wait"), Panel(0, 3, SIGN_PT, 20, 4, INK), 18)
    rail = Panel(SIGN_PT / 2 - 2, 2, 3.5, ROW_PT - 4, 1.5, TEAL)
    tag = tag_item(say("cup"), "", 14).sign
    halt = _pill(say("Stop"), Panel(0, 3, SIGN_PT, 20, 6, INK), 18)
    return [
        _Sign(say("at least so many seconds; pupils end it"), solid),
        _Sign(say("warn first, then tap"), (warn,)),
        _Sign(say("rest till you hear the words"), halt),
        _Sign(say("refrain: keep the card"), (rail,)),
        _Sign(say("a prop comes or goes"), Band((TaggedBlock("", tag),), 0).at(10, 3)[0].elements),
    ]
