"""What rules ask about a told line, worked out once for each line and manner."""

from fractions import Fraction
from itertools import groupby

from attrs import field, frozen

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


@frozen(eq=False)
class LineFacts:
    """A line in its manner; two lines just alike share one of these."""

    line: Line
    manner: Manner
    metre: Metre
    events: tuple[LaneEvent, ...]
    touches: tuple[Touch, ...]
    said_sec: tuple[float, ...]
    """When each syllable is spoken, from the line's start."""
    length_sec: float
    plain_words: str
    """The words in small letters without marks, to find the same words again."""
    pickup_beats: Fraction
    missing_beats: Fraction | None
    """What the last bar lacks; None where there is no lane or another bar is wrong."""
    role_sec: dict[str, tuple[float, ...]] = field(factory=dict)
    """When each role taps."""

    @property
    def first_level(self) -> float:
        """Loudness of the first tap; the line must have one."""
        return self.touches[0].level

    @property
    def last_level(self) -> float:
        """Loudness of the last tap; the line must have one."""
        return self.touches[-1].level

    @property
    def peak(self) -> float:
        """Loudness of the loudest tap, 0 without one."""
        return max((touch.level for touch in self.touches), default=0.0)

    @property
    def syllable_count(self) -> int:
        """How many syllables are written."""
        return len(self.line.syllables)


@frozen(eq=False)
class Told:
    """A line where it is heard."""

    segment: Segment
    facts: LineFacts
    name: LineName
    paused: bool
    """Whether a wait or an offering comes between it and the line before."""

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
    line = segment.line
    assert line is not None
    key = (line, segment.manner, roles)
    facts = _known.get(key)
    if facts is None:
        if len(_known) >= _KEPT:
            _known.clear()
        facts = _known[key] = _facts(segment, line)
    return facts


def forget_facts() -> None:
    """Forget the facts of every line."""
    _known.clear()


def plain(words: str) -> str:
    """Words in small letters without marks: ``"Row, the lan-tern!"`` is ``"row the lantern"``."""
    kept: list[str] = []
    for syllable in split_words(words):
        kept.append("".join(filter(str.isalnum, syllable.text)))
        if syllable.ends_word:
            kept.append(" ")
    return "".join(kept).casefold().strip()


def _facts(segment: Segment, line: Line) -> LineFacts:
    layout = line_layout(line, segment.metre)
    start = segment.start_sec
    touches = []
    role_sec: dict[str, list[float]] = {}
    for event, group in groupby(segment.taps, lambda tap: tap.event):
        taps = tuple(group)
        first = taps[0]
        onset = round(first.onset_sec - start, 6)
        for tap in taps:
            role_sec.setdefault(tap.role, []).append(onset)
        touches.append(
            Touch(
                onset,
                float(max(tap.level for tap in taps)),
                first.accent,
                first.stroke,
                first.spot,
                tuple(tap.role for tap in taps),
                layout.events[event],
            )
        )
    lane = line.lane
    missing = None
    if lane is not None and not any(True for _ in bar_faults(lane, segment.metre)):
        missing = missing_at_end(lane, segment.metre)
    return LineFacts(
        line,
        segment.manner,
        segment.metre,
        layout.events,
        tuple(touches),
        tuple(round(syllable.onset_sec - start, 6) for syllable in segment.syllables),
        segment.length_sec,
        plain(line.words),
        pickup_beats(lane, segment.metre) if lane is not None else Fraction(0),
        missing,
        {role: tuple(times) for role, times in role_sec.items()},
    )
