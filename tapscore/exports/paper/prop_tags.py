"""Props as tags with their names in them, what happens to them, when, and who does it.

A prop comes and goes before the words of its line: what leaves first, then what comes.
"""

from collections.abc import Sequence
from functools import partial
from itertools import groupby

from tapscore.exports import marks
from tapscore.exports.paper.bands import Band, Item, paragraph
from tapscore.exports.paper.drawing import Element, TaggedBlock, moved, moved_block, shape
from tapscore.exports.paper.inks import INK, WHITE, Ink
from tapscore.exports.paper.sizes import Sizes
from tapscore.exports.paper.text_flow import LEADING, Piece, flow, own
from tapscore.model.story import Entrance, Story
from tapscore.wording.catalogue import say, say_in


def comes(entrance: Entrance, by: str | None) -> str:
    """What happens to a prop that comes; ``by`` is who brings it, None for the reader."""
    return say(
        "in before the words{spot:=|*=, to {spot}}: {role:=you bring it|*={role} brings it}",
        spot=own(entrance.at) if entrance.at else None,
        role=None if by is None else own(by),
    )


def goes(by: str | None) -> str:
    """What happens to a prop that goes; ``by`` is who takes it, None for the reader."""
    return say(
        "out before the words: {role:=you take it|*={role} takes it}",
        role=None if by is None else own(by),
    )


def prop_tag(name: str, said: str, sizes: Sizes, width: float, *, mine: bool) -> Band:
    """A prop's tag and what happens to it, large and solid if the reader does it."""
    size = sizes.words if mine else sizes.label
    ground, paper = (INK, WHITE) if mine else (WHITE, INK)
    inside = flow((Piece(own(name), True, paper),), size, 1e6)
    wide = inside.width_pt + size * 0.95
    if wide > width:
        pieces = (Piece(f"{own(name)} ", True), Piece(said))
        return paragraph(pieces, size, width)
    tall = size * 1.3
    tag = _tag(wide, tall, size, ground)
    gap = sizes.label * 0.4
    blocks = [
        TaggedBlock("Artifact", tag),
        moved_block(TaggedBlock("P", inside.texts), size * 0.7, size * 0.06),
    ]
    room = width - wide - gap
    rest = flow((Piece(said),), sizes.label, room if room > width * 0.35 else width)
    if rest.lines == 1 and rest.width_pt <= room:
        down = (tall - rest.height_pt) / 2
        blocks.append(moved_block(TaggedBlock("P", rest.texts), wide + gap, down))
        return Band(tuple(blocks), tall)
    if room > width * 0.35:
        down = max(tall - sizes.label * LEADING, 0.0) / 2
        blocks.append(moved_block(TaggedBlock("P", rest.texts), wide + gap, down))
        return Band(tuple(blocks), max(tall, down + rest.height_pt))
    blocks.append(moved_block(TaggedBlock("P", rest.texts), 0, tall))
    return Band(tuple(blocks), tall + rest.height_pt)


def others_items(
    story: Story, takes: Sequence[str], brings: Sequence[Entrance], size: float
) -> list[Item]:
    """What others do with props before the words: who, and each prop's tag."""
    moved = [(story.bringer(prop), prop, say_in("a prop", "out")) for prop in takes]
    moved += [
        (story.bringer(entrance.prop), entrance.prop, say_in("a prop", "in")) for entrance in brings
    ]
    made: list[Item] = []
    for number, (by, found) in enumerate(groupby(moved, key=lambda move: move[0])):
        made.append(
            Item(
                say("then {role}:", role=own(by)) if number else say("First, {role}:", role=own(by))
            )
        )
        made += [tag_item(prop, way, size) for _, prop, way in found]
    return made


def tag_item(name: str, said: str, size: float) -> Item:
    """A prop's tag, small, and what happens to it."""
    inside = flow((Piece(own(name), True),), size, 1e6)
    wide, tall = inside.width_pt + size * 0.95, size * 1.22
    texts = tuple(moved(text, size * 0.7, size * 0.03) for text in inside.texts)
    return Item(
        said, INK, sign=(*_tag(wide, tall, size, WHITE), *texts), signs=wide / size / 1.12 + 0.25
    )


def _tag(wide: float, tall: float, size: float, ground: Ink) -> tuple[Element, ...]:
    """A tag with a hole and a solid edge."""
    thick = max(size * 0.07, 1.0)
    hole = partial(marks.ellipse, x=size * 0.36, y=tall / 2, rx=size * 0.09, ry=size * 0.09)
    solid = ground is INK
    inner = partial(
        _outline, wide=wide - 2.4 * thick, tall=tall - 2 * thick, dx=1.3 * thick, dy=thick
    )
    made: list[Element] = [shape(INK, partial(_outline, wide=wide, tall=tall))]
    if not solid:
        made.append(shape(WHITE, inner))
    made.append(shape(WHITE if solid else INK, hole))
    return tuple(made)


def _outline(
    sink: marks.PathSink, wide: float, tall: float, dx: float = 0.0, dy: float = 0.0
) -> None:
    point = tall * 0.28
    marks.polygon(
        sink,
        (
            (dx + point, dy),
            (dx + wide, dy),
            (dx + wide, dy + tall),
            (dx + point, dy + tall),
            (dx, dy + tall * 0.68),
            (dx, dy + tall * 0.32),
        ),
    )
