"""Where the telling differs from the writing: what may be said, and no more than is sure.

Limits and what may be said at all follow a study on simulated rehearsals (``DEVELOPERS.md``).
Sentences are about lines and waits; nothing here knows of a person.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from statistics import median

import numpy as np
from attrs import frozen

from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Wait
from tapscore.rehearsal.confidence import stands_between
from tapscore.rehearsal.loudness import line_level, swelling
from tapscore.rehearsal.pace import (
    FEWEST_TAPS,
    TIMES_SURE,
    clearly_otherwise,
    paused_before,
)
from tapscore.rehearsal.told import ToldLine, ToldRehearsal
from tapscore.rehearsal.written import WrittenLine
from tapscore.rhythm.performance import Performance, Segment, SegmentKind
from tapscore.wording.about import About, LineName

MOST_SAID = 5
WHOLE_FASTER, WHOLE_SLOWER = 1.25, 0.78
_SHORT_WAIT, _LONG_WAIT = 0.5, 2.0
_NO_LOUDER_DB, _MUCH_LOUDER_DB = 1.5, 8.0
_SWELL_STEPS = 2.0
_FEWEST_SURE = 3


@frozen
class Difference:
    """One thing to say, with what it is about."""

    finding: Finding
    weight: float
    """The worst first."""
    segment: int
    """Of the line, or of the wait."""
    at_sec: float | None = None
    """Where to listen in the recording; None for what was not found."""
    until_sec: float | None = None
    as_told: bool = False
    """Whether the story can be made as it is told."""


def differences(
    performance: Performance, written: Sequence[WrittenLine], told: ToldRehearsal
) -> tuple[Difference, ...]:
    """What to say, worst first, at most ``MOST_SAID``; nothing where it can't be told."""
    if not told.can_tell:
        return ()
    found = sorted(
        _Comparing(performance, written, told).all(), key=lambda each: (-each.weight, each.segment)
    )
    return tuple(found[:MOST_SAID])


