"""Where everything stands on the papers of three small stories, in millimetres, block by block.

A golden file, a fifth of it looked over by eye as pages: it says that something moved, was
left out or has another ink, ``test_small_papers`` and ``test_small_papers_drawn`` say by hand what
is right.  Where a change is meant: ``python -m tests.exports.paper.test_laid_out`` writes it anew;
read its differences before you keep them.
"""

from collections.abc import Callable
from functools import cache
from itertools import groupby
from pathlib import Path
from typing import Any
from zlib import crc32

import pytest

from tapscore.exports.paper.card_layout import lay_out
from tapscore.exports.paper.cards import role_cards
from tapscore.exports.paper.cue_cards import card_pages
from tapscore.exports.paper.drawing import (
    Element,
    Page,
    Panel,
    StraightLine,
    TaggedBlock,
    TextRun,
    extent,
)
from tapscore.exports.paper.hall_screen import hall_screen_pages
from tapscore.exports.paper.imposition import back_page, impose
from tapscore.exports.paper.pages import PT_PER_MM, paper
from tapscore.exports.paper.part_sheets import part_pages
from tapscore.exports.paper.sizes import card_sizes
from tapscore.exports.paper.supply_sheet import supply_pages
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tests.exports.paper.test_papers import ALL
from tests.hill import DOOR, STORY, lines_of, story_of

GOLDEN = Path(__file__).parents[2] / "data" / "papers_laid_out.txt"
MOST_PAGES = 5
EDGE = story_of(
    "tapscore: 2\ntitle: The Edge\nboard: {size_cm: [90, 60], places: {A: {at: [2, 30]}}}\n"
    "story: []\n"
)
"""A pupil at the edge of the sheet, where nobody has a seat."""
YARD = story_of(
    """\
tapscore: 2
title: The Yard
language: en-GB
metre: 6/8
tempo: 54
loudness: medium
stroke: flat hand
spot: gate
says: [ann, bea]
outdoors: an upturned crate
weather: under the porch in rain
pupils: 3
board:
  size_cm: [160, 100]
  strips: {west: free, north: elastic}
  spots: {gate: [80, 50], well: [30, 20], barn: [140, 90]}
  seats: {north: [80, 100], east: [160, 50], south: [50, 0]}
  places:
    A: {at: [50, 70]}
    B: {at: [110, 45], lying: true, head: west, with: cyd}
    C: {at: [140, 20], lying: true, head: south}
  sides: {north: door, west: window}
  way out: [0, 50]
  oldest pupil: 6
roles: {ann: {seat: north}, bea: {seat: east}, cyd: {seat: south}, dot: {}, eve: {}}
props:
  cup: {what: a tin cup, cautions: [small parts, water], handed by: [dot, eve]}
  straw: {instead: paper strips, outdoors: long grass, by: dot, sets: 3}
  lamp: {cautions: [light]}
refrains:
  round the yard:
    - words: Round and round we go,
      lane: "| X . x x . x | X . . . . . |"
      by: everyone
    - {wait: 6, look for: a turn}
    - {words: round the yard and home., lane: "x | X . x x . . | X . . . . . |", by: [cyd, dot]}
  still:
    - {words: Still., by: bea, lane: "| x _ _ _ _ _ |", loudness: very quiet}
story:
  - section: Out of the door
    lines:
      - words: Ear-ly in the mor-ning when the cock-e-rel was crow-ing
        lane: "| X . x x . x | x . x x . x | X . x x . x | x . x . . . |"
        by: [ann, cyd]
        in: {pl: Wczesnym rankiem, ur: صبح سویرے}
        areas: [Literacy, exploration]
      - refrain: round the yard
      - words: The cup comes round
        prop in: {cup: well, straw: }
        do: pass it on
        look for: a hold
      - {offer: cup, turn: 15, look for: a sip of air}
      - words: Clat-ter clat-ter bang
        lane: "| x x x x X . | T . t . . . |"
        by: dot
        loudness: quiet to very loud
        stroke: knuckles
        spot: barn
        tempo: 54 to 80
        warn first: a raised hand
        warned by: everyone
        warned through: [voice, sight]
      - refrain: still
      - {wait: 20, look for: a look}
  - section: And home
    metre: 2/4
    lines:
      - words: مرحبا يا صديقي
        lane: "| x . x . | x . . . |"
        by: eve
      - words: ""
        lane: "| t . t . | t(ann) . t(bea, well) . |"
        by: [ann, bea]
      - words: Home now
        lane: "| x(dot: loud) . x . |"
        by: [ann, dot]
        prop out: [cup, straw]
      - refrain: round the yard
      - {offer: lamp, turn: 20}
      - refrain: still
"""
)


def _long(times: int) -> Story:
    """A line that goes on for several sides or columns, and a short one."""
    return lines_of(
        f"      - words: {'row row row row ' * times}\n"
        f"        lane: '{'| X . x . x . x . ' * times}|'\n        by: [ann, bea]\n"
        "        look for: a look\n      - {words: Hush}\n"
    )


STORIES = {"hill": STORY, "door": DOOR, "yard": YARD}


def _cut(per_sheet: int, size: str, on: str) -> tuple[Page, ...]:
    """Cards on larger sheets, with their backs."""
    card, sizes = paper(size, landscape=True), card_sizes(0.5)
    cards = role_cards(YARD, perform(YARD), "cyd")[1:3]
    pages = [page for each in cards for page in lay_out(YARD, each, card, sizes)]
    return impose(pages, per_sheet, back_page(YARD.title, "cyd", card, sizes), on=on)


