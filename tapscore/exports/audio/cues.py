"""What adults are told on the way, and when: before it is needed.

Cues for a line stand at least a bar before it, a beat apart: the section first, props
going out, props coming in, who speaks, and nearest to the line who warns the pupils.
"""

from collections.abc import Iterator
from enum import Enum
from fractions import Fraction

from attrs import frozen

from tapscore.exports.audio.clicks import LEAST_LEAD_IN
from tapscore.rhythm.performance import Performance, Segment, SegmentKind
from tapscore.rhythm.role_view import RoleView, doing, own_words, through_words, warners


class CueKind(Enum):
    """What a cue announces."""

    SECTION = "section"
    PROPS_OUT = "props out"
    PROPS_IN = "props in"
    SAYS = "says"
    """Who speaks a line, where it is not as usual; only spoken."""
    WARN_FIRST = "warn first"
    WAIT = "wait"
    OFFER = "offer"
    OWN = "own"
    """What the adult whose part it is does besides tapping; spoken in her part alone."""


@frozen
class Cue:
    """One announcement."""

    kind: CueKind
    onset_beats: Fraction
    onset_sec: float
    text: str
    said: str
    """The same, short enough to be spoken."""
    segment: int
    """Index of the segment it is about; the cue itself may stand in an earlier one."""


def cues(performance: Performance, view: RoleView | None = None) -> tuple[Cue, ...]:
    """Every cue in order of time; with ``view``, what that role does besides tapping, too."""
    found: list[Cue] = []
    section = None
    for index, segment in enumerate(performance.segments):
        if segment.kind is SegmentKind.COUNT_IN:
            continue
        announced = list(_announced(segment, new_section=segment.section != section))
        if view is not None:
            own = [words for words in own_words(view, segment) if words.startswith("you do: ")]
            announced += [(CueKind.OWN, words, words) for words in own]
        section = segment.section
        onsets = _onsets(segment, len(announced))
        found += [
            Cue(kind, onset, performance.seconds(onset), text, said, index)
            for (kind, text, said), onset in zip(announced, onsets, strict=True)
        ]
    return tuple(sorted(found, key=lambda cue: cue.onset_beats))


def _announced(segment: Segment, *, new_section: bool) -> Iterator[tuple[CueKind, str, str]]:
    """Kinds, texts and what is spoken for them."""
    if new_section and segment.section:
        yield CueKind.SECTION, f"section: {segment.section}", segment.section
    if segment.kind is SegmentKind.WAIT:
        least = f"at least {_seconds(segment.length_sec)}"
        yield CueKind.WAIT, _with_look(f"wait {least}", segment), f"wait, {least}"
    if segment.kind is SegmentKind.OFFER:
        turns = "1 turn" if segment.turns == 1 else f"{segment.turns} turns"
        each = f"{turns} of {_seconds(segment.turn_sec)}"
        offer = f"offer {segment.prop}"
        yield CueKind.OFFER, _with_look(f"{offer}: {each}", segment), f"{offer}, {each}"
    line = segment.line
    if line is None:
        return
    if line.props_out:
        going = [f"{prop} out" for prop in line.props_out]
        yield CueKind.PROPS_OUT, "; ".join(going), ", ".join(going)
    if line.props_in:
        coming = [f"{e.prop} in" + (f", to {e.at}" if e.at else "") for e in line.props_in]
        yield CueKind.PROPS_IN, "; ".join(coming), ", ".join(coming)
    if segment.manner.says != segment.usual.says:
        who = f"{doing(segment.manner.says, 'say')} it"
        yield CueKind.SAYS, who, who
    if line.warn_first:
        who = doing(warners(segment), "warn")
        through = through_words(line.warned_through)
        text = f"{who} first{through}: {line.warn_first}"
        yield CueKind.WARN_FIRST, text, f"louder next: {who}"


def _with_look(text: str, segment: Segment) -> str:
    return f"{text}; look for {segment.look_for}" if segment.look_for else text


def _seconds(length_sec: float) -> str:
    text = f"{round(length_sec, 1):g}"
    return f"{text} second" if text == "1" else f"{text} seconds"


def _onsets(segment: Segment, count: int) -> list[Fraction]:
    """A bar and more before a line; up to the start of a wait or an offering itself.

    Near the beginning they share the time there is.
    """
    start = segment.start_beats
    nearest = 0
    if segment.kind is SegmentKind.LINE:
        nearest = max(segment.metre.beats, LEAST_LEAD_IN)
    if start >= nearest + count - 1:
        return [start - nearest - count + 1 + i for i in range(count)]
    parts = count if nearest else count - 1
    return [start * i / parts for i in range(count)]
