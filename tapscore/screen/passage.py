"""A passage: lines heard one after another without a stop, with the clicks that lead in.

Waits and offerings end a passage.  A loop in which no wait stands is one passage that
begins again by itself; its end is filled with rest up to where the bars fall in step.
Times are exact fractions of a second; only the way back, from seconds to beats, is not.
"""

from collections.abc import Iterator
from fractions import Fraction
from math import sqrt

from attrs import frozen

from tapscore.exports.audio.clicks import LEAST_LEAD_IN
from tapscore.rhythm.performance import Beat, Performance, Segment, SegmentKind
from tapscore.rhythm.tempo_map import TempoPiece


@frozen
class Going:
    """Which segments are gone through, and whether they begin again after the last."""

    segments: tuple[int, ...]
    loops: bool = False
    first: int = 0
    """Position among them to begin at."""


@frozen
class PassageLine:
    """A line within a passage."""

    segment: int
    piece: TempoPiece
    start_sec: Fraction
    """From the passage's first line."""


@frozen
class PassageClick:
    """A click, from the beginning of the passage (with what leads in)."""

    sec: Fraction
    downbeat: bool


@frozen
class PassagePlace:
    """Where in a passage one is."""

    segment: int
    beats: float
    """Felt beats into the segment."""
    share: float
    """The same as a share of it, 0 to 1."""
    counting_in: bool = False


@frozen(eq=False)
class Passage:
    """Lines without a stop."""

    performance: Performance
    parts: tuple[PassageLine, ...]
    lead_in_beats: Fraction
    lead_in_period_sec: Fraction
    rest_beats: Fraction
    """Silence (with clicks) after the last line of a loop, so that bars fall in step."""
    rest_period_sec: Fraction
    loops: bool
    after: int | None
    """Position in the going of the wait or offering it ends at; None at the end of all."""

    @property
    def lead_in_sec(self) -> Fraction:
        """Seconds of clicks before the first line."""
        return self.lead_in_beats * self.lead_in_period_sec

    @property
    def body_sec(self) -> Fraction:
        """Seconds of the lines, and of the rest after them."""
        lines = self.parts[-1].start_sec + self.parts[-1].piece.length_sec
        return lines + self.rest_beats * self.rest_period_sec

    @property
    def length_sec(self) -> Fraction:
        """Seconds once through, with what leads in."""
        return self.lead_in_sec + self.body_sec

    def segment_of(self, part: PassageLine) -> Segment:
        """The segment that a part plays."""
        return self.performance.segments[part.segment]

    def moment(self, sec: float, body_sec: float | None = None) -> PassagePlace:
        """Where one is ``sec`` seconds after the beginning.

        ``body_sec`` is the loop's period as it sounds, in whole frames.
        """
        into = sec - float(self.lead_in_sec)
        if into < 0:
            return PassagePlace(self.parts[0].segment, 0.0, 0.0, True)
        if self.loops:
            into %= body_sec or float(self.body_sec)
        part = self._part_at(into)
        beats = beats_at(part.piece, into - float(part.start_sec))
        whole = float(part.piece.beats)
        return PassagePlace(part.segment, min(beats, whole), min(beats / whole, 1.0))

    def performed(self, sec: float, body_sec: float | None = None) -> tuple[float, int]:
        """Seconds of the performance ``sec`` seconds after the beginning, and which time round.

        Counting in comes before the first line, at less than the line's own second.
        """
        into, times = sec - float(self.lead_in_sec), 0
        if self.loops and into >= 0:
            whole, into = divmod(into, body_sec or float(self.body_sec))
            times = int(whole)
        part = self._part_at(into)
        return float(part.piece.start_sec - part.start_sec) + into, times

    def _part_at(self, into_sec: float) -> PassageLine:
        return next(
            p for p in reversed(self.parts) if into_sec >= p.start_sec or p is self.parts[0]
        )

    def pulses(self) -> Iterator[PassageClick]:
        """Every click of the lead-in, the lines and the rest, in order."""
        first = self.segment_of(self.parts[0])
        bar = first.metre.beats
        for count in range(int(self.lead_in_beats) + 1):
            if count < self.lead_in_beats:
                yield PassageClick(count * self.lead_in_period_sec, count % bar == 0)
        seconds = self.performance.tempo_map.seconds
        beats: dict[int, list[Beat]] = {part.segment: [] for part in self.parts}
        for beat in self.performance.beats:
            if beat.segment in beats:
                beats[beat.segment].append(beat)
        for part in self.parts:
            begin = self.lead_in_sec + part.start_sec - part.piece.start_sec
            for beat in beats[part.segment]:
                yield PassageClick(begin + seconds(beat.onset_beats), beat.downbeat)
        last = self.segment_of(self.parts[-1])
        phase = last.bar_phase_beats + last.beats
        at = -phase % 1
        rest_begin = self.length_sec - self.rest_beats * self.rest_period_sec
        while at < self.rest_beats:
            downbeat = (phase + at) % last.metre.beats == 0
            yield PassageClick(rest_begin + at * self.rest_period_sec, downbeat)
            at += 1


