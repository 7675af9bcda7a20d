"""The one place where music21 is used: metre as music theory has it, and notation.

Everything imports music21 on first use, as that alone takes a quarter of a second.
"""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import lru_cache
from importlib import import_module
from itertools import zip_longest
from typing import Any

from attrs import define, field, frozen

from tapscore.model.lane import Lane, LaneEvent, pickup_beats
from tapscore.model.loudness import LETTERS
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Offer, Story, Wait
from tapscore.model.tempo import number_text
from tapscore.model.words import Syllable
from tapscore.rhythm.describe import describe
from tapscore.rhythm.perform import line_events
from tapscore.rhythm.unroll import Placed, unroll


def _music21() -> Any:
    return import_module("music21")


def music21_bar_proportions(lane: Lane, metre: Metre) -> tuple[Fraction, ...]:
    """How full music21 finds each bar of a lane, the pickup first if there is one; 1 is full."""
    proportions: list[Fraction] = []
    for bar in lane.all_bars:
        measure = _music21().stream.Measure()
        measure.timeSignature = _music21().meter.TimeSignature(str(metre))
        for step in bar:
            for _ in step:
                length = metre.beat_quarters / (metre.steps_per_beat * len(step))
                measure.append(_music21().note.Rest(quarterLength=length))
        proportions.append(Fraction(measure.barDurationProportion()).limit_denominator(10000))
    return tuple(proportions)


def music21_strengths(metre: Metre, positions_beats: Iterable[Fraction]) -> tuple[Fraction, ...]:
    """music21's accent weight of places in the bar, given in felt beats."""
    signature = _music21().meter.TimeSignature(str(metre))
    return tuple(
        Fraction(
            signature.getAccentWeight(
                position % metre.beats * metre.beat_quarters, forcePositionMatch=True
            )
        )
        for position in positions_beats
    )


def story_score(story: Story) -> Any:
    """The whole story as a music21 Score of one part, refrains written out.

    Taps are plain notes, syllables without a tap have a cross for a head; waits and
    offerings are a bar of rest under a fermata with their words above.
    """
    writer = _PartWriter()
    writer.story(unroll(story))
    return _score(story, writer.finished())


@frozen
class ScorePiece:
    """Some bars of a story's score, as a Score that stands by itself."""

    score: Any
    borrowed_metre: bool
    """Whether its metre is written in the bars before; it stands in this piece besides."""


def score_pieces(story: Story, bars: int) -> Iterator[ScorePiece]:
    """``story_score`` in pieces of so many bars.

    music21 goes back through the whole part for the metre of each bar: what a score takes grows
    with the square of its length.
    """
    writer = _PartWriter()
    writer.story(unroll(story))
    measures = writer.all_measures()
    metre = None
    for begin in range(0, max(len(measures), 1), bars):
        some = measures[begin : begin + bars]
        borrowed = bool(some) and some[0].timeSignature is None
        if borrowed:
            some[0].timeSignature = _music21().meter.TimeSignature(metre)
        yield ScorePiece(_score(story, _part(some)), borrowed)
        for each in some:
            if each.timeSignature is not None:
                metre = each.timeSignature.ratioString


def _score(story: Story, part: Any) -> Any:
    score = _music21().stream.Score(id="story")
    score.metadata = _music21().metadata.Metadata(title=story.title)
    score.insert(0, part)
    return score


def _part(measures: Iterable[Any]) -> Any:
    part = _music21().stream.Part(id="taps")
    part.partName = "Words and taps"
    part.insert(0, _music21().instrument.Woodblock())
    for measure in measures:
        part.append(measure)
    return part


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


def theory_notes(story: Story) -> tuple[TheoryNote, ...]:
    """Every tap and syllable of the story written out, where music21 has put it."""
    writer = _PartWriter()
    writer.story(unroll(story))
    bars = {id(bar): n for n, bar in enumerate(writer.finished().getElementsByClass("Measure"))}
    found = []
    for placed, event, measure, note, metre in writer.notes:
        offset = Fraction(measure.elementOffset(note)) + Fraction(measure.paddingLeft)
        tied = note.tie is not None and note.tie.type == "start"
        strength = _weight(str(metre), offset)
        found.append(TheoryNote(placed, event, bars[id(measure)], str(metre), strength, tied))
    return tuple(found)


@lru_cache(maxsize=1024)
def _weight(metre: str, offset_quarters: Fraction) -> Fraction:
    signature = _music21().meter.TimeSignature(metre)
    return Fraction(signature.getAccentWeight(offset_quarters, forcePositionMatch=True))


def bars_not_full(score: Any) -> tuple[int, ...]:
    """Numbers of the bars that music21 finds neither full nor a pickup."""
    return tuple(
        measure.number
        for measure in score.recurse().getElementsByClass(_music21().stream.Measure)
        if measure.number and measure.barDurationProportion() != 1
    )


def _pickup(placed: Placed | None) -> Fraction:
    lane = placed.line.lane if placed and placed.line else None
    if placed is None or lane is None:
        return Fraction(0)
    metre = placed.manner.metre
    return pickup_beats(lane, metre) % metre.beats


