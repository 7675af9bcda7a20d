"""The story in notation, with words and marks: in bars, and as music21 has them."""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import zip_longest
from typing import Any

from attrs import define, evolve

from tapscore.model.lane import pickup_beats
from tapscore.model.loudness import LETTERS
from tapscore.model.manner import Manner
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Offer, Story, Wait
from tapscore.model.words import Syllable
from tapscore.rhythm.bars import Bar, BarWriter, Lengths, Mark, NoteOrRest
from tapscore.rhythm.describe import describe, usual_manner
from tapscore.rhythm.perform import line_events
from tapscore.rhythm.role_view import speaking, tapping, warned_words
from tapscore.rhythm.theory import measure_of, music21
from tapscore.rhythm.unroll import Placed, unroll
from tapscore.wording.catalogue import say
from tapscore.wording.terms import term


def story_bars(story: Story) -> list[Bar]:
    """The whole story in bars, refrains written out.

    Taps are plain notes, syllables without a tap have a cross for a head; waits and
    offerings are a bar of rest under a fermata with their words above.
    """
    writer = _StoryWriter()
    writer.story(unroll(story))
    return writer.all_bars()


def score_of(title: str, bars: Iterable[Bar]) -> Any:
    """Bars as a music21 Score of one part."""
    part = music21().stream.Part(id="taps")
    part.partName = say("Words and taps")
    part.insert(0, music21().instrument.Woodblock())
    for bar in bars:
        part.append(_measure(bar))
    score = music21().stream.Score(id="story")
    score.metadata = music21().metadata.Metadata(title=title)
    score.insert(0, part)
    return score


def _measure(bar: Bar) -> Any:
    measure, elements = measure_of(bar)
    for each, element in zip(bar.elements, elements, strict=True):
        if each.cross_head:
            element.notehead = "x"
        if each.accent:
            element.articulations.append(music21().articulations.Accent())
        if each.fermata:
            element.expressions.append(music21().expressions.Fermata())
        if each.syllable is not None:
            lyric = music21().note.Lyric(each.syllable, syllabic=each.syllabic, applyRaw=True)
            element.lyrics.append(lyric)
    for mark in bar.marks:
        measure.insert(float(mark.at_quarters), _mark(mark))
    return measure


def _mark(mark: Mark) -> Any:
    match mark.kind:
        case "rehearsal":
            return music21().expressions.RehearsalMark(mark.text)
        case "tempo":
            counted = float(mark.beat_quarters)
            return music21().tempo.MetronomeMark(number=float(mark.per_minute), referent=counted)
        case "loudness":
            return music21().dynamics.Dynamic(mark.text)
        case "words":
            return music21().expressions.TextExpression(mark.text)


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
class _StoryWriter(BarWriter):
    """Writes bars with words, and what is to be heard of tempo and loudness."""

    _section: str = ""
    _tempo: tuple[Fraction, Fraction] | None = None
    """Beats a minute and the beat's length in crotchets; None where it changes on the way."""
    _loudness: str = ""
    _tapped: Manner | None = None
    """How the line before was tapped; None where none was."""
    _says: tuple[str, ...] | None = None
    _here: Placed | None = None

    def story(self, placed: tuple[Placed, ...]) -> None:
        """Write everything, one item after the other."""
        for self._here, item in zip(placed, lengths(placed), strict=True):
            self.item(item)

    def start(self, metre: Metre, pickup: Fraction) -> Bar:
        bar = super().start(metre, pickup)
        assert self._here is not None
        assert self._here.line is not None
        at = self._filled - bar.left_out_quarters
        bar.marks += self._marks(self._here, self._here.line, at)
        return bar

    def note(self, quarters: Fraction, number: int, *, begins: bool) -> NoteOrRest:
        assert self._here is not None
        line = self._here.line
        assert line is not None
        event = line_events(line, self._here.manner.metre)[0][number]
        spoken = event.syllable is not None
        syllable, syllabic = None, "single"
        if begins and event.syllable is not None and event.syllable < len(line.syllables):
            syllable = line.syllables[event.syllable].text
            syllabic = _syllabic(line.syllables, event.syllable)
        return NoteOrRest(
            quarters,
            is_note=True,
            cross_head=spoken and not event.cell.mark.tapped,
            accent=begins and event.cell.accent,
            syllable=syllable,
            syllabic=syllabic,
        )

    def hold(self, usual: Metre, pickup: Fraction, after: Metre | None) -> Bar:
        bar = super().hold(usual, pickup, after)
        item = self._here.item if self._here is not None else None
        text = ""
        if isinstance(item, Wait):
            text = say("wait {seconds} s", seconds=item.least_sec)
        elif isinstance(item, Offer):
            text = say("offer {prop} {seconds} s", prop=item.prop, seconds=item.turn_sec)
        bar.marks.append(Mark("words", Fraction(0), text))
        bar.elements[-1] = evolve(bar.elements[-1], fermata=True)
        return bar

    def _marks(self, placed: Placed, line: Line, at: Fraction) -> Iterator[Mark]:
        if placed.section != self._section:
            self._section = placed.section
            yield Mark("rehearsal", at, placed.section)
        tempo = placed.manner.tempo.start, self._beat
        if tempo != self._tempo:
            yield Mark("tempo", at, per_minute=tempo[0], beat_quarters=tempo[1])
        self._tempo = tempo if placed.manner.tempo.end is None else None
        texts = [
            say("refrain: {name}", name=placed.refrain) if placed.refrain else "",
            warned_words(placed),
            *(say("{prop} out", prop=prop) for prop in line.props_out),
            *(say("{prop} in", prop=entrance.prop) for entrance in line.props_in),
            term(placed.manner.tempo.change_word),
            *self._how(placed),
            *_single_taps(placed),
        ]
        swell = usual_manner(placed).loudness
        letters = " to ".join(LETTERS[level] for level in swell)
        if len(swell) == 1 and letters != self._loudness:
            yield Mark("loudness", at, letters)
        elif len(swell) > 1:
            texts.append(letters)
        self._loudness = letters
        words = "; ".join(text for text in texts if text)
        if words:
            yield Mark("words", at, words)

    def _how(self, placed: Placed) -> Iterator[str]:
        """With what, where and by whom a line is tapped and said, if not as the one before."""
        manner, usual = usual_manner(placed), placed.usual
        if describe(placed).stroke.usual:
            before = self._tapped or usual
            if manner.stroke is not before.stroke:
                yield manner.stroke.shown
            if manner.spot != before.spot:
                yield manner.spot or say("anywhere")
            if manner.by != before.by:
                yield tapping(manner.by)
            self._tapped = manner
        if manner.says != (self._says or usual.says):
            yield speaking(manner.says)
        self._says = manner.says


def _single_taps(placed: Placed) -> list[str]:
    """What taps of a line have of their own, where not all are made alike."""
    found = describe(placed)
    return [
        other.words
        for aspect in (found.loudness, found.stroke, found.spot, found.by)
        for other in aspect.unlike
    ]


def _syllabic(syllables: tuple[Syllable, ...], index: int) -> str:
    ends = syllables[index].ends_word
    if index == 0 or syllables[index - 1].ends_word:
        return "single" if ends else "begin"
    return "end" if ends else "middle"