Make = Callable[[], tuple[Page, ...]]
ADULTS = {"card": card_pages, "part": part_pages}
OF_STORIES = {
    "hill": ("card cyd", "floor", "step in"),
    "door": ("card bea", "part bea", "part dot", "sheet", "home", "props"),
    "yard": (
        *("card ann", "card bea", "card dot", "card eve", "part ann", "part cyd", "part dot"),
        *("sheet", "floor", "words", "briefing", "plan", "slips", "home", "props", "label"),
        *("cautions", "outdoors", "step in"),
    ),
}


def _make(story: Story, kind: str, who: str, **how: Any) -> Make:
    if who and kind in ADULTS:
        return lambda: ADULTS[kind](story, perform(story), who, **how)
    return lambda: ALL[f"{kind} {who}".strip()](story, **how)


def _papers() -> dict[str, Make]:
    told = perform(YARD)
    near = (("A", "eve"), ("C", "ann"))
    return {
        f"{name} {kind}": _make(STORIES[name], *kind.partition(" ")[::2])
        for name, kinds in OF_STORIES.items()
        for kind in kinds
    } | {
        "hall": lambda: hall_screen_pages(YARD, told),
        "key": lambda: ALL["pocket key"](YARD),
        "key, small": lambda: ALL["pocket key"](YARD, paper="80 x 120"),
        "step in, near": lambda: supply_pages(YARD, told, near),
        "step in, edge": _make(EDGE, "step in", ""),
        "card, small": _make(YARD, "card", "dot", paper="A6", distance_m=0.5),
        "card, far": _make(DOOR, "card", "bea", paper="A4", distance_m=2.0),
        "part, near": _make(YARD, "part", "cyd", paper="A4", distance_m=0.5),
        "part, A3": _make(YARD, "part", "ann", paper="A3", language="pl"),
        "sheet, A3": _make(YARD, "sheet", "", paper="A3"),
        "slips, A5": lambda: ALL["slips"](YARD, paper="A5", margin_mm=5)[:2],
        "home, A5": _make(YARD, "home", "", paper="A5"),
        "floor, A5": _make(YARD, "floor", "", paper="A5"),
        "part, long": _make(_long(18), "part", "ann", paper="A4"),
        "part, long, A3": _make(_long(62), "part", "ann", paper="A3", distance_m=0.7),
        "card, long": _make(_long(18), "card", "bea", paper="A6"),
        "sheet, long": _make(_long(18), "sheet", "", paper="A5"),
        "two on a sheet": lambda: _cut(2, "A5", "A4"),
        "four on a sheet": lambda: _cut(4, "A6", "A4"),
        "own cards": lambda: _cut(2, "130 x 180", "A4"),
    }


PAPERS = _papers()


def rows(pages: tuple[Page, ...]) -> list[str]:
    """A row for each block of some pages: what it is, where in mm, a sum, how its words begin."""
    made: list[str] = []
    for page in pages[:MOST_PAGES]:
        sides = page.paper.width_pt / PT_PER_MM, page.paper.height_pt / PT_PER_MM
        made.append(f"= {sides[0]:.0f} x {sides[1]:.0f}: {'; '.join(page.bookmarks)}".rstrip(": "))
        for kind, blocks in groupby(page.blocks, lambda block: block.tag == "Artifact"):
            # Decoration that stands together is one row: lines of tables, boxes, dots.
            found = list(blocks)
            made += [_row([each]) for each in found] if not kind else [_row(found)]
    return made


def _row(blocks: list[TaggedBlock]) -> str:
    elements = [element for block in blocks for element in block.elements]
    boxes = [extent(element) for element in elements]
    ends = (
        f"{pick(side) / PT_PER_MM:.1f}"
        for pick, side in zip((min, min, max, max), zip(*boxes, strict=True), strict=True)
    )
    words = " ".join("".join(e.text for e in elements if isinstance(e, TextRun)).split())
    said = "\n".join(repr((b.alt, b.cell, b.language)) for b in blocks)
    sum_of = crc32("\n".join((said, *map(_told, elements))).encode()) % 46_656
    return " ".join((blocks[0].tag, *ends, f"{sum_of:05d}", words[:24])).rstrip()


def _told(element: Element) -> str:
    """All of an element, its places to a tenth of a point."""
    where = " ".join(f"{side:.1f}" for side in extent(element))
    more: tuple[object, ...]
    match element:
        case TextRun():
            more = (element.text, float(element.size_pt), element.bold, element.spoken, element.way)
        case Panel():
            sizes = float(element.radius_pt), float(element.edge_pt)
            more = (*sizes, element.fill, element.dash_pt > 0)
        case StraightLine():
            more = (float(element.thick_pt), element.x0 < element.x1, element.y0 < element.y1)
        case _:
            more = (len(getattr(element, "ops", "")),)
    ink = getattr(element, "ink", getattr(element, "edge", None))
    return f"{where} {ink} {more}".replace("-0.0 ", "0.0 ")


@cache
def _golden() -> dict[str, list[str]]:
    parts = GOLDEN.read_text(encoding="utf-8").split("### ")[1:]
    return {lines[0]: lines[1:] for lines in (part.splitlines() for part in parts)}


@pytest.mark.parametrize("name", PAPERS)
def test_everything_stands_where_it_stood(name: str) -> None:
    assert rows(PAPERS[name]()) == _golden()[name]


if __name__ == "__main__":
    text = "".join("\n".join((f"### {name}", *rows(make()), "")) for name, make in PAPERS.items())
    GOLDEN.write_text(text, encoding="utf-8")