@define
class _PartWriter:
    """Writes bars one after another; a note that crosses a bar line is tied over it."""

    _measures: list[Any] = field(factory=list)
    _measure: Any = None
    _metre: Metre | None = None
    _filled: Fraction = Fraction(0)
    _number: int = 1
    _section: str = ""
    _tempo: tuple[Fraction, Fraction] | None = None
    """Beats a minute and the beat's length in crotchets; None where it changes on the way."""
    _loudness: str = ""
    notes: list[tuple[int, int, Any, Any, Metre | None]] = field(factory=list)
    """Item, event, bar, note and metre of everything tapped or said, where it begins."""
    _item: int = -1

    def story(self, placed: tuple[Placed, ...]) -> None:
        """Write everything, one item after the other."""
        for here, after in zip_longest(placed, placed[1:]):
            self._item += 1
            if here.line is not None:
                self.line(here, here.line)
            else:
                self.hold(here, after)

    def line(self, placed: Placed, line: Line) -> None:
        events, beats = line_events(line, placed.manner.metre)
        self._start(placed.manner.metre, _pickup(placed))
        self._marks(placed, line)
        at = Fraction(0)
        syllables = line.syllables
        for number, event in enumerate(events):
            self._rest((event.onset_beats - at) * self._beat)
            self._note(event, number, syllables)
            at = event.onset_beats + event.length_beats
        self._rest((beats - at) * self._beat)

    def hold(self, placed: Placed, after: Placed | None) -> None:
        self._fill_bar()
        metre = self._metre or placed.manner.metre
        # a pickup in another metre has a bar of its own
        same = after is not None and after.manner.metre == metre
        next_pickup = _pickup(after) if same else Fraction(0)
        self._open(metre)
        item = placed.item
        text = ""
        if isinstance(item, Wait):
            text = f"wait {number_text(item.least_sec)} s"
        elif isinstance(item, Offer):
            text = f"offer {item.prop} {number_text(item.turn_sec)} s"
        self._measure.insert(0, _music21().expressions.TextExpression(text))
        rest = self._append_rest((metre.beats - next_pickup % metre.beats) * self._beat)
        rest.expressions.append(_music21().expressions.Fermata())

    def all_measures(self) -> list[Any]:
        self._fill_bar()
        return self._measures

    def finished(self) -> Any:
        return _part(self.all_measures())

    def _start(self, metre: Metre, pickup: Fraction) -> None:
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

    @property
    def _beat(self) -> Fraction:
        assert self._metre is not None
        return self._metre.beat_quarters

    @property
    def _bar_quarters(self) -> Fraction:
        assert self._metre is not None
        return self._metre.beats * self._metre.beat_quarters

    def _open(self, metre: Metre) -> None:
        self._measure = _music21().stream.Measure(number=self._number)
        if metre != self._metre:
            self._measure.timeSignature = _music21().meter.TimeSignature(str(metre))
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

    def _rest(self, quarters: Fraction) -> None:
        while quarters > 0:
            piece = min(quarters, self._room())
            self._append_rest(piece)
            quarters -= piece

    def _append_rest(self, quarters: Fraction) -> Any:
        rest = _music21().note.Rest(quarterLength=quarters)
        self._measure.append(rest)
        self._filled += quarters
        return rest

    def _note(self, event: LaneEvent, number: int, syllables: tuple[Syllable, ...]) -> None:
        left = event.length_beats * self._beat
        first = True
        while left > 0:
            piece = min(left, self._room())
            element = _music21().note.Unpitched(quarterLength=piece)
            if event.syllable is not None and not event.cell.mark.tapped:
                element.notehead = "x"
            if first and event.cell.accent:
                element.articulations.append(_music21().articulations.Accent())
            if first and event.syllable is not None and event.syllable < len(syllables):
                element.lyrics.append(_lyric(syllables, event.syllable))
            crosses = piece < left
            if crosses or not first:
                kind = "start" if first else ("continue" if crosses else "stop")
                element.tie = _music21().tie.Tie(kind)
            self._measure.append(element)
            if first:
                self.notes.append((self._item, number, self._measure, element, self._metre))
            self._filled += piece
            left -= piece
            first = False

    def _marks(self, placed: Placed, line: Line) -> None:
        at = float(self._filled - Fraction(self._measure.paddingLeft))
        if placed.section != self._section:
            self._section = placed.section
            self._measure.insert(at, _music21().expressions.RehearsalMark(placed.section))
        tempo = placed.manner.tempo.start, self._beat
        if tempo != self._tempo:
            mark = _music21().tempo.MetronomeMark(number=float(tempo[0]), referent=float(tempo[1]))
            self._measure.insert(at, mark)
        self._tempo = tempo if placed.manner.tempo.end is None else None
        texts = [
            f"refrain: {placed.refrain}" if placed.refrain else "",
            f"warn first: {line.warn_first}" if line.warn_first else "",
            *(f"{entrance.prop} in" for entrance in line.props_in),
            *(f"{prop} out" for prop in line.props_out),
            placed.manner.tempo.change_word,
            *_single_taps(placed),
        ]
        swell = placed.manner.loudness
        letters = " to ".join(LETTERS[level] for level in swell)
        if len(swell) == 1 and letters != self._loudness:
            self._measure.insert(at, _music21().dynamics.Dynamic(letters))
        elif len(swell) > 1:
            texts.append(letters)
        self._loudness = letters
        words = "; ".join(text for text in texts if text)
        if words:
            self._measure.insert(at, _music21().expressions.TextExpression(words))


def _single_taps(placed: Placed) -> list[str]:
    """What taps of a line have of their own, where not all are made alike."""
    found = describe(placed)
    return [
        f"{other.word} on {other.where}"
        for aspect in (found.loudness, found.stroke, found.spot, found.by)
        for other in aspect.unlike
    ]


def _lyric(syllables: tuple[Syllable, ...], index: int) -> Any:
    syllable = syllables[index]
    starts = index == 0 or syllables[index - 1].ends_word
    if starts:
        kind = "single" if syllable.ends_word else "begin"
    else:
        kind = "end" if syllable.ends_word else "middle"
    return _music21().note.Lyric(text=syllable.text, syllabic=kind, applyRaw=True)
