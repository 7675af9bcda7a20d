"""The front of the leader's sheet: the story at a glance, reminders, props and a key."""

from collections.abc import Sequence
from functools import partial

from tapscore.exports import marks
from tapscore.exports.board.drawing import target
from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band, Item
from tapscore.exports.paper.board_picture import board_picture
from tapscore.exports.paper.cautions import REMINDERS, prop_cautions, split_caution
from tapscore.exports.paper.drawing import Block, Panel, shape
from tapscore.exports.paper.inks import INK, LINE, MUTED, TEAL
from tapscore.exports.paper.sizes import Sizes
from tapscore.exports.paper.text_flow import Piece, own
from tapscore.model.loudness import Loudness
from tapscore.model.story import Prop, Story
from tapscore.model.strokes import Stroke
from tapscore.model.tempo import tempo_text
from tapscore.model.wordings import seconds_words
from tapscore.rhythm.performance import Performance
from tapscore.rhythm.unroll import story_manner

TITLE_PT = 26.0


def front(story: Story, performance: Performance, sizes: Sizes, width: float) -> list[Band]:
    """Bands from the title down to the beginning of the story."""
    gap = sizes.label
    made = [_top(story, performance, sizes, width), bands.spaced(_reminders(sizes, width), gap)]
    if story.props:
        heading = bands.paragraph((Piece("Props", True),), sizes.number, width, tag="H2")
        made.append(bands.spaced(heading, gap, with_next=True))
        made += [bands.spaced(_prop(story, p, sizes, width), gap * 0.35) for p in story.props]
    made.append(bands.spaced(_key(sizes, width), gap))
    return made


def _top(story: Story, performance: Performance, sizes: Sizes, width: float) -> Band:
    picture = None
    leader = story.roles[0] if story.roles else None
    if story.board:
        picture = board_picture(
            story.board,
            spots=[spot.name for spot in story.board.spots],
            seat=leader.seat if leader else None,
            most=(width * 0.3, 130.0),
            label=sizes.label,
        )
    wide = width - (picture.width_pt + gap_beside(sizes) if picture else 0.0)
    strips = [bands.paragraph((Piece(story.title, True),), TITLE_PT, wide, tag="H1")]
    manner = story_manner(story)
    facts = ["Leader’s cue sheet"]
    facts.append(f"{manner.metre}, {tempo_text(manner.tempo)} beats a minute")
    pupils = story.pupil_count
    facts.append(f"{pupils} pupil{'s' if pupils != 1 else ''}")
    strips.append(bands.paragraph((Piece(", ".join(facts)),), sizes.number, wide))
    length = seconds_words(performance.length_sec)
    strips.append(
        bands.paragraph(
            (
                Piece(f"At least {length}. ", True),
                Piece(
                    "Times in the margin are the earliest: waits and turns last as long as the"
                    " pupils need."
                ),
            ),
            sizes.label,
            wide,
        )
    )
    who = [
        f"{own(role.name)} ({own(role.seat)})" if role.seat else own(role.name)
        for role in story.roles
    ]
    if who:
        pieces = (Piece("Adults: ", True), Piece(", ".join(who)))
        strips.append(bands.paragraph(pieces, sizes.label, wide))
    left = bands.stack(strips, sizes.label * 0.4)
    if picture is None:
        return left
    return bands.beside(left, Band((picture.block,), picture.height_pt), width - picture.width_pt)


def gap_beside(sizes: Sizes) -> float:
    """Room between text and a picture beside it."""
    return sizes.label * 1.2


def _reminders(sizes: Sizes, width: float) -> Band:
    pad = sizes.label * 0.7
    lines = [
        bands.paragraph((Piece(sentence),), sizes.label, width - 2 * pad) for sentence in REMINDERS
    ]
    inside = bands.stack(lines, sizes.label * 0.15)
    high = inside.height + 2 * pad * 0.8
    panel = Panel(0.5, 0.5, width - 1, high - 1, 6.0, None, LINE, 1.0)
    return Band((Block("Artifact", (panel,)), *inside.at(pad, pad * 0.8)), high)


def _prop(story: Story, prop: Prop, sizes: Sizes, width: float) -> Band:
    said = [own(prop.what)] if prop.what else []
    if prop.sets > 1:
        said.append(f"{prop.sets} sets")
    if prop.instead:
        said.append(f"or instead {own(prop.instead)}")
    said.append(f"{own(story.bringer(prop.name))} brings it")
    pieces = [Piece(f"{own(prop.name)}: ", True), Piece(", ".join(said) + ". ")]
    for hazard, rest in map(split_caution, prop_cautions(prop)):
        pieces += [Piece(hazard, True), Piece(rest + " ")]
    return bands.paragraph(tuple(pieces), sizes.label, width)


def _key(sizes: Sizes, width: float) -> Band:
    size = sizes.label
    strokes = [
        Item(stroke.word, sign=(shape(INK, partial(_mark, stroke=stroke, size=size)),), signs=1)
        for stroke in Stroke
    ]
    if strokes:
        strokes.append(Item("spot", sign=tuple(target(size * 0.5, size * 0.58, size)), signs=1))
    levels: Sequence[Item] = [
        Item(
            level.word,
            sign=(
                shape(
                    INK,
                    partial(
                        marks.flat_hand,
                        x=max(marks.mark_size(level, sizes.mark), size) / 2,
                        y=size * 0.6,
                        size=marks.mark_size(level, sizes.mark),
                    ),
                ),
            ),
            signs=1 if marks.mark_size(level, sizes.mark) <= size else 1.3,
        )
        for level in Loudness
    ]
    rows = [
        bands.items_line([Item("Key", TEAL, True), *strokes], size, width),
        bands.items_line(
            [*levels, Item("a wedge above: accent; a tail: held", MUTED)], size, width
        ),
    ]
    return bands.stack(rows, size * 0.3)


def _mark(sink: marks.PathSink, stroke: Stroke, size: float) -> None:
    marks.tap_mark(sink, stroke, size * 0.5, size * 0.58, size * 0.9)
