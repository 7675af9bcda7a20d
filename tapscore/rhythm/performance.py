"""The story unrolled in time: what happens when, who does it, how loudly and where.

Every time is both exact (felt beats from the start) and in seconds, by one tempo map.
"""

from collections.abc import Callable
from enum import Enum
from fractions import Fraction
from functools import cached_property
from typing import Any

from attrs import define, field, frozen

from tapscore.model.loudness import Loudness, nearest_step
from tapscore.model.metre import Metre
from tapscore.model.story import Line, Offer, Wait
from tapscore.model.strokes import Stroke
from tapscore.model.words import Syllable, printed
from tapscore.rhythm.tempo_map import TempoMap
from tapscore.rhythm.unroll import Placed
from tapscore.wording.catalogue import say


class SegmentKind(Enum):
    """What a segment of the performance is."""

    COUNT_IN = "count-in"
    LINE = "line"
    WAIT = "wait"
    OFFER = "offer"


@frozen(slots=False)
class PerformedTap:
    """One touch of the board by one adult."""

    onset_beats: Fraction
    length_beats: Fraction
    onset_sec: float
    length_sec: float
    level: Fraction
    """Loudness from 0 (very quiet) to 4 (very loud), between steps in a swell."""
    accent: bool
    stroke: Stroke
    spot: str | None
    role: str
    segment: int
    """Index into the performance's segments."""
    event: int
    """Which event of the line's lane, from 0; taps together share it."""
    syllable: int | None
    """Which syllable of the line, from 0; None for a tap alone."""

    @property
    def loudness(self) -> Loudness:
        """The nearest of the five steps."""
        return nearest_step(self.level)


@frozen(slots=False)
class PerformedSyllable:
    """One spoken syllable."""

    onset_beats: Fraction
    length_beats: Fraction
    onset_sec: float
    length_sec: float
    syllable: Syllable
    index: int
    segment: int


Sounds = tuple[tuple[PerformedTap, ...], tuple[PerformedSyllable, ...]]


def silence() -> Sounds:
    """No taps and no syllables."""
    return (), ()


@frozen(kw_only=True)
class Segment(Placed):
    """A line, wait, offering or count-in where it is heard, with its place in time."""

    start_beats: Fraction
    beats: Fraction
    start_sec: float
    length_sec: float
    """For a wait or an offering the least length."""
    metre: Metre
    """The bars it is counted in; silence keeps those of the line before."""
    bar_phase_beats: Fraction
    """How far into its bar the segment starts."""
    turns: int = 0
    """How many turns an offering takes with the sets there are."""
    sounds: Callable[[], Sounds] = field(default=silence, eq=False, repr=False)
    """Makes the taps and syllables, when they are first asked for."""
    known: dict[object, Any] = field(factory=dict, eq=False, repr=False)
    """Shared with the item as it was placed, so nothing of its place in time belongs there."""

    @cached_property
    def kind(self) -> SegmentKind:
        """What it is."""
        return _KINDS[type(self.item)]

    @property
    def printed_words(self) -> str:
        """A line's words as they are printed; nothing where it is no line."""
        return printed(self.line.words) if self.line else ""

    @property
    def look_for(self) -> str | None:
        """What to look for in it, of pupils."""
        return self.item.look_for if isinstance(self.item, Line | Wait | Offer) else None

    @property
    def prop(self) -> str | None:
        """The prop of an offering."""
        return self.item.prop if isinstance(self.item, Offer) else None

    @property
    def turn_sec(self) -> float:
        """The least length of one turn of an offering, else 0."""
        return float(self.item.turn_sec) if isinstance(self.item, Offer) else 0.0

    @cached_property
    def _made(self) -> Sounds:
        return self.sounds()

    @property
    def taps(self) -> tuple[PerformedTap, ...]:
        """The segment's taps, in order of time."""
        return self._made[0]

    @property
    def syllables(self) -> tuple[PerformedSyllable, ...]:
        """The segment's syllables, in order of time."""
        return self._made[1]


_KINDS = {
    type(None): SegmentKind.COUNT_IN,
    Line: SegmentKind.LINE,
    Wait: SegmentKind.WAIT,
    Offer: SegmentKind.OFFER,
}


@frozen
class Beat:
    """A felt beat, for clicks and cursors."""

    onset_beats: Fraction
    onset_sec: float
    downbeat: bool
    segment: int


@define(frozen=True, slots=False)
class Performance:
    """The whole story in time."""

    segments: tuple[Segment, ...]
    tempo_map: TempoMap
    roles: tuple[str, ...]

    @cached_property
    def taps(self) -> tuple[PerformedTap, ...]:
        """Every tap in order of time."""
        return tuple(tap for segment in self.segments for tap in segment.taps)

    @cached_property
    def beats(self) -> tuple[Beat, ...]:
        """Every felt beat of the bars, in order of time."""
        return tuple(
            beat for index in range(len(self.segments)) for beat in self._segment_beats(index)
        )

    def must_have(self, role: str) -> None:
        """Raise ValueError for a role the story lacks."""
        if role not in self.roles:
            raise ValueError(
                say(
                    "the story has no role called “{role}”; its roles are {names}",
                    role=role,
                    names=", ".join(self.roles),
                )
            )

    @property
    def lines(self) -> tuple[Segment, ...]:
        """The segments that are spoken lines."""
        return tuple(s for s in self.segments if s.kind is SegmentKind.LINE)

    @property
    def line_count(self) -> int:
        """The highest number on the cards."""
        return max((s.number or 0 for s in self.segments), default=0)

    @property
    def length_sec(self) -> float:
        """Seconds from the first beat to the end; waits and offerings at their least."""
        return float(sum(piece.length_sec for piece in self.tempo_map.pieces))

    def seconds(self, beat: Fraction) -> float:
        """Seconds from the start to a felt beat."""
        return float(self.tempo_map.seconds(beat))

    def _segment_beats(self, index: int) -> list[Beat]:
        segment = self.segments[index]
        beats: list[Beat] = []
        position = -segment.bar_phase_beats % 1
        while position < segment.beats:
            onset = segment.start_beats + position
            in_bar = (segment.bar_phase_beats + position) % segment.metre.beats
            beats.append(Beat(onset, self.seconds(onset), in_bar == 0, index))
            position += 1
        return beats
