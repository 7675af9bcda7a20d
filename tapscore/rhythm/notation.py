"""The story in notation, with words and marks, as music21 has it."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import zip_longest
from typing import Any

from attrs import define, frozen

from tapscore.model.lane import pickup_beats
from tapscore.model.loudness import LETTERS
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Offer, Story, Wait
from tapscore.model.words import Syllable
from tapscore.rhythm.describe import describe
from tapscore.rhythm.perform import line_events
from tapscore.rhythm.theory import BarWriter, Lengths, music21, part
from tapscore.rhythm.unroll import Placed, unroll
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term


def story_score(story: Story) -> Any:
    """The whole story as a music21 Score of one part, refrains written out.

    Taps are plain notes, syllables without a tap have a cross for a head; waits and
    offerings are a bar of rest under a fermata with their words above.
    """
    writer = _PartWriter()
    writer.story(unroll(story))
    return _score(story, part(writer.all_bars()))


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
    measures = writer.all_bars()
    metre = None
    for begin in range(0, max(len(measures), 1), bars):
        some = measures[begin : begin + bars]
        borrowed = bool(some) and some[0].timeSignature is None
        if borrowed:
            some[0].timeSignature = music21().meter.TimeSignature(metre)
        yield ScorePiece(_score(story, part(some)), borrowed)
        for each in some:
            if each.timeSignature is not None:
                metre = each.timeSignature.ratioString


def _score(story: Story, part: Any) -> Any:
    score = music21().stream.Score(id="story")
    score.metadata = music21().metadata.Metadata(title=story.title)
    score.insert(0, part)
    return score


def bars_not_full(score: Any) -> tuple[int, ...]:
    """Numbers of the bars that music21 finds neither full nor a pickup."""
    return tuple(
        measure.number
        for measure in score.recurse().getElementsByClass(music21().stream.Measure)
        if measure.number and measure.barDurationProportion() != 1
    )


def lengths(placed: tuple[Placed, ...]) -> Iterator[Lengths]:
    """What music theory is told of each item: its metre, and lengths."""
    for here, after in zip_longest(placed, placed[1:]):
        metre, line = here.manner.metre, here.line
        if line is None:
            next_metre = after.manner.metre if after is not None else None
            yield Lengths(metre, _pickup(after), after=next_metre)
            continue
        events, beats = line_events(line, metre)
        told = tuple((event.onset_beats, event.length_beats) for event in events)
        yield Lengths(metre, _pickup(here), beats, told)


def _pickup(placed: Placed | None) -> Fraction:
    lane = placed.line.lane if placed and placed.line else None
    if placed is None or lane is None:
        return Fraction(0)
    metre = placed.manner.metre
    return pickup_beats(lane, metre) % metre.beats


@define
class _PartWriter(BarWriter):
    """Writes bars with words, and what is to be heard of tempo and loudness."""

    _section: str = ""
    _tempo: tuple[Fraction, Fraction] | None = None
    """Beats a minute and the beat's length in crotchets; None where it changes on the way."""
    _loudness: str = ""

    _here: Placed | None = None

    def story(self, placed: tuple[Placed, ...]) -> None:
        """Write everything, one item after the other."""
        for self._here, item in zip(placed, lengths(placed), strict=True):
            self.item(item)

    def start(self, metre: Metre, pickup: Fraction) -> None:
        super().start(metre, pickup)
        assert self._here is not None
        assert self._here.line is not None
        self._marks(self._here, self._here.line)

    def note(self, length_beats: Fraction, number: int) -> list[Any]:
        made = super().note(length_beats, number)
        assert self._here is not None
        line = self._here.line
        assert line is not None
        event = line_events(line, self._here.manner.metre)[0][number]
        if event.syllable is not None and not event.cell.mark.tapped:
            for element in made:
                element.notehead = "x"
        if event.cell.accent:
            made[0].articulations.append(music21().articulations.Accent())
        if event.syllable is not None and event.syllable < len(line.syllables):
            made[0].lyrics.append(_lyric(line.syllables, event.syllable))
        return made

    def hold(self, usual: Metre, pickup: Fraction, after: Metre | None) -> Any:
        rest = super().hold(usual, pickup, after)
        item = self._here.item if self._here is not None else None
        text = ""
        if isinstance(item, Wait):
            text = say("wait {seconds} s", seconds=item.least_sec)
        elif isinstance(item, Offer):
            text = say("offer {prop} {seconds} s", prop=item.prop, seconds=item.turn_sec)
        self._measure.insert(0, music21().expressions.TextExpression(text))
        rest.expressions.append(music21().expressions.Fermata())
        return rest

    def _marks(self, placed: Placed, line: Line) -> None:
        at = float(self._filled - Fraction(self._measure.paddingLeft))
        if placed.section != self._section:
            self._section = placed.section
            self._measure.insert(at, music21().expressions.RehearsalMark(placed.section))
        tempo = placed.manner.tempo.start, self._beat
        if tempo != self._tempo:
            mark = music21().tempo.MetronomeMark(number=float(tempo[0]), referent=float(tempo[1]))
            self._measure.insert(at, mark)
        self._tempo = tempo if placed.manner.tempo.end is None else None
        texts = [
            say("refrain: {name}", name=placed.refrain) if placed.refrain else "",
            say("warn first: {how}", how=line.warn_first) if line.warn_first else "",
            *(say("{prop} in", prop=entrance.prop) for entrance in line.props_in),
            *(say("{prop} out", prop=prop) for prop in line.props_out),
            term(placed.manner.tempo.change_word),
            *_single_taps(placed),
        ]
        swell = placed.manner.loudness
        letters = " to ".join(LETTERS[level] for level in swell)
        if len(swell) == 1 and letters != self._loudness:
            self._measure.insert(at, music21().dynamics.Dynamic(letters))
        elif len(swell) > 1:
            texts.append(letters)
        self._loudness = letters
        words = "; ".join(text for text in texts if text)
        if words:
            self._measure.insert(at, music21().expressions.TextExpression(words))


def _single_taps(placed: Placed) -> list[str]:
    """What taps of a line have of their own, where not all are made alike."""
    found = describe(placed)
    return [
        other.words
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
    return music21().note.Lyric(text=syllable.text, syllabic=kind, applyRaw=True)
