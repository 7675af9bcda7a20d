"""The telling in bars, as it is written down: notes and rests as plain values."""

from fractions import Fraction
from typing import Literal

from attrs import define, evolve, field, frozen

from tapscore.model.metre import Metre


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
class NoteOrRest:
    """A note or a rest: what is tapped or said, or silence."""

    quarters: Fraction
    is_note: bool = False
    tie: str = ""
    """``start``, ``continue`` or ``stop`` where a note is held over a bar line."""
    cross_head: bool = False
    accent: bool = False
    fermata: bool = False
    syllable: str | None = None
    syllabic: str = "single"
    """How a syllable hangs together with others: ``begin``, ``middle``, ``end`` of a word."""


@frozen
class Mark:
    """What stands over a bar from some place on."""

    kind: Literal["rehearsal", "tempo", "loudness", "words"]
    at_quarters: Fraction
    text: str = ""
    """A section's name, a letter of loudness, or words."""
    per_minute: Fraction = Fraction(0)
    beat_quarters: Fraction = Fraction(0)
    """Of a tempo: the note that is counted."""


@define
class Bar:
    """A bar, and what stands over it."""

    number: int
    metre: Metre
    shows_metre: bool
    """Whether its time signature is written: it is not that of the bar before."""
    left_out_quarters: Fraction = Fraction(0)
    """What a pickup's bar lacks before it."""
    elements: list[NoteOrRest] = field(factory=list)
    marks: list[Mark] = field(factory=list)


@frozen
class Begun:
    """Where a tap or syllable begins."""

    item: int
    event: int
    bar: Bar
    element: int
    """Which note of the bar."""


@define
class BarWriter:
    """Writes bars one after another; a note that crosses a bar line is tied over it."""

    _bars: list[Bar] = field(factory=list)
    _bar: Bar | None = None
    _metre: Metre | None = None
    _filled: Fraction = Fraction(0)
    _number: int = 1
    begun: list[Begun] = field(factory=list)
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
            self._rest(onset - at)
            self._note(length, number)
            at = onset + length
        self._rest(item.beats - at)

    def all_bars(self) -> list[Bar]:
        """All bars, the last one filled with rest."""
        self._fill_bar()
        return self._bars

    def hold(self, usual: Metre, pickup: Fraction, after: Metre | None) -> Bar:
        """A bar of rest, less long by the pickup that follows."""
        self._fill_bar()
        metre = self._metre or usual
        # a pickup in another metre has a bar of its own
        left = pickup % metre.beats if after == metre else Fraction(0)
        bar = self._open(metre)
        self._append(bar, NoteOrRest((metre.beats - left) * self._beat))
        return bar

    def start(self, metre: Metre, pickup: Fraction) -> Bar:
        """Begin a line: in the bar before where its pickup just fills that, else in a new one."""
        if self._metre is None and pickup:
            self._number = 0
            bar = self._open(metre)
            self._filled = bar.left_out_quarters = (metre.beats - pickup) * self._beat
            return bar
        left = self._bar_quarters - self._filled if self._bar is not None else None
        if self._bar is not None and metre == self._metre and left == pickup * self._beat != 0:
            return self._bar
        self._fill_bar()
        bar = self._open(metre)
        if pickup:
            self._append(bar, NoteOrRest((metre.beats - pickup) * self._beat))
        return bar

    def note(self, quarters: Fraction, number: int, *, begins: bool) -> NoteOrRest:  # noqa: ARG002
        """What is tapped or said, number so many of its item, or what that is tied to."""
        return NoteOrRest(quarters, is_note=True)

    def _rest(self, length_beats: Fraction) -> None:
        """Silence, over bar lines where need be."""
        left = length_beats * self._beat
        while left > 0:
            bar = self._with_room()
            piece = min(left, self._bar_quarters - self._filled)
            self._append(bar, NoteOrRest(piece))
            left -= piece

    def _note(self, length_beats: Fraction, number: int) -> None:
        left = length_beats * self._beat
        begins = True
        while left > 0:
            bar = self._with_room()
            piece = min(left, self._bar_quarters - self._filled)
            made = self.note(piece, number, begins=begins)
            crosses = piece < left
            if crosses or not begins:
                made = evolve(made, tie="start" if begins else ("continue" if crosses else "stop"))
            if begins:
                self.begun.append(Begun(self._item, number, bar, len(bar.elements)))
            self._append(bar, made)
            left -= piece
            begins = False

    @property
    def _beat(self) -> Fraction:
        assert self._metre is not None
        return self._metre.beat_quarters

    @property
    def _bar_quarters(self) -> Fraction:
        assert self._metre is not None
        return self._metre.beats * self._metre.beat_quarters

    def _open(self, metre: Metre) -> Bar:
        bar = self._bar = Bar(self._number, metre, metre != self._metre)
        self._metre, self._filled = metre, Fraction(0)
        self._bars.append(bar)
        self._number += 1
        return bar

    def _fill_bar(self) -> None:
        if self._bar is not None and 0 < self._filled < self._bar_quarters:
            self._append(self._bar, NoteOrRest(self._bar_quarters - self._filled))
        self._bar, self._filled = None, Fraction(0)

    def _with_room(self) -> Bar:
        if self._bar is None or self._filled >= self._bar_quarters:
            assert self._metre is not None
            return self._open(self._metre)
        return self._bar

    def _append(self, bar: Bar, element: NoteOrRest) -> None:
        bar.elements.append(element)
        self._filled += element.quarters