class _Comparing:
    def __init__(
        self, performance: Performance, written: Sequence[WrittenLine], told: ToldRehearsal
    ) -> None:
        self._segments = performance.segments
        self._names = line_names(performance)
        self._told = told
        span = told.span
        self._pairs = [(written[at], told.lines[at]) for at in span]
        self._both = [each[0] for each in self._pairs], [each[1] for each in self._pairs]
        self._first, self._last = span[0], span[-1]
        self._count = len(written)
        paces = [1 / line.ratio for line in told.lines if line.sure and line.ratio > 0]
        self._pace = median(paces or [1.0])
        self._sure_lines = len(paces)

    def all(self) -> Iterator[Difference]:
        yield from self._whole_tempo()
        for at, (written, line) in enumerate(self._pairs):
            yield from self._missing(at, written, line)
            if line.sure:
                if stands_between(*self._both, at):
                    yield from self._tempo(written, line)
                yield from self._pause(written, line)
                yield from self._swell(line)
                yield from self._again(line)
                yield from self._taps(line)
        for before, after in pairwise(self._pairs):
            if before[1].sure and after[1].sure:
                yield from self._wait(before, after)
                yield from self._loudness(before, after)

    def _whole_tempo(self) -> Iterator[Difference]:
        if WHOLE_SLOWER < self._pace < WHOLE_FASTER:
            return
        about = About(share=share_word(self._pace), way=_way(self._pace))
        first = self._pairs[0][1].segment
        yield self._difference("told-tempo-whole", first, 3.0, None, about, as_told=True)

    def _tempo(self, written: WrittenLine, line: ToldLine) -> Iterator[Difference]:
        pace = clearly_otherwise(written, line, self._pace)
        if pace is None or self._sure_lines < _FEWEST_SURE:
            return
        about = self._about(line.segment).and_also(
            share=share_word(pace),
            way=_way(pace),
            tempo=told_tempo(self._segments[line.segment], line.ratio)[0],
        )
        weight = 2.5 + 2 * abs(float(np.log(pace)))
        yield self._difference("told-tempo", line.segment, weight, line, about, as_told=True)

    def _pause(self, written: WrittenLine, line: ToldLine) -> Iterator[Difference]:
        after = paused_before(written, line)
        if after is not None:
            word, begins = _word_at(self._segments[line.segment], after)
            where = "" if not word else "before" if begins else "within"
            about = self._about(line.segment).and_also(syllable=word, where=where)
            yield self._difference("told-pause", line.segment, 1.2, line, about)

    def _wait(
        self, before: tuple[WrittenLine, ToldLine], after: tuple[WrittenLine, ToldLine]
    ) -> Iterator[Difference]:
        between = range(before[1].segment + 1, after[1].segment)
        holds = [at for at in between if self._segments[at].kind is not SegmentKind.LINE]
        if len(holds) != 1 or len(between) != 1:
            return
        (at,) = holds
        item = self._segments[at].item
        if not isinstance(item, Wait):
            return
        wanted = float(item.least_sec)
        rests = before[0].gap_sec - self._segments[at].length_sec
        lasted = after[1].start_sec - before[1].end_sec - rests / self._pace
        if lasted < 0 or _SHORT_WAIT * wanted < lasted < _LONG_WAIT * wanted:
            return
        about = self._about(before[1].segment).and_also(
            lasted=max(round(lasted), 1), wanted=round(wanted)
        )
        weight = 3.6 + (1 - lasted / wanted) if lasted < wanted else 2.0
        yield self._difference(
            "told-wait", at, weight, None, about, (before[1].end_sec, after[1].start_sec), True
        )

    def _loudness(
        self, before: tuple[WrittenLine, ToldLine], after: tuple[WrittenLine, ToldLine]
    ) -> Iterator[Difference]:
        one, two = line_level(before[1]), line_level(after[1])
        if one is None or two is None:
            return
        louder_db = two.middle_db - one.middle_db
        error_db = TIMES_SURE * float(np.hypot(one.error_db, two.error_db))
        steps = float(np.mean(after[0].steps) - np.mean(before[0].steps))
        about = self._about(after[1].segment).and_also(
            before=self._names[before[1].segment],
            loudness=self._loudness_written(after[1].segment),
            earlier=self._loudness_written(before[1].segment),
        )
        if steps >= 1 and louder_db + error_db < _NO_LOUDER_DB:
            yield self._difference(
                "told-no-louder", after[1].segment, 2.2, after[1], about, as_told=True
            )
        elif steps <= 0.25 and louder_db - error_db / 2 > _MUCH_LOUDER_DB:
            weight = 4.5 + (louder_db - _MUCH_LOUDER_DB) / 6
            yield self._difference(
                "told-much-louder", after[1].segment, weight, after[1], about, as_told=True
            )

    def _loudness_written(self, segment: int) -> int:
        return int(self._segments[segment].manner.loudness[0])

    def _swell(self, line: ToldLine) -> Iterator[Difference]:
        loudness = self._segments[line.segment].manner.loudness
        steps = int(loudness[-1]) - int(loudness[0])
        sounded = swelling(line)
        if len(loudness) != 2 or abs(steps) < _SWELL_STEPS or sounded is None:
            return
        if line.heard.sum() < FEWEST_TAPS + 1:
            return
        way = float(np.sign(steps))
        if way * sounded.db > 0 or max(way * sounded.least_db, way * sounded.most_db) > 3.0:
            return
        other = max(way * sounded.least_db, way * sounded.most_db) < -1.0
        about = self._about(line.segment).and_also(
            written="grows" if steps > 0 else "fades",
            sounded="other" if other else "even",
        )
        yield self._difference("told-swell", line.segment, 2.5, line, about, as_told=True)

    def _missing(self, at: int, written: WrittenLine, line: ToldLine) -> Iterator[Difference]:
        if line.found or not 0 < at < len(self._pairs) - 1:
            return
        if not (self._pairs[at - 1][1].sure and self._pairs[at + 1][1].sure):
            return
        around = self._pairs[at - 1][1].end_sec, self._pairs[at + 1][1].start_sec
        yield self._difference(
            "told-left-out", written.segment, 4.0, None, self._about(written.segment), around
        )

    def _again(self, line: ToldLine) -> Iterator[Difference]:
        if line.begun_before_sec is not None:
            around = line.begun_before_sec, line.end_sec
            about = self._about(line.segment)
            yield self._difference("told-again", line.segment, 1.0, None, about, around)

    def _taps(self, line: ToldLine) -> Iterator[Difference]:
        if self._told.words_spoken or line.heard.all() or (~line.heard).sum() > 2:
            return
        segment = self._segments[line.segment]
        words = _words_at(segment, int(np.flatnonzero(~line.heard)[0]))
        if words:
            about = self._about(line.segment).and_also(syllable=words)
            yield self._difference("told-no-tap", line.segment, 1.5, line, about)

    def _about(self, segment: int) -> About:
        here = self._segments[segment]
        path = here.returned_path or here.path
        times = [
            each.refrain_time for each in self._segments if each.path == here.path and each.refrain
        ]
        return About(
            line=self._names[segment],
            time=here.refrain_time if len(times) > 1 else 0,
            returns=None if path == here.path else "yes",
        )

    def _difference(
        self,
        code: str,
        segment: int,
        weight: float,
        line: ToldLine | None,
        about: About,
        around: tuple[float, float] | None = None,
        as_told: bool = False,
    ) -> Difference:
        here = self._segments[segment]
        finding = Finding(code, Severity.ADVICE, here.returned_path or here.path, None, about)
        if line is not None:
            around = line.start_sec, line.end_sec
        begin, until = around if around is not None else (None, None)
        return Difference(finding, weight, segment, begin, until, as_told)


