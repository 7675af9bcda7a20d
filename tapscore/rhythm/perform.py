"""From a story to its performance: refrains unrolled, time made exact.

Waits and offerings become silent beats, just so many and so long that they last their
seconds and that the next line's bars fall in step with what went before.
"""

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache, partial
from math import lcm

from attrs import frozen

from tapscore.model.lane import Lane, LaneEvent, pickup_beats
from tapscore.model.loudness import Loudness
from tapscore.model.metre import Metre
from tapscore.model.story import USUAL, Line, Offer, Story, Wait
from tapscore.model.strokes import Stroke
from tapscore.rhythm.layout import Layout, line_layout, tap_levels
from tapscore.rhythm.performance import (
    Performance,
    PerformedSyllable,
    PerformedTap,
    Segment,
    SegmentKind,
    Sounds,
    silence,
)
from tapscore.rhythm.tempo_map import TempoPiece, tempo_map
from tapscore.rhythm.unroll import Placed, unroll

EVERYONE = "everyone"
_START = Fraction(0)


def perform(
    story: Story, *, count_in_bars: int = 0, longest_offer_sec: Fraction | None = None
) -> Performance:
    """Unroll ``story`` in time.

    ``count_in_bars`` puts clicks alone before the first line.  ``longest_offer_sec``
    shortens offerings, for something to listen to rather than a real telling.
    """
    frames = tuple(_frames(story, count_in_bars, longest_offer_sec))
    times = tempo_map(stretch for frame in frames for stretch in frame.stretches())
    pieces = iter(times.pieces)
    segments: list[Segment] = []
    start = _START
    for index, frame in enumerate(frames):
        if frame.beats > 0:
            piece = next(pieces)
            lead_sec = next(pieces).length_sec if frame.lead_beats else _START
        else:
            period = frame.first_period_sec
            piece = TempoPiece(start, frame.beats, period, period, times.seconds(start))
            lead_sec = _START
        segments.append(_segment(story, index, frame, piece, piece.length_sec + lead_sec))
        start += frame.beats
    return Performance(tuple(segments), times, story.role_names)


