"""The head and the foot of a part sheet: whose it is, and when it is changed."""

from math import inf

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.drawing import StraightLine, TaggedBlock, moved_block
from tapscore.exports.paper.how_items import Usual
from tapscore.exports.paper.inks import AMBER, INK, TEAL
from tapscore.exports.paper.part_front import usual_words
from tapscore.exports.paper.part_pieces import Part
from tapscore.exports.paper.sizes import Sizes
from tapscore.exports.paper.text_flow import ASCENT, Piece, flow, own, pieces_of
from tapscore.rhythm.performance import SegmentKind

FINISH = pieces_of("**Finish: **hands still, sheets down.")
GOES_ON = pieces_of("**Goes on beside: **lay the next part to the right of this one.")


def sheet_head(part: Part, name: str, usual: Usual, sizes: Sizes, width: float) -> Band:
    """The heading of a sheet: whose it is, which, and what holds for its lines."""
    role = part.view.role
    pieces = (Piece(f"{role[:1].upper()}{role[1:]}", True, TEAL), Piece(f", {name}", True))
    size = sizes.number
    named = flow(pieces, size, width)
    title = Band((TaggedBlock("H1", named.texts),), named.height_pt)
    holds = usual_words(usual)
    if not holds:
        return title
    x = named.width_pt + size * 0.6
    beside = flow(holds, sizes.label, width - x) if width - x > width * 0.4 else None
    if named.lines == 1 and beside is not None and beside.lines == 1:
        down = (size - sizes.label) * ASCENT
        block = moved_block(TaggedBlock("P", beside.texts), x, down)
        return Band((*title.blocks, block), title.height)
    return bands.stack([title, bands.paragraph(holds, sizes.label, width)])


def change_words(part: Part, at: int, number: int) -> tuple[Piece, ...]:
    """What a sheet's foot says of the change before a piece; ``number`` is the next sheet's."""
    seconds = part.free_sec(at)
    if part.borders[at].busy:
        who = next(iter(part.turners(at)), "")
        return pieces_of(
            "**No time to change to sheet {number}: **"
            "{role:=have somebody put it there.|*={role} puts it there.}",
            AMBER,
            number=number,
            role=own(who) or None,
        )
    if seconds == inf:
        return pieces_of(
            "**Change to sheet {number} **when you like: your hands are free.", number=number
        )
    free = int(seconds + 1e-6)
    before, coming = part.pieces[at - 1].last_pause, part.pieces[at].steps[0].segments[0]
    if before is not None and before.kind is SegmentKind.WAIT:
        return pieces_of(
            "**Change to sheet {number} **in this wait: {free} free seconds or more.",
            number=number,
            free=free,
        )
    if before is not None:
        return pieces_of(
            "**Change to sheet {number} **while {prop} is offered: {free} free seconds or more.",
            number=number,
            prop=own(before.prop or ""),
            free=free,
        )
    if coming.kind is SegmentKind.WAIT:
        return pieces_of(
            "**Change to sheet {number} **in the wait that comes now: {free} free seconds or more.",
            number=number,
            free=free,
        )
    return pieces_of(
        "**Change to sheet {number} **while others go on: {free} free seconds or more.",
        number=number,
        free=free,
    )


def ruled(pieces: tuple[Piece, ...], sizes: Sizes, width: float) -> Band:
    """A sentence with a rule above it."""
    said = bands.paragraph(pieces, sizes.label, width)
    thick, space = sizes.label * 0.06, sizes.label * 0.25
    rule = TaggedBlock("Artifact", (StraightLine(0, thick / 2, width, thick / 2, INK, thick),))
    return Band((rule, *said.at(0, thick + space)), thick + space + said.height)


def highest_foot(part: Part, sizes: Sizes, width: float) -> float:
    """The highest foot there may be, whatever the plan."""
    said = {change_words(part, at, 99) for at in range(1, len(part.pieces))}
    said.add(FINISH)
    said.add(GOES_ON)
    return max(ruled(pieces, sizes, width).height for pieces in said)
