"""From a story to its performance: refrains unrolled, time made exact.

Waits and offerings become silent beats, just so many and so long that they last their
seconds and that the next line's bars fall in step with what went before.
"""

from collections.abc import Callable, Sequence
from fractions import Fraction
from functools import lru_cache, partial
from itertools import zip_longest
from typing import NamedTuple

from attrs import define, field

from tapscore.model.lane import LaneEvent, pickup_beats
from tapscore.model.manner import USUAL
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Offer, Story, Wait
from tapscore.rhythm.layout import line_layout
from tapscore.rhythm.line_sounds import line_sounds
from tapscore.rhythm.performance import Performance, Segment, Sounds, silence
from tapscore.rhythm.tempo_map import TempoMapMaker, TempoPiece
from tapscore.rhythm.unroll import Placed, unroll

_NO_BEATS = Fraction(0)


def perform(
    story: Story, *, count_in_bars: int = 0, longest_offer_sec: Fraction | None = None
) -> Performance:
    """Unroll ``story`` in time.

    ``count_in_bars`` puts clicks alone before the first line.  ``longest_offer_sec``
    shortens offerings, for something to listen to rather than a real telling.
    """
    performer = _Performer(story, longest_offer_sec, story.role_names)
    placed = unroll(story)
    following = _lines_following(placed)
    first = following[0]
    if first is not None:
        performer.begin(first, count_in_bars)
    same = count_in_bars, longest_offer_sec, story.role_names, story.pupil_count, story.props
    steps = performer.all(placed, following[1:], _kept.get(same, ()))
    _kept.pop(same, None)
    for old in list(_kept)[: -_MOST_KEPT + 1]:  # several threads perform
        _kept.pop(old, None)
    _kept[same] = steps
    return Performance(tuple(performer.segments), performer.times.made(), story.role_names)


_MOST_KEPT = 4
_kept: "dict[tuple[object, ...], list[_Step]]" = {}
"""The last performance with these roles, props and wishes: what an edit does not reach is the
very same segment again.
"""


def _lines_following(placed: tuple[Placed, ...]) -> list[Placed | None]:
    """The next line from the start on, then for each item the line after it."""
    found: list[Placed | None] = [None]
    for here in reversed(placed):
        found.append(here if here.line is not None else found[-1])
    found.reverse()
    return found


