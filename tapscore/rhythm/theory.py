"""How music21 counts a story that is given as nothing but lengths and time signatures.

``python -m tapscore.rhythm.theory`` counts in a process of its own: what it is asked as JSON on
the standard input, what it found on the standard output.  ``theory_apart.py`` starts it.
"""

import json
import sys
from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import lru_cache, partial
from importlib import import_module
from typing import Any

from attrs import define, field, frozen

from tapscore.model.metre import Metre, parse_metre
from tapscore.wording.catalogue import say


def music21() -> Any:
    """The library, loaded on first use: that takes a third of a second and 30 MB."""
    return import_module("music21")


@frozen
class Lengths:
    """An item of the telling: a line, or a wait or offering, which is a bar of rest."""

    metre: Metre
    pickup: Fraction
    """Felt beats before the first bar line: the line's own, or those of what follows a wait."""
    beats: Fraction = Fraction(0)
    events: tuple[tuple[Fraction, Fraction], ...] | None = None
    """When each tap or syllable begins and how long it lasts, in felt beats; None for a wait."""
    after: Metre | None = None
    """The metre of what follows a wait."""


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
    bars = {
        id(bar): n for n, bar in enumerate(part(writer.all_bars()).getElementsByClass("Measure"))
    }
    found = []
    for placed, event, measure, note, metre in writer.notes:
        offset = Fraction(measure.elementOffset(note)) + Fraction(measure.paddingLeft)
        tied = note.tie is not None and note.tie.type == "start"
        strength = _weight(str(metre), offset)
        found.append(TheoryNote(placed, event, bars[id(measure)], str(metre), strength, tied))
    return tuple(found)


def part(measures: Iterable[Any]) -> Any:
    """Bars as a music21 Part."""
    made = music21().stream.Part(id="taps")
    made.partName = say("Words and taps")
    made.insert(0, music21().instrument.Woodblock())
    for measure in measures:
        made.append(measure)
    return made


@define
class BarWriter:
    """Writes bars one after another; a note that crosses a bar line is tied over it."""

    _measures: list[Any] = field(factory=list)
    _measure: Any = None
    _metre: Metre | None = None
    _filled: Fraction = Fraction(0)
    _number: int = 1
    notes: list[tuple[int, int, Any, Any, Metre | None]] = field(factory=list)
    """Item, event, bar, note and metre of everything tapped or said, where it begins."""
    _item: int = -1

    def item(self, item: Lengths) -> None:
        """Write the next item."""
        self._item += 1
        if item.events is None:
            self.hold(item.metre, item.pickup, item.after)
            return
        self.start(item.metre, item.pickup)
        at = Fraction(0)
        for number, (onset, length) in enumerate(item.events):
            self.rest(onset - at)
            self.note(length, number)
            at = onset + length
        self.rest(item.beats - at)

    def hold(self, usual: Metre, pickup: Fraction, after: Metre | None) -> Any:
        """A bar of rest, less long by the pickup that follows; gives the rest."""
        self._fill_bar()
        metre = self._metre or usual
        # a pickup in another metre has a bar of its own
        left = pickup % metre.beats if after == metre else Fraction(0)
        self._open(metre)
        return self._append_rest((metre.beats - left) * self._beat)

    def all_bars(self) -> list[Any]:
        """All bars, the last one filled with rest."""
        self._fill_bar()
        return self._measures

    def start(self, metre: Metre, pickup: Fraction) -> None:
        """Begin a line: in the bar before where its pickup just fills that, else in a new one."""
        if self._metre is None and pickup:
            self._number = 0
            self._open(metre)
            self._filled = (metre.beats - pickup) * self._beat
            self._measure.paddingLeft = float(self._filled)
            return
        left = self._bar_quarters - self._filled if self._measure is not None else None
        if metre == self._metre and left == pickup * self._beat and pickup:
            return
        self._fill_bar()
        self._open(metre)
        if pickup:
            self._append_rest((metre.beats - pickup) * self._beat)

    def rest(self, length_beats: Fraction) -> None:
        """Silence, over bar lines where need be."""
        quarters = length_beats * self._beat
        while quarters > 0:
            piece = min(quarters, self._room())
            self._append_rest(piece)
            quarters -= piece

    def note(self, length_beats: Fraction, number: int) -> list[Any]:
        """What is tapped or said, number so many of its item; gives it and what it is tied to."""
        left = length_beats * self._beat
        made: list[Any] = []
        while left > 0:
            piece = min(left, self._room())
            element = music21().note.Unpitched(quarterLength=piece)
            crosses = piece < left
            if crosses or made:
                kind = "start" if not made else ("continue" if crosses else "stop")
                element.tie = music21().tie.Tie(kind)
            self._measure.append(element)
            if not made:
                self.notes.append((self._item, number, self._measure, element, self._metre))
            self._filled += piece
            left -= piece
            made.append(element)
        return made

    @property
    def _beat(self) -> Fraction:
        assert self._metre is not None
        return self._metre.beat_quarters

    @property
    def _bar_quarters(self) -> Fraction:
        assert self._metre is not None
        return self._metre.beats * self._metre.beat_quarters

    def _open(self, metre: Metre) -> None:
        self._measure = music21().stream.Measure(number=self._number)
        if metre != self._metre:
            self._measure.timeSignature = music21().meter.TimeSignature(str(metre))
        self._metre, self._filled = metre, Fraction(0)
        self._measures.append(self._measure)
        self._number += 1

    def _fill_bar(self) -> None:
        if self._measure is not None and 0 < self._filled < self._bar_quarters:
            self._append_rest(self._bar_quarters - self._filled)
        self._measure, self._filled = None, Fraction(0)

    def _room(self) -> Fraction:
        if self._measure is None or self._filled >= self._bar_quarters:
            assert self._metre is not None
            self._open(self._metre)
        return self._bar_quarters - self._filled

    def _append_rest(self, quarters: Fraction) -> Any:
        rest = music21().note.Rest(quarterLength=quarters)
        self._measure.append(rest)
        self._filled += quarters
        return rest


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
