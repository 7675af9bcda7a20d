"""How music21 counts a story that is given as nothing but lengths and time signatures.

``python -m tapscore.rhythm.theory`` counts in a process of its own: what it is asked as JSON on
the standard input, what it found on the standard output.  ``theory_apart.py`` starts it.
"""

import json
import sys
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from functools import lru_cache, partial
from importlib import import_module
from typing import Any

from attrs import frozen

from tapscore.model.metre import Metre, parse_metre
from tapscore.rhythm.bars import Bar, BarWriter, Lengths


def music21() -> Any:
    """The library, loaded on first use: that takes a third of a second and 30 MB."""
    return import_module("music21")


@frozen
class Bars:
    """A lane's bars: how many marks share each step."""

    metre: Metre
    bars: tuple[tuple[int, ...], ...]


@frozen
class Asked:
    """What is to be counted."""

    items: tuple[Lengths, ...]
    lanes: tuple[Bars, ...]


@frozen
class TheoryNote:
    """Where music21 finds a tap or syllable of a line, in the whole story written out."""

    placed: int
    """Which item of the telling, as ``unroll`` gives them."""
    event: int
    bar: int
    """Which bar of the whole score, from 0."""
    metre: str
    strength: Fraction
    """Its accent weight there."""
    tied: bool
    """Whether it is held over a bar line."""


@frozen
class Counted:
    """What music21 found."""

    notes: tuple[TheoryNote, ...]
    lanes: tuple[tuple[Fraction, ...], ...]
    """How full it finds each bar of each lane; 1 is full."""


def count(asked: Asked) -> Counted:
    """Count in this process."""
    return Counted(
        theory_notes(asked.items),
        tuple(bar_proportions(lane.metre, lane.bars) for lane in asked.lanes),
    )


def bar_proportions(metre: Metre, bars: Iterable[Sequence[int]]) -> tuple[Fraction, ...]:
    """How full music21 finds each bar, of which the marks in each step are given; 1 is full."""
    proportions: list[Fraction] = []
    for bar in bars:
        measure = music21().stream.Measure()
        measure.timeSignature = music21().meter.TimeSignature(str(metre))
        for marks in bar:
            for _ in range(marks):
                length = metre.beat_quarters / (metre.steps_per_beat * marks)
                measure.append(music21().note.Rest(quarterLength=length))
        proportions.append(Fraction(measure.barDurationProportion()).limit_denominator(10000))
    return tuple(proportions)


def strengths(metre: Metre, positions_beats: Iterable[Fraction]) -> tuple[Fraction, ...]:
    """music21's accent weight of places in the bar, given in felt beats."""
    return tuple(
        _weight(str(metre), position % metre.beats * metre.beat_quarters)
        for position in positions_beats
    )


@lru_cache(maxsize=1024)
def _weight(metre: str, offset_quarters: Fraction) -> Fraction:
    signature = music21().meter.TimeSignature(metre)
    return Fraction(signature.getAccentWeight(offset_quarters, forcePositionMatch=True))


def theory_notes(items: Iterable[Lengths]) -> tuple[TheoryNote, ...]:
    """Every tap and syllable of the telling, where music21 has put it."""
    writer = BarWriter()
    for item in items:
        writer.item(item)
    # music21 takes a millisecond over a bar, and a story has few that are unlike
    known: dict[object, tuple[tuple[Fraction, bool], ...]] = {}
    places = {}
    for number, bar in enumerate(writer.all_bars()):
        kind = (bar.metre, bar.left_out_quarters, tuple(bar.elements))
        if kind not in known:
            known[kind] = tuple(_places(bar))
        places[id(bar)] = number, known[kind]
    found = []
    for begun in writer.begun:
        number, placed = places[id(begun.bar)]
        (offset, tied), metre = placed[begun.element], str(begun.bar.metre)
        found.append(
            TheoryNote(begun.item, begun.event, number, metre, _weight(metre, offset), tied)
        )
    return tuple(found)


def _places(bar: Bar) -> Iterator[tuple[Fraction, bool]]:
    """Where music21 finds each note and rest of a bar, and whether it is tied to the next bar."""
    measure, elements = measure_of(bar)
    for each in elements:
        offset = Fraction(measure.elementOffset(each)) + Fraction(measure.paddingLeft)
        yield offset, each.tie is not None and each.tie.type == "start"


def measure_of(bar: Bar) -> tuple[Any, list[Any]]:
    """A bar as a music21 Measure, and its notes and rests in order; without what is said."""
    measure = music21().stream.Measure(number=bar.number)
    if bar.shows_metre:
        measure.timeSignature = music21().meter.TimeSignature(str(bar.metre))
    if bar.left_out_quarters:
        measure.paddingLeft = float(bar.left_out_quarters)
    elements = []
    for each in bar.elements:
        kind = music21().note.Unpitched if each.is_note else music21().note.Rest
        element = kind(quarterLength=each.quarters)
        if each.tie:
            element.tie = music21().tie.Tie(each.tie)
        measure.append(element)
        elements.append(element)
    return measure, elements


def asked_as_data(asked: Asked) -> object:
    """What is asked, as JSON has it."""
    return [
        [
            [
                str(item.metre),
                _pair(item.pickup),
                _pair(item.beats),
                None if item.events is None else [*map(_four, item.events)],
                item.after and str(item.after),
            ]
            for item in asked.items
        ],
        [[str(lane.metre), lane.bars] for lane in asked.lanes],
    ]


def _asked_of(data: Any) -> Asked:
    items, lanes = data
    return Asked(
        tuple(
            Lengths(
                _metre(metre),
                Fraction(*pickup),
                Fraction(*beats),
                _events(events),
                _metre(after) if after else None,
            )
            for metre, pickup, beats, events, after in items
        ),
        tuple(Bars(_metre(metre), tuple(map(tuple, bars))) for metre, bars in lanes),
    )


def _events(data: Any) -> tuple[tuple[Fraction, Fraction], ...] | None:
    return None if data is None else tuple((Fraction(*e[:2]), Fraction(*e[2:])) for e in data)


def counted_of(data: Any) -> Counted:
    """What was found, out of JSON.

    Equal strengths, metres and numbers are one thing each: a thousand lines have ten thousand
    notes, and the window keeps them.
    """
    notes, lanes = data
    share = partial(_shared, {})
    return Counted(
        tuple(
            TheoryNote(share(p), e, share(b), share(metre), share(Fraction(*s)), tied)
            for p, e, b, metre, s, tied in notes
        ),
        tuple(tuple(share(Fraction(*bar)) for bar in lane) for lane in lanes),
    )


def _shared(known: dict[Any, Any], value: Any) -> Any:
    return known.setdefault((type(value), value), value)


def _counted_as_data(counted: Counted) -> object:
    return [
        [[n.placed, n.event, n.bar, n.metre, _pair(n.strength), n.tied] for n in counted.notes],
        [[*map(_pair, lane)] for lane in counted.lanes],
    ]


def _pair(number: Fraction) -> tuple[int, int]:
    return number.numerator, number.denominator


def _four(event: tuple[Fraction, Fraction]) -> tuple[int, int, int, int]:
    return *_pair(event[0]), *_pair(event[1])


@lru_cache(maxsize=64)
def _metre(text: str) -> Metre:
    metre = parse_metre(text)
    assert metre is not None, text
    return metre


def main() -> None:
    """Count what the standard input asks."""
    counted = count(_asked_of(json.load(sys.stdin)))
    json.dump(_counted_as_data(counted), sys.stdout)


if __name__ == "__main__":
    main()
