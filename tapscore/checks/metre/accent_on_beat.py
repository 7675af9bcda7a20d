"""A strong tap falls on a strong place in the bar."""

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache

from attrs import evolve

from tapscore.checks.examples import example, tapped
from tapscore.checks.facts import LineFacts
from tapscore.checks.rule import NO_SOURCE, EachLine, Found, Rule, found
from tapscore.checks.setting import Setting
from tapscore.model.finding import Finding, Severity
from tapscore.model.lane import Cell, LaneEvent, lane_events
from tapscore.model.lane_edits import change_event
from tapscore.model.metre import Metre, beat_strength
from tapscore.model.story import Story
from tapscore.model.walk import edit_line, item_path, line_at
from tapscore.rhythm.unroll import unroll
from tapscore.wording.catalogue import say


def _find(_: Setting, facts: LineFacts) -> Iterator[Found]:
    if facts.line.lane is None:
        return
    for event in facts.events:
        if event.cell.accent and _between_beats(facts.metre, event.position_beats):
            yield _found(facts, event)


@lru_cache(maxsize=512)
def _between_beats(metre: Metre, position_beats: Fraction) -> bool:
    return beat_strength(metre, position_beats) < _weakest_beat(metre)


def _weakest_beat(metre: Metre) -> Fraction:
    return min(beat_strength(metre, Fraction(beat)) for beat in range(metre.beats))


def _found(facts: LineFacts, event: LaneEvent) -> Found:
    index, syllables = event.syllable, facts.line.syllables
    said = syllables[index].text if index is not None and index < len(syllables) else None
    return found(("lane",), bar=event.bar, syllable=said)


def _fix(story: Story, finding: Finding) -> Story | None:
    line, path = line_at(story, finding.path), item_path(finding.path)
    metre = next((each.manner.metre for each in unroll(story) if each.path == path), None)
    if line is None or line.lane is None or metre is None:
        return None
    lane = line.lane
    for number, event in enumerate(lane_events(line.lane, metre)):
        if event.cell.accent and _between_beats(metre, event.position_beats):
            lane = change_event(lane, number, _plain)
    return edit_line(story, finding.path, lambda each: evolve(each, lane=lane))


def _plain(cell: Cell) -> Cell:
    return evolve(cell, accent=False)


RULE = Rule(
    id="accent-on-beat",
    title=say("Strong taps fall on the beat"),
    why=say("A strong tap between beats is hard to do together and can surprise a pupil."),
    source=say(
        "beat strengths as in music theory primers; the surprise: {source}", source=NO_SOURCE
    ),
    severity=Severity.ADVICE,
    find=EachLine(_find),
    good=example('- words: Row the lan-tern\n  lane: "| X . x X . x |"'),
    bad=example('- words: Row the lan-tern\n  lane: "| X . X x . x |"'),
    more_good=(
        example(tapped("Row the boat home", "| X . x . X . x . |"), metre="4/4"),
        example(tapped("The moon came up,", "x | X . x X . |")),
    ),
    more_bad=(
        example(tapped("Row the lan-tern", "| X . x X X . |")),
        example(tapped("Row the boat home", "| X . x X . . x . |"), metre="4/4"),
    ),
    fix=_fix,
    mends=say("Makes strong taps between beats plain ones."),
)
