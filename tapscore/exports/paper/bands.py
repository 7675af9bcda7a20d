"""Strips across a card: made one by one, then stacked on as many sides as they need."""

from collections.abc import Sequence

from attrs import evolve, frozen

from tapscore.exports.paper import fonts
from tapscore.exports.paper.drawing import Element, Panel, TaggedBlock, TextRun, extent, moved_block
from tapscore.exports.paper.inks import AMBER, CREAM, INK, WHITE, Ink
from tapscore.exports.paper.sizes import Sizes
from tapscore.exports.paper.text_flow import LEADING, Piece, flow, own, pieces_of
from tapscore.wording.catalogue import say

POINTS_OUT_EM = 0.08
"""How far the points of letters from right to left may stand out at the end of a line."""


@frozen
class Band:
    """Blocks drawn from (0, 0) that stay together, and the space they take."""

    blocks: tuple[TaggedBlock, ...]
    height: float
    space_before: float = 0.0
    with_next: bool = False
    """Whether it must not be the last on its side."""
    bookmark: str | None = None
    again: "Band | None" = None
    """What comes once more above it where it is the first on a further side."""

    def at(self, x: float, y: float) -> tuple[TaggedBlock, ...]:
        """Its blocks with their top left corner at (x, y)."""
        return tuple(moved_block(block, x, y) for block in self.blocks)


def stack(bands: Sequence[Band], gap: float = 0.0) -> Band:
    """Make one band of several, one below the other."""
    blocks: list[TaggedBlock] = []
    y = 0.0
    for index, band in enumerate(bands):
        y += (gap + band.space_before) if index else 0.0
        blocks += band.at(0, y)
        y += band.height
    return Band(tuple(blocks), y)


def paragraph(pieces: tuple[Piece, ...], size_pt: float, width: float, *, tag: str = "P") -> Band:
    """Text alone.

    A text of one piece that begins with letters from right to left runs that way, and its
    lines end at the right.
    """
    alone = len(pieces) == 1
    out = size_pt * POINTS_OUT_EM if alone and fonts.right_to_left(pieces[0].text) else 0.0
    flowed = flow(pieces, size_pt, width - 2 * out, as_begun=alone)
    block = TaggedBlock(tag, flowed.texts)
    if out:
        right = max(width - out - flowed.width_pt, 0.0)
        block = moved_block(block, right if flowed.from_right else out, 0)
    return Band((block,), flowed.height_pt)


def translated(words: str, tag: str, size_pt: float, width: float) -> Band:
    """Words in the language of ``tag``, as a reader that speaks is told (ISO 32000-1, 14.9.2)."""
    band = paragraph((Piece(words),), size_pt, width)
    return evolve(band, blocks=tuple(evolve(block, language=tag) for block in band.blocks))


def boxed(
    pieces: tuple[Piece, ...],
    size_pt: float,
    width: float,
    *,
    fill: Ink | None,
    edge: Ink | None,
    dashed: bool = False,
) -> Band:
    """Text in a box as wide as it needs, at most ``width``."""
    pad_x, pad_y, thick = size_pt * 0.42, size_pt * 0.15, max(size_pt * 0.09, 1.0)
    flowed = flow(pieces, size_pt, width - 2 * pad_x - thick)
    high = flowed.height_pt + 2 * pad_y
    panel = Panel(
        thick / 2,
        thick / 2,
        min(flowed.width_pt + 2 * pad_x, width - thick),
        high - thick,
        size_pt * 0.3,
        fill,
        edge,
        thick if edge else 0.0,
        size_pt * 0.34 if dashed else 0.0,
    )
    texts = moved_block(TaggedBlock("P", flowed.texts), pad_x, pad_y)
    return Band((TaggedBlock("Artifact", (panel,)), texts), high)


def warn_first(text: str, who: str, sizes: Sizes, width: float) -> Band:
    """The dashed amber band; ``who`` warns, and by which channels, in words."""
    head = f"{who}: " if text else f"{who}."
    pieces = (Piece(head, True, AMBER), Piece(own(text), False, AMBER))
    return boxed(pieces, sizes.label, width, fill=CREAM, edge=AMBER, dashed=True)


def come_in(after: str, sizes: Sizes, width: float) -> Band:
    """How to know that a rest is over."""
    pieces = pieces_of("**Come in** after a line without words")
    if after:
        pieces = pieces_of("**Come in** after “{words}”", words=own(after))
    return boxed(pieces, sizes.label, width, fill=None, edge=INK)