def line_names(performance: Performance) -> dict[int, LineName]:
    """What each line of a performance is called, by segment."""
    lengths: dict[str, int] = {}
    for segment in performance.segments:
        if segment.kind is SegmentKind.LINE and segment.refrain is not None:
            place = segment.path[-1]
            assert isinstance(place, int)
            lengths[segment.refrain] = max(lengths.get(segment.refrain, 0), place + 1)
    names = {}
    for at, segment in enumerate(performance.segments):
        if segment.kind is not SegmentKind.LINE:
            continue
        place = segment.path[-1]
        single = segment.refrain is None or lengths[segment.refrain] == 1
        assert isinstance(place, int)
        names[at] = LineName(
            segment.number if segment.refrain is None else None,
            segment.refrain,
            None if single else place + 1,
        )
    return names


def told_tempo(segment: Segment, ratio: float) -> tuple[int, int | None]:
    """A line's tempo as told, in whole beats a minute, and its last one where it changes."""
    tempo = segment.manner.tempo
    last = None if tempo.end is None else _bounded(float(tempo.end) / ratio)
    return _bounded(float(tempo.start) / ratio), last


def _bounded(tempo: float) -> int:
    return min(max(round(tempo), 20), 300)


def share_word(pace: float) -> str:
    """Which share of the tempo a pace differs by, as a word of the texts."""
    for limit, word in ((0.6, "slow"), (0.71, "third"), (0.775, "quarter"), (1.0, "fifth")):
        if pace < limit:
            return word
    for limit, word in ((1.225, "fifth"), (1.29, "quarter"), (1.42, "third"), (1.75, "half")):
        if pace < limit:
            return word
    return "twice"


def _way(pace: float) -> str:
    return "faster" if pace > 1 else "slower"


def _words_at(segment: Segment, touch: int) -> str:
    """The syllable on a line's ``touch``-th touch; empty for a tap alone."""
    at = _syllable_at(segment, touch)
    return _bare(segment.syllables[at].syllable.text) if at is not None else ""


def _word_at(segment: Segment, touch: int) -> tuple[str, bool]:
    """The word on a line's ``touch``-th touch, and whether it begins there."""
    at = _syllable_at(segment, touch)
    if at is None:
        return "", False
    every = [each.syllable for each in segment.syllables]
    first = last = at
    while first and not every[first - 1].ends_word:
        first -= 1
    while last + 1 < len(every) and not every[last].ends_word:
        last += 1
    return _bare("".join(each.text for each in every[first : last + 1])), first == at


def _syllable_at(segment: Segment, touch: int) -> int | None:
    """Which of a line's syllables is on its ``touch``-th touch."""
    onsets = sorted({tap.onset_sec for tap in segment.taps})
    index = {tap.onset_sec: tap.syllable for tap in segment.taps}[
        onsets[min(touch, len(onsets) - 1)]
    ]
    every = [each.index for each in segment.syllables]
    return every.index(index) if index in every else None


def _bare(text: str) -> str:
    return text.strip(" ,.;:!?“”")
