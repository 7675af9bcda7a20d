"""The head and the foot of a part sheet: whose it is, and when it is changed."""

from math import inf

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.drawing import Block, Rule, moved_block
from tapscore.exports.paper.how_items import Usual
from tapscore.exports.paper.inks import AMBER, INK, TEAL
from tapscore.exports.paper.part_front import usual_words
from tapscore.exports.paper.part_pieces import Part
from tapscore.exports.paper.sizes import Sizes
from tapscore.exports.paper.text_flow import ASCENT, Piece, flow, own
from tapscore.rhythm.performance import SegmentKind

BESIDE = "lay the next part to the right of this one."
FINISH = (Piece("Finish: ", True), Piece("hands still, sheets down."))
GOES_ON = (Piece("Goes on beside: ", True), Piece(BESIDE))


def sheet_head(part: Part, name: str, usual: Usual, sizes: Sizes, width: float) -> Band:
    """The heading of a sheet: whose it is, which, and what holds for its lines."""
    role = part.view.role
    pieces = (Piece(f"{role[:1].upper()}{role[1:]}", True, TEAL), Piece(f", {name}", True))
    size = sizes.number
    named = flow(pieces, size, width)
    title = Band((Block("H1", named.texts),), named.height_pt)
    holds = usual_words(usual)
    if not holds:
        return title
    x = named.width_pt + size * 0.6
    beside = flow(holds, sizes.label, width - x) if width - x > width * 0.4 else None
    if named.lines == 1 and beside is not None and beside.lines == 1:
        down = (size - sizes.label) * ASCENT
        block = moved_block(Block("P", beside.texts), x, down)
        return Band((*title.blocks, block), title.height)
    return bands.stack([title, bands.paragraph(holds, sizes.label, width)])


def change_words(part: Part, at: int, number: int) -> tuple[Piece, ...]:
    """What a sheet's foot says of the change before a piece; ``number`` is the next sheet's."""
    seconds = part.free_sec(at)
    to = f"sheet {number}"
    if part.borders[at].busy:
        who = next(iter(part.turners(at)), "")
        how = f"{own(who)} puts it there." if who else "have somebody put it there."
        return (
            Piece(f"No time to change to {to}: ", True, AMBER),
            Piece(how, False, AMBER),
        )
    change = Piece(f"Change to {to} ", True)
    if seconds == inf:
        return (change, Piece("when you like: your hands are free."))
    long = f"{int(seconds + 1e-6)} free seconds or more."
    before, coming = part.pieces[at - 1].last_pause, part.pieces[at].steps[0].segments[0]
    if before is not None and before.kind is SegmentKind.WAIT:
        return (change, Piece(f"in this wait: {long}"))
    if before is not None:
        return (change, Piece(f"while {own(before.prop or '')} is offered: {long}"))
    if coming.kind is SegmentKind.WAIT:
        return (change, Piece(f"in the wait that comes now: {long}"))
    return (change, Piece(f"while others go on: {long}"))


def ruled(pieces: tuple[Piece, ...], sizes: Sizes, width: float) -> Band:
    """A sentence with a rule above it."""
    said = bands.paragraph(pieces, sizes.label, width)
    thick, space = sizes.label * 0.06, sizes.label * 0.25
    rule = Block("Artifact", (Rule(0, thick / 2, width, thick / 2, INK, thick),))
    return Band((rule, *said.at(0, thick + space)), thick + space + said.height)


def highest_foot(part: Part, sizes: Sizes, width: float) -> float:
    """The highest foot there may be, whatever the plan."""
    said = {change_words(part, at, 99) for at in range(1, len(part.pieces))}
    said.add(FINISH)
    said.add(GOES_ON)
    return max(ruled(pieces, sizes, width).height for pieces in said)
