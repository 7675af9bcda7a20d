"""A strong tap falls on a strong place in the bar."""

from collections.abc import Iterator
from fractions import Fraction

from tapscore.checks.rule import NO_SOURCE, Rule, Scene, Trouble, example
from tapscore.model.finding import Severity
from tapscore.model.lane import LaneEvent, lane_events
from tapscore.model.metre import Metre, beat_strength
from tapscore.rhythm.performance import Segment


def _find(scene: Scene) -> Iterator[Trouble]:
    seen = set()
    for segment in scene.performance.lines:
        line = segment.line
        if line is None or line.lane is None or segment.path in seen:
            continue
        seen.add(segment.path)
        events = lane_events(line.lane, segment.metre)
        strengths = [beat_strength(segment.metre, event.position_beats) for event in events]
        for event, strength in zip(events, strengths, strict=True):
            if event.cell.accent and strength < _weakest_beat(segment.metre):
                yield _trouble(segment, event)


def _weakest_beat(metre: Metre) -> Fraction:
    return min(beat_strength(metre, Fraction(beat)) for beat in range(metre.beats))


def _trouble(segment: Segment, event: LaneEvent) -> Trouble:
    assert segment.line is not None
    said = ""
    if event.syllable is not None and event.syllable < len(segment.line.syllables):
        said = f" on “{segment.line.syllables[event.syllable].text}”"
    place = f"in bar {event.bar}" if event.bar else "in the pickup"
    return Trouble(
        (*segment.path, "lane"),
        f"The strong tap{said} {place} falls between two beats.",
        "Move it on to a beat, or write `x` instead of `X`.",
    )


RULE = Rule(
    id="accent-on-beat",
    title="Strong taps fall on the beat",
    why="A strong tap between beats is hard to do together and can surprise a pupil.",
    source="beat strengths as in music theory primers; the surprise: " + NO_SOURCE,
    severity=Severity.ADVICE,
    find=_find,
    good=example('- words: Row the lan-tern\n  lane: "| X . x X . x |"'),
    bad=example('- words: Row the lan-tern\n  lane: "| X . X x . x |"'),
)
