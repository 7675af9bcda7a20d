"""The moments of a telling at which something may be seen: waits, offerings, refrains, lines.

A moment is named by the story, never by the clock, so that the same moment of another
telling has the same name.
"""

import re
from enum import Enum

from attrs import frozen

from tapscore.model.finding import StoryPath
from tapscore.model.wordings import english_ordinal, ordinal
from tapscore.model.words import printed
from tapscore.rhythm.performance import Performance, Segment, SegmentKind
from tapscore.wording.catalogue import say

LONGEST_WORDS = 48
"""Letters of a line that are quoted in a moment's name; the end of it, as heard before."""


class MomentKind(Enum):
    """What a moment is."""

    LINE = "line"
    WAIT = "wait"
    OFFERING = "offering"
    REFRAIN = "refrain"


@frozen
class Moment:
    """A moment of a story."""

    kind: MomentKind
    name: str
    """Such as ``wait after the 2nd “row home”``; no two of a story have the same."""
    path: StoryPath
    number: int | None = None
    """The number on the cards of the line it is, or follows."""
    look_for: str | None = None
    areas: tuple[str, ...] = ()


def moments(performance: Performance) -> tuple[Moment, ...]:
    """Every wait and offering, every refrain once, and every line with something to look for."""
    found: list[Moment] = []
    names: dict[str, int] = {}
    before = "the start"
    number: int | None = None
    areas: tuple[str, ...] = ()
    refrains: set[str] = set()
    for segment in performance.segments:
        if segment.kind is SegmentKind.COUNT_IN:
            continue
        if segment.refrain is not None and segment.refrain not in refrains:
            refrains.add(segment.refrain)
            found.append(_named(names, MomentKind.REFRAIN, f"refrain “{segment.refrain}”", segment))
        if segment.kind is SegmentKind.LINE and segment.line is not None:
            number, areas = segment.number, segment.line.areas
            words = _end(printed(segment.line.words))
            before = (
                f"the {english_ordinal(segment.refrain_time)} “{segment.refrain}”"
                if segment.refrain is not None
                else f"“{words}”"
            )
            if segment.line.look_for and segment.refrain_time <= 1:
                found.append(_named(names, MomentKind.LINE, f"“{words}”", segment, number, areas))
        elif segment.kind is SegmentKind.WAIT:
            name = f"wait after {before}"
            found.append(_named(names, MomentKind.WAIT, name, segment, number, areas))
        elif segment.kind is SegmentKind.OFFER:
            name = f"offering of {segment.prop}"
            found.append(_named(names, MomentKind.OFFERING, name, segment, number, areas))
    return tuple(found)


_STORED = (
    (re.compile(r"(.*), (\d+)(?:st|nd|rd|th) time", re.DOTALL), "again"),
    (re.compile(r"wait after the (\d+)(?:st|nd|rd|th) “(.*)”", re.DOTALL), "refrain"),
    (re.compile(r"wait after the start", re.DOTALL), "start"),
    (re.compile(r"wait after “(.*)”", re.DOTALL), "wait"),
    (re.compile(r"offering of (.*)", re.DOTALL), "offering"),
    (re.compile(r"refrain “(.*)”", re.DOTALL), "name"),
)


def moment_words(name: str) -> str:
    """A moment's name as it is shown.  Class records keep it in English, as the file's words."""
    for pattern, kind in _STORED:
        found = pattern.fullmatch(name)
        if found is None:
            continue
        match kind:
            case "again":
                which = ordinal(int(found[2]))
                return say("{moment}, {which} time", moment=moment_words(found[1]), which=which)
            case "refrain":
                which = ordinal(int(found[1]))
                return say("wait after the {which} “{refrain}”", which=which, refrain=found[2])
            case "start":
                return say("wait after the start")
            case "wait":
                return say("wait after “{words}”", words=found[1])
            case "offering":
                return say("offering of {prop}", prop=found[1])
            case _:
                return say("refrain “{name}”", name=found[1])
    return name


def _named(
    names: dict[str, int],
    kind: MomentKind,
    name: str,
    segment: Segment,
    number: int | None = None,
    areas: tuple[str, ...] = (),
) -> Moment:
    names[name] = names.get(name, 0) + 1
    again = names[name]
    whole = name if again == 1 else f"{name}, {english_ordinal(again)} time"
    return Moment(kind, whole, segment.path, number, segment.look_for, areas)


def _end(words: str) -> str:
    if len(words) <= LONGEST_WORDS:
        return words.rstrip(" ,;:")
    kept: list[str] = []
    for word in reversed(words.split()):
        if sum(len(each) + 1 for each in kept) + len(word) > LONGEST_WORDS and kept:
            break
        kept.insert(0, word)
    return "… " + " ".join(kept)[-LONGEST_WORDS:].rstrip(" ,;:")
