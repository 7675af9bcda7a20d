"""From a story to its performance: refrains unrolled, time made exact.

Waits and offerings become silent beats, just so many and so long that they last their
seconds and that the next line's bars fall in step with what went before.
"""

from collections.abc import Iterator
from fractions import Fraction

from attrs import evolve, frozen

from tapscore.model.lane import (
    Cell,
    Lane,
    LaneEvent,
    Mark,
    TapDetail,
    lane_beats,
    lane_events,
    pickup_beats,
)
from tapscore.model.loudness import Loudness, level_at
from tapscore.model.metre import Metre
from tapscore.model.story import USUAL, Line, Offer, Story, Wait
from tapscore.model.strokes import Stroke
from tapscore.rhythm.performance import (
    Performance,
    PerformedSyllable,
    PerformedTap,
    Segment,
    SegmentKind,
)
from tapscore.rhythm.tempo_map import TempoMap, tempo_map
from tapscore.rhythm.unroll import Placed, unroll

EVERYONE = "everyone"
_PLAIN = TapDetail()
_START = Fraction(0)
_SAID = Cell(Mark.SYLLABLE_ALONE)


def perform(
    story: Story, *, count_in_bars: int = 0, longest_offer_sec: Fraction | None = None
) -> Performance:
    """Unroll ``story`` in time.

    ``count_in_bars`` puts clicks alone before the first line.  ``longest_offer_sec``
    shortens offerings, for something to listen to rather than a real telling.
    """
    frames = tuple(_frames(story, count_in_bars, longest_offer_sec))
    times = tempo_map((f.beats, f.first_period_sec, f.last_period_sec) for f in frames)
    segments: list[Segment] = []
    start = Fraction(0)
    for index, frame in enumerate(frames):
        segments.append(_segment(story, index, frame, start, times))
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
    if line.lane is not None:
        return lane_events(line.lane, metre), lane_beats(line.lane, metre)
    per_beat = metre.steps_per_beat
    count = len(line.syllables)
    step = Fraction(1, per_beat)
    events = tuple(
        LaneEvent(i * step, step, _SAID, 1 + i // metre.steps, i % metre.steps * step, i)
        for i in range(count)
    )
    return events, Fraction(max(-(-count // metre.steps), 1) * metre.beats)


@frozen
class _Frame:
    placed: Placed | None
    metre: Metre
    beats: Fraction
    phase_beats: Fraction
    first_period_sec: Fraction
    last_period_sec: Fraction
    events: tuple[LaneEvent, ...] = ()


def _frames(
    story: Story, count_in_bars: int, longest_offer_sec: Fraction | None
) -> Iterator[_Frame]:
    placed = unroll(story)
    lines = iter([p for p in placed if isinstance(p.item, Line)])
    following = next(lines, None)
    if following is None:
        metre, period, phase = Metre(4, 4), Fraction(1), Fraction(0)
    else:
        metre, period, phase = following.metre, 60 / following.tempo.start, Fraction(0)
        if count_in_bars:
            beats = count_in_bars * metre.beats - _pickup(following) % metre.beats
            beats += metre.beats if _pickup(following) else 0
            yield _Frame(None, metre, beats, Fraction(0), period, period)
            phase = beats % metre.beats
    for here in placed:
        if isinstance(here.item, Line):
            following = next(lines, None)
            metre, period = here.metre, 60 / here.tempo.last
            events, beats = line_events(here.item, metre)
            phase = -_pickup(here) % metre.beats
            yield _Frame(here, metre, beats, phase, 60 / here.tempo.start, period, events)
        else:
            seconds = _least_sec(story, here.item, longest_offer_sec)
            pickup = _pickup(following) if following else Fraction(0)
            beats = _hold_beats(seconds / period, -phase - pickup, metre)
            yield _Frame(here, metre, beats, phase, seconds / beats, seconds / beats)
        phase = (phase + beats) % metre.beats


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


def _segment(story: Story, index: int, frame: _Frame, start: Fraction, times: TempoMap) -> Segment:
    plain = Segment(
        kind=SegmentKind.COUNT_IN,
        path=(),
        section="",
        start_beats=start,
        beats=frame.beats,
        start_sec=float(times.seconds(start)),
        length_sec=float(frame.beats * (frame.first_period_sec + frame.last_period_sec) / 2),
        metre=frame.metre,
        bar_phase_beats=frame.phase_beats,
        manner=USUAL,
    )
    placed = frame.placed
    if placed is None:
        return plain
    segment = evolve(
        plain,
        path=placed.path,
        section=placed.section,
        manner=placed.manner,
        refrain=placed.refrain,
        refrain_time=placed.refrain_time,
        number=placed.number,
        look_for=placed.item.look_for,
    )
    if isinstance(placed.item, Wait):
        return evolve(segment, kind=SegmentKind.WAIT)
    if isinstance(placed.item, Offer):
        return evolve(
            segment,
            kind=SegmentKind.OFFER,
            prop=placed.item.prop,
            turns=turn_count(story, placed.item),
            turn_sec=float(placed.item.turn_sec),
        )
    return evolve(
        segment,
        kind=SegmentKind.LINE,
        line=placed.item,
        taps=tuple(_taps(story, index, placed, frame, start, times)),
        syllables=tuple(_syllables(index, placed.item, frame, start, times)),
    )


def _taps(
    story: Story, index: int, placed: Placed, frame: _Frame, start: Fraction, times: TempoMap
) -> Iterator[PerformedTap]:
    tapped = [(i, event) for i, event in enumerate(frame.events) if event.cell.mark.tapped]
    if not tapped:
        return
    manner = placed.manner
    swell = manner.loudness or (Loudness.QUIET,)
    stroke = manner.stroke or Stroke.FINGERTIPS
    first = tapped[0][1].onset_beats
    spread = tapped[-1][1].onset_beats - first
    for i, event in tapped:
        detail = event.cell.detail or _PLAIN
        if detail.loudness is not None:
            level = Fraction(int(detail.loudness))
        else:
            level = level_at(swell, (event.onset_beats - first) / spread if spread else _START)
        onset = start + event.onset_beats
        onset_sec = times.seconds(onset)
        length_sec = float(times.seconds(onset + event.length_beats) - onset_sec)
        for role in _adults(story, detail.by or manner.by):
            yield PerformedTap(
                onset,
                event.length_beats,
                float(onset_sec),
                length_sec,
                level,
                event.cell.accent,
                detail.stroke or stroke,
                detail.spot if detail.spot is not None else manner.spot,
                role,
                index,
                i,
                event.syllable,
            )


def _adults(story: Story, by: tuple[str, ...]) -> tuple[str, ...]:
    return story.role_names if EVERYONE in by else by


def _syllables(
    index: int, line: Line, frame: _Frame, start: Fraction, times: TempoMap
) -> Iterator[PerformedSyllable]:
    written = line.syllables
    for event in frame.events:
        if event.syllable is None or event.syllable >= len(written):
            continue
        onset = start + event.onset_beats
        onset_sec = times.seconds(onset)
        yield PerformedSyllable(
            onset,
            event.length_beats,
            float(onset_sec),
            float(times.seconds(onset + event.length_beats) - onset_sec),
            written[event.syllable],
            event.syllable,
            index,
        )