def wait_block(
    seconds: float, look_for: str | None, sizes: Sizes, width: float, *, first: bool = False
) -> Band:
    """The solid block with the least seconds, and what to look for beside it."""
    big = sizes.action
    words = flow(
        (Piece(say("Wait {seconds}", seconds=round(seconds)), True, WHITE),), big, width - big * 0.6
    )
    pad_x, pad_y = big * 0.24, big * 0.06
    box_wide, box_high = words.width_pt + 2 * pad_x, words.height_pt + pad_y
    before = flow((Piece(say("First"), True),), sizes.label, width)
    left = before.width_pt + sizes.label * 0.4 if first else 0.0
    panel = Panel(left, 0, box_wide, box_high, big * 0.16, INK)
    blocks: list[TaggedBlock] = [TaggedBlock("Artifact", (panel,))]
    if first:
        down = (box_high - before.height_pt) / 2
        blocks.append(moved_block(TaggedBlock("P", before.texts), 0, down))
    blocks.append(moved_block(TaggedBlock("P", words.texts), left + pad_x, pad_y / 2 + big * 0.09))
    box_wide += left
    said = say("seconds or more.")
    if look_for:
        said = say("seconds or more. Look for {answer}", answer=own(look_for))
    gap = sizes.label * 0.5
    room = width - box_wide - gap
    if room >= width * 0.3:
        beside = flow((Piece(said),), sizes.label, room)
        high = max(box_high, beside.height_pt)
        dy = max((box_high - beside.height_pt) / 2, 0.0)
        blocks.append(moved_block(TaggedBlock("P", beside.texts), box_wide + gap, dy))
        return Band(tuple(blocks), high)
    beneath = flow((Piece(said),), sizes.label, width)
    blocks.append(moved_block(TaggedBlock("P", beneath.texts), 0, box_high + gap * 0.4))
    return Band(tuple(blocks), box_high + gap * 0.4 + beneath.height_pt)


@frozen
class Item:
    """A few words with a sign before them."""

    text: str
    ink: Ink = INK
    bold: bool = False
    sign: tuple[Element, ...] = ()
    """Drawn from (0, 0) in squares as high as the text; its words are read before the text."""
    signs: float = 0.0
    """How many squares wide the sign is."""


def items_line(items: Sequence[Item], size: float, width: float) -> Band:
    """Items one after another, a new line where the next does not fit."""
    blocks: list[TaggedBlock] = []
    drawn: list[TaggedBlock] = []
    x = y = 0.0
    line = size * LEADING
    for item in items:
        sign = item.signs * size * 1.12 + (size * 0.12 if item.signs else 0.0)
        pieces = (Piece(item.text, item.bold, item.ink),)
        whole = flow(pieces, size, 1e6).width_pt
        if x and x + sign + whole > width + 0.01:
            x, y = 0.0, y + line
        flowed = flow(pieces, size, width - x - sign)
        named = tuple(e for e in item.sign if isinstance(e, TextRun))
        shapes = tuple(e for e in item.sign if not isinstance(e, TextRun))
        drawn.append(moved_block(TaggedBlock("Artifact", shapes), x, y))
        blocks.append(moved_block(TaggedBlock("P", named), x, y))
        blocks.append(moved_block(TaggedBlock("P", flowed.texts), x + sign, y))
        if flowed.lines > 1:
            y += line * (flowed.lines - 1)
            x = width
        else:
            x += sign + flowed.width_pt + size * 0.62
    signs = tuple(element for block in drawn for element in block.elements)
    words = tuple(element for block in blocks for element in block.elements)
    made = (
        (TaggedBlock("Artifact", signs), TaggedBlock("P", words))
        if signs
        else (TaggedBlock("P", words),)
    )
    return Band(made, y + line if items else 0.0)


def pill_line(word: str, pieces: tuple[Piece, ...], size: float, width: float) -> Band:
    """A word in a solid pill, if any, and a sentence after it."""
    if not word:
        return paragraph(pieces, size, width)
    label = flow((Piece(word, True, WHITE),), size, width)
    pad = size * 0.32
    pill = Panel(0, size * 0.06, label.width_pt + 2 * pad, size * 1.14, size * 0.3, INK)
    x = label.width_pt + 2 * pad + size * 0.4
    text = flow(pieces, size, width - x)
    blocks = (
        TaggedBlock("Artifact", (pill,)),
        moved_block(TaggedBlock("P", label.texts), pad, size * 0.07),
        moved_block(TaggedBlock("P", text.texts), x, size * 0.07),
    )
    return Band(blocks, max(text.height_pt + size * 0.07, size * 1.28))


def beside(band: Band, other: Band, x: float) -> Band:
    """Put ``other`` to the right of ``band``, from ``x``."""
    return Band((*band.blocks, *other.at(x, 0)), max(band.height, other.height))


def right_of(band: Band) -> float:
    """Where what a band shows ends at the right."""
    return max((extent(e)[2] for block in band.blocks for e in block.elements), default=0.0)


def keep_with_next(made: list[Band]) -> None:
    """Keep the last of some bands, if there is one, on the page of what comes below it."""
    made[-1:] = [evolve(band, with_next=True) for band in made[-1:]]


def spaced(band: Band, space_before: float, *, with_next: bool = False) -> Band:
    """Give the same band with room above it."""
    return evolve(band, space_before=space_before, with_next=with_next)