def turn_count(story: Story, offer: Offer) -> int:
    """How many turns an offering takes: pupils shared over the prop's sets, rounded up."""
    prop = story.prop(offer.prop)
    sets = max(prop.sets if prop else 1, 1)
    return max(-(-story.pupil_count // sets), 1)


def line_events(line: Line, metre: Metre) -> tuple[tuple[LaneEvent, ...], Fraction]:
    """Taps and syllables of a line, and its length in felt beats.

    A line without a lane is spoken a syllable a step, untapped, and fills whole bars.
    """
    layout = line_layout(line, metre)
    return layout.events, layout.beats


@frozen(eq=False, repr=False)
class _Frame:
    placed: Placed | None
    metre: Metre
    beats: Fraction
    phase_beats: Fraction
    first_period_sec: Fraction
    last_period_sec: Fraction
    layout: Layout | None = None
    lead_beats: Fraction = _START
    """The end of a hold that goes at the next line's tempo, so that clicks can lead in."""
    lead_period_sec: Fraction = _START

    def stretches(self) -> Iterator[tuple[Fraction, Fraction, Fraction]]:
        yield self.beats - self.lead_beats, self.first_period_sec, self.last_period_sec
        if self.lead_beats:
            yield self.lead_beats, self.lead_period_sec, self.lead_period_sec


def _frames(
    story: Story, count_in_bars: int, longest_offer_sec: Fraction | None
) -> Iterator[_Frame]:
    placed = unroll(story)
    lines = iter([p for p in placed if isinstance(p.item, Line)])
    following = next(lines, None)
    if following is None:
        metre, period, phase = Metre(4, 4), Fraction(1), _START
    else:
        metre, period, phase = following.metre, _period_sec(following.tempo.start), _START
        if count_in_bars:
            beats = count_in_bars * metre.beats - _pickup(following) % metre.beats
            beats += metre.beats if _pickup(following) else 0
            yield _Frame(None, metre, beats, Fraction(0), period, period)
            phase = beats % metre.beats
    for here in placed:
        if isinstance(here.item, Line):
            following = next(lines, None)
            metre, period = here.metre, _period_sec(here.tempo.last)
            layout = line_layout(here.item, metre)
            beats = layout.beats
            pickup = layout.pickup_beats
            phase = -pickup % metre.beats if pickup else _START
            first_period = _period_sec(here.tempo.start)
            yield _Frame(here, metre, beats, phase, first_period, period, layout)
        else:
            seconds = _least_sec(story, here.item, longest_offer_sec)
            phase %= metre.beats
            pickup = _pickup(following) if following else _START
            beats = _hold_beats(seconds / period, -phase - pickup, metre)
            yield _hold(here, metre, beats, phase, seconds, following)
        phase += beats


def _hold(
    placed: Placed,
    metre: Metre,
    beats: Fraction,
    phase: Fraction,
    seconds: Fraction,
    following: Placed | None,
) -> _Frame:
    """Silent beats; the last bar at the next line's tempo, if what is left can take it up."""
    lead = Fraction(metre.beats)
    if following is not None and beats > lead:
        lead_period = _period_sec(following.tempo.start)
        period = (seconds - lead * lead_period) / (beats - lead)
        if lead_period / 2 <= period <= lead_period * 2:
            return _Frame(
                placed,
                metre,
                beats,
                phase,
                period,
                period,
                lead_beats=lead,
                lead_period_sec=lead_period,
            )
    return _Frame(placed, metre, beats, phase, seconds / beats, seconds / beats)


@lru_cache(maxsize=256)
def _period_sec(tempo: Fraction) -> Fraction:
    return 60 / tempo


def _pickup(placed: Placed) -> Fraction:
    lane: Lane | None = placed.item.lane if isinstance(placed.item, Line) else None
    return pickup_beats(lane, placed.metre) if lane else Fraction(0)


def _least_sec(story: Story, item: Wait | Offer, longest_offer_sec: Fraction | None) -> Fraction:
    if isinstance(item, Wait):
        return item.least_sec
    seconds = item.turn_sec * turn_count(story, item)
    return seconds if longest_offer_sec is None else min(seconds, longest_offer_sec)


def _hold_beats(wanted: Fraction, residue: Fraction, metre: Metre) -> Fraction:
    first = residue % metre.beats
    beats = first + max(round((wanted - first) / metre.beats), 0) * metre.beats
    return beats if beats > 0 else Fraction(metre.beats)


def _segment(
    story: Story, index: int, frame: _Frame, piece: TempoPiece, length_sec: Fraction
) -> Segment:
    placed = frame.placed
    if placed is None:
        return Segment(
            kind=SegmentKind.COUNT_IN,
            path=(),
            section="",
            start_beats=piece.start_beats,
            beats=frame.beats,
            start_sec=float(piece.start_sec),
            length_sec=float(length_sec),
            metre=frame.metre,
            bar_phase_beats=frame.phase_beats,
            manner=USUAL,
        )
    item = placed.item
    line = item if isinstance(item, Line) else None
    offer = item if isinstance(item, Offer) else None
    sounds = silence
    if line is not None and frame.layout is not None:
        sounds = partial(_sounds, story, index, placed, line, frame.layout, piece)
    return Segment(
        kind=_kind(item),
        path=placed.path,
        section=placed.section,
        start_beats=piece.start_beats,
        beats=frame.beats,
        start_sec=float(piece.start_sec),
        length_sec=float(length_sec),
        metre=frame.metre,
        bar_phase_beats=frame.phase_beats,
        manner=placed.manner,
        number=placed.number,
        line=line,
        refrain=placed.refrain,
        refrain_time=placed.refrain_time,
        look_for=item.look_for,
        prop=offer.prop if offer else None,
        turns=turn_count(story, offer) if offer else 0,
        turn_sec=float(offer.turn_sec) if offer else 0.0,
        sounds=sounds,
    )


def _sounds(
    story: Story,
    index: int,
    placed: Placed,
    line: Line,
    layout: Layout,
    piece: TempoPiece,
) -> Sounds:
    onsets = _onsets(piece.start_beats, layout)
    times = piece.clock(layout.ticks_per_beat).spans(layout.ticks)
    return (
        tuple(_taps(story, index, placed, layout, onsets, times)),
        tuple(_syllables(index, line, layout, onsets, times)),
    )


def _onsets(start: Fraction, layout: Layout) -> list[Fraction]:
    """``start`` + each event's onset, in whole numbers as far as it goes."""
    below = lcm(start.denominator, layout.ticks_per_beat)
    base = start.numerator * (below // start.denominator)
    times = below // layout.ticks_per_beat
    return [Fraction(base + begin * times, below) for begin, _ in layout.ticks]


def _kind(item: Line | Wait | Offer) -> SegmentKind:
    if isinstance(item, Line):
        return SegmentKind.LINE
    return SegmentKind.WAIT if isinstance(item, Wait) else SegmentKind.OFFER


def _taps(
    story: Story,
    index: int,
    placed: Placed,
    layout: Layout,
    onsets: list[Fraction],
    times: list[tuple[float, float]],
) -> list[PerformedTap]:
    manner = placed.manner
    usual_stroke = manner.stroke or Stroke.FINGERTIPS
    levels = tap_levels(layout, manner.loudness or (Loudness.QUIET,))
    usual_adults = _adults(story, manner.by)
    taps: list[PerformedTap] = []
    for i, level in zip(layout.tapped, levels, strict=True):
        event = layout.events[i]
        stroke, spot, adults = usual_stroke, manner.spot, usual_adults
        detail = event.cell.detail
        if detail is not None:
            stroke = detail.stroke or stroke
            spot = detail.spot if detail.spot is not None else spot
            adults = _adults(story, detail.by) if detail.by else adults
        onset_sec, length_sec = times[i]
        for role in adults:
            tap = PerformedTap(
                onsets[i],
                event.length_beats,
                onset_sec,
                length_sec,
                level,
                event.cell.accent,
                stroke,
                spot,
                role,
                index,
                i,
                event.syllable,
            )
            taps.append(tap)
    return taps


def _adults(story: Story, by: tuple[str, ...]) -> tuple[str, ...]:
    return story.role_names if EVERYONE in by else tuple(dict.fromkeys(by))


def _syllables(
    index: int,
    line: Line,
    layout: Layout,
    onsets: list[Fraction],
    times: list[tuple[float, float]],
) -> list[PerformedSyllable]:
    written = line.syllables
    return [
        PerformedSyllable(
            onset, event.length_beats, *seconds, written[event.syllable], event.syllable, index
        )
        for event, onset, seconds in zip(layout.events, onsets, times, strict=True)
        if event.syllable is not None and event.syllable < len(written)
    ]