def turn_count(story: Story, offer: Offer) -> int:
    """How many turns one after another: two sets in one adult's hands are no two at once."""
    return max(-(-story.pupil_count // story.turns_at_once(offer.prop)), 1)


def line_events(line: Line, metre: Metre) -> tuple[tuple[LaneEvent, ...], Fraction]:
    """Taps and syllables of a line, and its length in felt beats.

    A line without a lane is spoken a syllable a step, untapped, and fills whole bars.
    """
    layout = line_layout(line, metre)
    return layout.events, layout.beats


_State = tuple[Fraction, Fraction, Metre, Fraction, Fraction]
"""Beats and seconds so far, metre, period, and how far into the bar."""


class _Step(NamedTuple):
    """An item put into time: of what it came, and what it made."""

    here: Placed
    after: Placed | None
    before: _State
    segment: Segment
    pieces: tuple[TempoPiece, ...]
    then: _State


@define
class _Performer:
    """Puts items into time one after the other."""

    _story: Story
    _longest_offer_sec: Fraction | None
    _roles: tuple[str, ...]
    """All that taps need to know of the story: a segment holds on to no more of it."""
    segments: list[Segment] = field(factory=list)
    times: TempoMapMaker = field(factory=TempoMapMaker)
    _metre: Metre = USUAL.metre
    _period_sec: Fraction = Fraction(1)
    """How long the last beat so far lasts."""
    _phase_beats: Fraction = _NO_BEATS
    """How far into its bar the next item starts."""

    def all(
        self,
        placed: tuple[Placed, ...],
        following: list[Placed | None],
        known: "Sequence[_Step]",
    ) -> "list[_Step]":
        """Put every item into time; what was made of the very same before is taken again."""
        steps = []
        segments, pieces = self.segments, self.times.pieces
        state = self._state
        for here, after, old in zip_longest(placed, following, known[: len(placed)]):
            assert here is not None
            if old is not None and old.here is here and old.after is after and old.before == state:
                segments.append(old.segment)
                pieces += old.pieces
                steps.append(old)
                state = old.then
                continue
            self._state = before = state
            done = len(pieces)
            if here.line is not None:
                self.line(here, here.line)
            else:
                self.hold(here, after)
            state = self._state
            steps.append(_Step(here, after, before, self.segments[-1], tuple(pieces[done:]), state))
        return steps

    @property
    def _state(self) -> _State:
        times = self.times
        return times.beat, times.second, self._metre, self._period_sec, self._phase_beats

    @_state.setter
    def _state(self, state: _State) -> None:
        self.times.beat, self.times.second, self._metre, self._period_sec, self._phase_beats = state

    def begin(self, first: Placed, count_in_bars: int) -> None:
        """Take up the first line's metre and tempo, with bars of clicks before it."""
        metre = self._metre = first.manner.metre
        period = self._period_sec = _period_sec(first.manner.tempo.start)
        if not count_in_bars:
            return
        pickup = _pickup(first)
        beats = count_in_bars * metre.beats - pickup % metre.beats
        beats += metre.beats if pickup else 0
        piece = self.times.add(beats, period, period)
        self._append(Placed(None, (), USUAL), piece, piece.length_sec, beats)

    def line(self, here: Placed, line: Line) -> None:
        """A line lasts its lane's beats, its pickup in the bar before."""
        metre = self._metre = here.manner.metre
        tempo = here.manner.tempo
        layout = line_layout(line, metre)
        pickup = layout.pickup_beats
        self._phase_beats = -pickup % metre.beats if pickup else _NO_BEATS
        first_sec = self._period_sec = _period_sec(tempo.start)
        if tempo.end is not None:
            self._period_sec = _period_sec(tempo.end)
        piece = self.times.add(layout.beats, first_sec, self._period_sec)
        sounds = partial(line_sounds, self._roles, len(self.segments), here, line, layout, piece)
        self._append(here, piece, piece.length_sec, layout.beats, sounds=sounds)

    def hold(self, here: Placed, following: Placed | None) -> None:
        """Silent beats; the last bar at the next line's tempo, if what is left can take it up."""
        metre = self._metre
        self._phase_beats %= metre.beats
        pickup = _pickup(following) if following else _NO_BEATS
        turns = 0
        if isinstance(here.item, Offer):
            turns = turn_count(self._story, here.item)
        seconds = self._least_sec(here, turns)
        lead_tempo = following.manner.tempo.start if following is not None else None
        residue = -self._phase_beats - pickup
        beats, parts = _hold_parts(seconds, self._period_sec, residue, metre, lead_tempo)
        piece, *lead = [self.times.add(part, sec, sec) for part, sec in parts]
        length_sec = piece.length_sec + (lead[0].length_sec if lead else 0)
        self._append(here, piece, length_sec, beats, turns=turns)

    def _append(
        self,
        here: Placed,
        piece: TempoPiece,
        length_sec: Fraction,
        beats: Fraction,
        *,
        turns: int = 0,
        sounds: Callable[[], Sounds] = silence,
    ) -> None:
        segment = Segment(
            here.item,
            here.path,
            here.manner,
            here.section,
            here.refrain,
            here.refrain_time,
            here.returned_path,
            here.number,
            here.usual,
            start_beats=piece.start_beats,
            beats=beats,
            start_sec=float(piece.start_sec),
            length_sec=float(length_sec),
            metre=self._metre,
            bar_phase_beats=self._phase_beats,
            turns=turns,
            sounds=sounds,
            known=here.known,
        )
        self.segments.append(segment)
        self._phase_beats += beats

    def _least_sec(self, here: Placed, turns: int) -> Fraction:
        item = here.item
        if isinstance(item, Wait):
            return item.least_sec
        assert isinstance(item, Offer)
        seconds = item.turn_sec * turns
        longest = self._longest_offer_sec
        return seconds if longest is None else min(seconds, longest)


@lru_cache(maxsize=256)
def _period_sec(tempo: Fraction) -> Fraction:
    return 60 / tempo


def _pickup(placed: Placed) -> Fraction:
    lane = placed.line.lane if placed.line is not None else None
    return pickup_beats(lane, placed.manner.metre) if lane else _NO_BEATS


@lru_cache(maxsize=1024)
def _hold_parts(
    seconds: Fraction,
    period_sec: Fraction,
    residue: Fraction,
    metre: Metre,
    lead_tempo: Fraction | None,
) -> tuple[Fraction, tuple[tuple[Fraction, Fraction], ...]]:
    """Beats of a silence of ``seconds``, and its one or two parts: beats, and how long each lasts.

    The second part, if there is one, is the bar that leads in to the line after.
    """
    beats = _hold_beats(seconds / period_sec, residue, metre)
    lead_sec = _lead_sec(seconds, beats, metre, lead_tempo)
    if lead_sec is None:
        return beats, ((beats, seconds / beats),)
    rest = beats - metre.beats
    rest_sec = (seconds - metre.beats * lead_sec) / rest
    return beats, ((rest, rest_sec), (Fraction(metre.beats), lead_sec))


def _lead_sec(
    seconds: Fraction, beats: Fraction, metre: Metre, lead_tempo: Fraction | None
) -> Fraction | None:
    """How long beats of the last bar last, to lead in to the line after; None for no lead."""
    if lead_tempo is None or beats <= metre.beats:
        return None
    lead_sec = _period_sec(lead_tempo)
    rest_sec = (seconds - metre.beats * lead_sec) / (beats - metre.beats)
    return lead_sec if lead_sec / 2 <= rest_sec <= lead_sec * 2 else None


def _hold_beats(wanted: Fraction, residue: Fraction, metre: Metre) -> Fraction:
    first = residue % metre.beats
    beats = first + max(round((wanted - first) / metre.beats), 0) * metre.beats
    return beats if beats > 0 else Fraction(metre.beats)
