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
from tapscore.rhythm.role_view import (
    RoleView,
    own_doing,
    speaking,
    warned_words,
    warners,
    warning_by,
)
from tapscore.wording.catalogue import say


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
class SpokenCue:
    """One announcement."""

    kind: CueKind
    onset_beats: Fraction
    onset_sec: float
    text: str
    said: str
    """The same, short enough to be spoken."""
    segment: int
    """Index of the segment it is about; the cue itself may stand in an earlier one."""


def cues(performance: Performance, view: RoleView | None = None) -> tuple[SpokenCue, ...]:
    """Every cue in order of time; with ``view``, what that role does besides tapping, too."""
    found: list[SpokenCue] = []
    section = None
    for index, segment in enumerate(performance.segments):
        if segment.kind is SegmentKind.COUNT_IN:
            continue
        announced = list(_announced(segment, new_section=segment.section != section))
        if view is not None:
            announced += [(CueKind.OWN, words, words) for words in own_doing(view, segment)]
        section = segment.section
        onsets = _onsets(segment, len(announced))
        found += [
            SpokenCue(kind, onset, performance.seconds(onset), text, said, index)
            for (kind, text, said), onset in zip(announced, onsets, strict=True)
        ]
    return tuple(sorted(found, key=lambda cue: cue.onset_beats))


def _announced(segment: Segment, *, new_section: bool) -> Iterator[tuple[CueKind, str, str]]:
    """Kinds, texts and what is spoken for them."""
    if new_section and segment.section:
        yield CueKind.SECTION, say("section: {title}", title=segment.section), segment.section
    if segment.kind is SegmentKind.WAIT:
        least = _seconds(segment.length_sec)
        text = say("wait at least {least}", least=least)
        yield CueKind.WAIT, _with_look(text, segment), say("wait, at least {least}", least=least)
    if segment.kind is SegmentKind.OFFER:
        prop, turns, each = segment.prop, segment.turns, _seconds(segment.turn_sec)
        text = say(
            "offer {prop}: {turns:1 turn|# turns} of {each}", prop=prop, turns=turns, each=each
        )
        said = say(
            "offer {prop}, {turns:1 turn|# turns} of {each}", prop=prop, turns=turns, each=each
        )
        yield CueKind.OFFER, _with_look(text, segment), said
    line = segment.line
    if line is None:
        return
    if line.props_out:
        going = [say("{prop} out", prop=prop) for prop in line.props_out]
        yield CueKind.PROPS_OUT, "; ".join(going), ", ".join(going)
    if line.props_in:
        coming = [
            say("{prop} in{spot:=|*=, to {spot}}", prop=each.prop, spot=each.at)
            for each in line.props_in
        ]
        yield CueKind.PROPS_IN, "; ".join(coming), ", ".join(coming)
    if segment.manner.says != segment.usual.says:
        who = speaking(segment.manner.says)
        yield CueKind.SAYS, who, who
    if line.warn_first:
        who = warning_by(warners(segment))
        yield CueKind.WARN_FIRST, warned_words(segment), say("louder next: {who}", who=who)


def _with_look(text: str, segment: Segment) -> str:
    if not segment.look_for:
        return text
    return say("{text}; look for {answer}", text=text, answer=segment.look_for)


def _seconds(length_sec: float) -> str:
    return say("{seconds:1 second|# seconds}", seconds=round(length_sec, 1))


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
