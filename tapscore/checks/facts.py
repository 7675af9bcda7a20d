"""What rules ask about a told line, worked out once for each line and manner."""

from collections.abc import Iterator
from fractions import Fraction
from functools import cached_property
from itertools import groupby
from typing import Any

from attrs import define, field, frozen

from tapscore.model.finding import StoryPath
from tapscore.model.lane import LaneEvent, pickup_beats
from tapscore.model.manner import Manner
from tapscore.model.metre import Metre
from tapscore.model.story import Line
from tapscore.model.strokes import Stroke
from tapscore.model.words import split_words
from tapscore.rhythm.layout import line_layout
from tapscore.rhythm.line_bars import bar_faults, missing_at_end
from tapscore.rhythm.performance import Segment
from tapscore.wording.about import LineName

_KEPT = 4096


@frozen(eq=False)
class Touch:
    """What is tapped at one moment of a line, by however many adults."""

    onset_sec: float
    """From the line's start."""
    level: float
    """Loudness from 0 to 4."""
    accent: bool
    stroke: Stroke
    spot: str | None
    roles: tuple[str, ...]
    event: LaneEvent


@define(eq=False, frozen=True, slots=False)
class LineFacts:
    """A segment of a line as rules see it; two lines just alike share one of these.

    What is not in the segment is worked out when it is first asked for.
    """

    segment: Segment
    """The line where it was heard first: its place in the story and in time is no fact of it."""
    line: Line

    @property
    def manner(self) -> Manner:
        """What holds in it."""
        return self.segment.manner

    @property
    def metre(self) -> Metre:
        """The bars it is counted in."""
        return self.segment.metre

    @property
    def length_sec(self) -> float:
        """How long it lasts."""
        return self.segment.length_sec

    @property
    def events(self) -> tuple[LaneEvent, ...]:
        """Its taps and syllables."""
        return line_layout(self.line, self.metre).events

    @cached_property
    def touches(self) -> tuple[Touch, ...]:
        """What is tapped, moment by moment."""
        return tuple(_touches(self.segment, self.events))

    @cached_property
    def said_sec(self) -> tuple[float, ...]:
        """When each syllable is spoken, from the line's start."""
        start = self.segment.start_sec
        return tuple(round(each.onset_sec - start, 6) for each in self.segment.syllables)

    @cached_property
    def role_sec(self) -> dict[str, tuple[float, ...]]:
        """When each role taps, from the line's start."""
        times: dict[str, list[float]] = {}
        for tap in self.segment.taps:
            onset = round(tap.onset_sec - self.segment.start_sec, 6)
            times.setdefault(tap.role, []).append(onset)
        return {role: tuple(onsets) for role, onsets in times.items()}

    @cached_property
    def role_spots(self) -> tuple[tuple[str, str], ...]:
        """Every role with every spot it taps."""
        return tuple(
            dict.fromkeys(
                (role, touch.spot)
                for touch in self.touches
                if touch.spot is not None
                for role in touch.roles
            )
        )

    @cached_property
    def plain_words(self) -> str:
        """The words in small letters without marks, to find the same words again."""
        return plain(self.line.words)

    @property
    def pickup_beats(self) -> Fraction:
        """How long its pickup is."""
        return pickup_beats(self.line.lane, self.metre) if self.line.lane else Fraction(0)

    @cached_property
    def missing_beats(self) -> Fraction | None:
        """What the last bar lacks; None where there is no lane or another bar is wrong."""
        lane = self.line.lane
        if lane is None or any(True for _ in bar_faults(lane, self.metre)):
            return None
        return missing_at_end(lane, self.metre)

    @property
    def first_level(self) -> float:
        """Loudness of the first tap; the line must have one."""
        return self.touches[0].level

    @property
    def last_level(self) -> float:
        """Loudness of the last tap; the line must have one."""
        return self.touches[-1].level

    @cached_property
    def quietest(self) -> float:
        """Loudness of the quietest tap, 0 without one."""
        return min((touch.level for touch in self.touches), default=0.0)

    @cached_property
    def spots(self) -> tuple[str, ...]:
        """Every spot that is tapped."""
        spots = (touch.spot for touch in self.touches)
        return tuple(dict.fromkeys(spot for spot in spots if spot is not None))

    @cached_property
    def taps_per_sec(self) -> float:
        """From the first tap to the last; 0 for a single one."""
        if len(self.touches) < 2:
            return 0.0
        last_sec = self.touches[-1].onset_sec - self.touches[0].onset_sec
        return (len(self.touches) - 1) / max(last_sec, 0.001)

    @cached_property
    def peak(self) -> float:
        """Loudness of the loudest tap, 0 without one."""
        return max((touch.level for touch in self.touches), default=0.0)

    @cached_property
    def syllable_count(self) -> int:
        """How many syllables are written."""
        return len(self.line.syllables)


@frozen(eq=False)
class HeardLine:
    """A line where it is heard."""

    segment: Segment
    facts: LineFacts
    name: LineName
    paused: bool
    """Whether a wait or an offering comes between it and the line before."""
    known: dict[object, Any] = field(factory=dict)
    """What was found in it here, as long as it is heard so; never a time of the story's."""

    @property
    def path(self) -> StoryPath:
        """Where it is written."""
        return self.segment.path

    @property
    def line(self) -> Line:
        """The line itself."""
        return self.facts.line


_known: dict[tuple[Line, Manner, tuple[str, ...]], LineFacts] = {}


def line_facts(segment: Segment, roles: tuple[str, ...]) -> LineFacts:
    """Facts of a line's segment."""
    mine: LineFacts | None = segment.known.get(roles)
    if mine is not None:
        return mine
    line = segment.line
    assert line is not None
    key = (line, segment.manner, roles)
    facts = _known.get(key)
    if facts is None:
        if len(_known) >= _KEPT:
            _known.clear()
        facts = _known[key] = LineFacts(segment, line)
    segment.known[roles] = facts
    return facts


def plain(words: str) -> str:
    """Words in small letters without marks: ``"Row, the lan-tern!"`` is ``"row the lantern"``."""
    kept: list[str] = []
    for syllable in split_words(words):
        kept.append("".join(filter(str.isalnum, syllable.text)))
        if syllable.ends_word:
            kept.append(" ")
    return "".join(kept).casefold().strip()


def _touches(segment: Segment, events: tuple[LaneEvent, ...]) -> Iterator[Touch]:
    for event, group in groupby(segment.taps, lambda tap: tap.event):
        taps = tuple(group)
        first = taps[0]
        yield Touch(
            round(first.onset_sec - segment.start_sec, 6),
            float(max(tap.level for tap in taps)),
            first.accent,
            first.stroke,
            first.spot,
            tuple(tap.role for tap in taps),
            events[event],
        )
