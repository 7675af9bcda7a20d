"""Words that return are tapped the same each time."""

from collections.abc import Iterator
from fractions import Fraction

from attrs import evolve

from tapscore.checks.examples import example, tapped
from tapscore.checks.facts import HeardLine, LineFacts, plain
from tapscore.checks.rule import NO_SOURCE, Found, Rule, Scene, found
from tapscore.model.finding import Finding, Severity
from tapscore.model.lane import Cell
from tapscore.model.story import Line, Story
from tapscore.model.walk import edit_line, item_path
from tapscore.rhythm.unroll import Placed, unroll
from tapscore.wording.catalogue import say

LEAST_SYLLABLES = 3
_PARTS = ("metre", "tempo", "loudness", "stroke")


def _find(scene: Scene) -> Iterator[Found]:
    first: dict[str, HeardLine] = {}
    for told in scene.written:
        facts = told.facts
        if facts.line.lane is None or facts.syllable_count < LEAST_SYLLABLES:
            continue
        model = first.setdefault(facts.plain_words, told)
        differs = _difference(model.facts, facts)
        if differs:
            yield found(told.path, line=told.name, model=model.name, differs=differs)


def _difference(one: LineFacts, other: LineFacts) -> str:
    if one.events is not other.events and _taps(one) != _taps(other):
        return "rhythm"
    for part in _PARTS:
        if getattr(one.manner, part) != getattr(other.manner, part):
            return part
    return ""


def _taps(facts: LineFacts) -> list[tuple[Fraction, Cell]]:
    """What falls where; silence at the end doesn't matter."""
    return [(event.onset_beats, event.cell) for event in facts.events]


def _fix(story: Story, finding: Finding) -> Story | None:
    lines = {each.path: each for each in reversed(unroll(story)) if isinstance(each.item, Line)}
    path = item_path(finding.path)
    here = lines.pop(path, None) if path else None
    if here is None:
        return None
    model = next((each for each in reversed(lines.values()) if _alike(here, each)), None)
    if model is None or not isinstance(model.item, Line):
        return None
    lane, manner = model.item.lane, model.manner
    kept = {
        part: getattr(manner, part)
        for part in _PARTS
        if getattr(manner, part) != getattr(here.manner, part)
    }
    return edit_line(
        story,
        finding.path,
        lambda line: evolve(line, lane=lane, manner=evolve(line.manner, **kept)),
    )


def _alike(one: Placed, other: Placed) -> bool:
    a, b = one.item, other.item
    return (
        isinstance(a, Line)
        and isinstance(b, Line)
        and b.lane is not None
        and plain(a.words) == plain(b.words)
        and len(a.syllables) == len(b.syllables)
    )


RULE = Rule(
    id="same-words-same-rhythm",
    title=say("Words that return are tapped the same each time"),
    why=say(
        "Pupils come to know what returns by its pattern on the board. A second pattern under "
        "the same words is a new thing to learn, and adults mix the two up."
    ),
    source=NO_SOURCE,
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=example(
        '- words: Row the lan-tern\n  lane: "| X . x X . x |"\n'
        '- words: Row the lan-tern!\n  lane: "| X . x X . x |"'
    ),
    bad=example(
        '- words: Row the lan-tern\n  lane: "| X . x X . x |"\n'
        '- words: Row the lan-tern\n  lane: "| X x . X . x |"'
    ),
    more_good=(
        example(
            tapped("Row the lan-tern", "| X . x X . x |"), tapped("Row the boat", "| X . x X . . |")
        ),
        example(tapped("Row on", "| X . . X . . |"), tapped("Row on", "| X . x . . . |")),
    ),
    more_bad=(
        example(
            tapped("Row the lan-tern", "| X . x X . x |"),
            tapped("Row the lan-tern", "| X . x X . x |", "tempo: 66"),
        ),
        example(
            tapped("Row the boat", "| X . x X . . |"), tapped("Row the boat", "| X x . X . . |")
        ),
    ),
    fix=_fix,
    mends=say("Taps these words as they were tapped before."),
)