def beats_at(piece: TempoPiece, sec: float) -> float:
    """Felt beats from a piece's first beat to a time in it: the tempo map the other way.

    The tempo map says ``sec = x*p0 + (p1 - p0)*x*x/(2*B)``; this is that solved for x.
    """
    first = float(piece.first_period_sec)
    if piece.steady:
        return sec / first
    bend = float((piece.last_period_sec - piece.first_period_sec) / piece.beats)
    return 2 * sec / (first + sqrt(max(first * first + 2 * bend * sec, 0.0)))


def passage_from(
    performance: Performance, going: Going, at: int, *, count_in: bool
) -> Passage | None:
    """The lines from position ``at`` up to a wait, an offering or the end; None if there are none.

    In a loop they run on from the last to the first, and ``at`` may be beyond the last.
    """
    order = _order(going, at)
    pieces = {piece.start_beats: piece for piece in performance.tempo_map.pieces}
    parts: list[PassageLine] = []
    start = Fraction(0)
    after: int | None = None
    for position in order:
        index = going.segments[position]
        segment = performance.segments[index]
        if segment.kind in (SegmentKind.WAIT, SegmentKind.OFFER):
            after = position
            break
        if segment.beats > 0:
            piece = pieces[segment.start_beats]
            parts.append(PassageLine(index, piece, start))
            start += piece.length_sec
    if not parts:
        return None
    loops = going.loops and after is None
    first, last = performance.segments[parts[0].segment], performance.segments[parts[-1].segment]
    return Passage(
        performance,
        tuple(parts),
        _lead_in_beats(first) if count_in else Fraction(0),
        parts[0].piece.first_period_sec,
        _rest_beats(last, first) if loops else Fraction(0),
        parts[-1].piece.last_period_sec,
        loops,
        after,
    )


def next_hold(performance: Performance, going: Going, at: int) -> int | None:
    """Position of the first wait or offering from ``at`` on; None if there is none."""
    kinds = (SegmentKind.WAIT, SegmentKind.OFFER)
    segments = performance.segments
    return next((p for p in _order(going, at) if segments[going.segments[p]].kind in kinds), None)


def event_beats(segment: Segment, beats: float) -> float:
    """Where the last tap or syllable up to ``beats`` began: the cursor that does not glide."""
    onsets = {tap.onset_beats for tap in segment.taps}
    onsets |= {syllable.onset_beats for syllable in segment.syllables}
    into = (float(onset - segment.start_beats) for onset in onsets)
    return max((onset for onset in into if onset <= beats + 1e-6), default=0.0)


def _order(going: Going, at: int) -> range | list[int]:
    count = len(going.segments)
    if not going.loops:
        return range(at, count)
    return [(at + i) % count for i in range(count)]


def _pickup_beats(segment: Segment) -> Fraction:
    return -segment.bar_phase_beats % segment.metre.beats


def _lead_in_beats(first: Segment) -> Fraction:
    bar = Fraction(first.metre.beats)
    beats = bar - _pickup_beats(first)
    while beats < bar or beats < LEAST_LEAD_IN:
        beats += bar
    return beats


def _rest_beats(last: Segment, first: Segment) -> Fraction:
    phase = last.bar_phase_beats + last.beats
    return (-phase - _pickup_beats(first)) % last.metre.beats
