"""A slim key: the marks that some lines have, each with what it means."""

from collections.abc import Sequence
from functools import partial

from tapscore.exports import marks
from tapscore.exports.board.drawing import target
from tapscore.exports.paper.bands import Item
from tapscore.exports.paper.drawing import Element, Shape, StraightLine, shape
from tapscore.exports.paper.inks import INK, MUTED, PLUM
from tapscore.exports.paper.lane_drawing import HOLD_STEPS
from tapscore.model.strokes import Stroke
from tapscore.rhythm.performance import PerformedTap, Segment
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term


def key_items(tapped: Sequence[tuple[Segment, Sequence[PerformedTap]]], size: float) -> list[Item]:
    """The marks that lines with these taps have, each with what it means."""
    lines = [(segment, taps) for segment, taps in tapped if taps]
    taps = [tap for _, found in lines for tap in found]
    made = [
        Item(stroke.shown, sign=(shape(INK, partial(_tap, stroke=stroke, size=size)),), signs=1)
        for stroke in Stroke
        if any(tap.stroke is stroke for tap in taps)
    ]
    if len({tap.loudness for tap in taps}) > 1:
        made.append(
            Item(say("bigger: louder"), sign=_small_and_large(taps[0].stroke, size), signs=1.9)
        )
    if any(tap.accent for tap in taps):
        made.append(_accented(say("wedge above: a little stronger"), taps[0].stroke, size))
    if any(
        tap.length_beats > HOLD_STEPS / segment.metre.steps_per_beat
        for segment, found in lines
        for tap in found
    ):
        tail = partial(marks.hold_tail, x0=size * 0.75, x1=size * 1.9, y=size * 0.6, thick=1.6)
        held = (
            shape(INK, partial(_tap, stroke=taps[0].stroke, size=size * 0.7)),
            shape(INK, tail),
        )
        made.append(Item(say("tail: hand stays down so long"), sign=held, signs=1.9))
    if taps:
        bar = StraightLine(size * 0.5, size * 0.1, size * 0.5, size * 1.1, MUTED, 1.4)
        made.append(Item(say("a bar of the music ends"), sign=(bar,), signs=0.9))
    said = [s for segment, _ in lines if segment.line for s in segment.line.syllables]
    if any(not syllable.ends_word for syllable in said):
        dot = partial(marks.ellipse, x=size * 0.5, y=size * 0.75, rx=1.6, ry=1.6)
        made.append(Item(say("same word goes on"), MUTED, sign=(shape(MUTED, dot),), signs=0.8))
    if any(len(segment.manner.loudness) > 1 and len(found) > 1 for segment, found in lines):
        hairpin = partial(
            marks.hairpin,
            points=[(0, size * 0.1), (size * 1.6, size * 0.7)],
            foot=size * 0.95,
            thinnest=1.0,
        )
        made.append(
            Item(say("grows louder or softer"), PLUM, sign=(shape(PLUM, hairpin),), signs=1.5)
        )
    for word in ("slowing", "quickening"):
        if any(segment.manner.tempo.change_word == word for segment, _ in lines):
            ticks = partial(
                marks.tempo_ticks,
                x0=0.0,
                x1=size * 1.6,
                y=size * 0.45,
                height=size * 0.45,
                slowing=word == "slowing",
            )
            made.append(Item(term(word), PLUM, sign=(shape(PLUM, ticks),), signs=1.5))
    if any(tap.spot for tap in taps):
        ring = tuple(target(size * 0.5, size * 0.58, size))
        made.append(Item(say("where to tap"), sign=ring, signs=1))
    return made


def _tap(sink: marks.PathSink, stroke: Stroke, size: float) -> None:
    marks.tap_mark(sink, stroke, size * 0.5, size * 0.6, size * 0.85)


def _small_and_large(stroke: Stroke, size: float) -> tuple[Shape, ...]:
    return tuple(
        shape(
            INK,
            partial(marks.tap_mark, stroke=stroke, x=size * x, y=size * 0.62, size=size * wide),
        )
        for x, wide in ((0.4, 0.5), (1.4, 1.0))
    )


def _accented(word: str, stroke: Stroke, size: float) -> Item:
    mark = partial(marks.tap_mark, stroke=stroke, x=size * 0.5, y=size * 0.8, size=size * 0.6)
    sign: Sequence[Element] = (
        shape(INK, mark),
        shape(INK, partial(marks.accent_wedge, x=size * 0.5, y=size * 0.42, size=size * 0.8)),
    )
    return Item(word, sign=tuple(sign), signs=1)
