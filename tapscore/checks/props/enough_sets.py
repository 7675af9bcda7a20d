"""Turns with a prop don't take too long."""

from collections.abc import Iterator

from attrs import evolve

from tapscore.checks.examples import example, whole_story
from tapscore.checks.rule import HOUSE_RULE, Found, Rule, Scene, found
from tapscore.model.edits import with_prop
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story
from tapscore.rhythm.perform import perform
from tapscore.rhythm.performance import Segment, SegmentKind
from tapscore.wording.catalogue import say

LONGEST_SEC = 180.0


def _find(scene: Scene) -> Iterator[Found]:
    seen = set()
    for segment in scene.performance.segments:
        if segment.kind is not SegmentKind.OFFER or segment.path in seen:
            continue
        seen.add(segment.path)
        seconds = segment.turns * segment.turn_sec
        if seconds > LONGEST_SEC:
            sets = _sets(scene.story.pupil_count, segment)
            hands = scene.story.handlers(segment.prop or "")
            case = "hands" if hands and sets > len(hands) else "more"
            yield found(
                (*segment.path, "offer"),
                case=case if sets else "shorter",
                prop=segment.prop,
                minutes=seconds / 60,
                sets=sets,
                most_minutes=LONGEST_SEC / 60,
            )


def _sets(pupils: int, segment: Segment) -> int:
    """The fewest sets with which the turns are short enough; 0 if none are."""
    turns = int(LONGEST_SEC // segment.turn_sec)
    return -(-pupils // turns) if turns else 0


def _fix(story: Story, finding: Finding) -> Story | None:
    for segment in perform(story).segments:
        if segment.kind is SegmentKind.OFFER and segment.path == finding.path[:-1]:
            prop = story.prop(segment.prop or "")
            sets = _sets(story.pupil_count, segment)
            hands = story.handlers(segment.prop or "")
            enough = sets and not (hands and sets > len(hands))
            return with_prop(story, evolve(prop, sets=sets)) if prop and enough else None
    return None


def _turns(pupils: int, turn_sec: int, sets: int = 1) -> str:
    return example(
        f"- offer: bell\n  turn: {turn_sec}",
        extra=f"pupils: {pupils}\nprops: {{bell: {{what: a bell, sets: {sets}}}}}\n",
    )


RULE = Rule(
    id="enough-sets",
    title=say("Nobody waits long for a turn"),
    why=say(
        "With one set of a prop every pupil waits for all the others. A second set, and a second "
        "adult to hand it, halves that."
    ),
    source=say(
        "{house_rule}: at most {longest:.0f} minutes of turns on end",
        house_rule=HOUSE_RULE,
        longest=LONGEST_SEC / 60,
    ),
    severity=Severity.ADVICE,
    find=_find,
    good=whole_story(),
    bad=whole_story(
        ("pupils: 2", "pupils: 8"), ("spoon}", "spoon, handed by: [leader, prop handler]}")
    ),
    more_good=(
        _turns(6, 30),
        _turns(12, 30, sets=2),
    ),
    more_bad=(
        _turns(13, 15),
        _turns(14, 30, sets=2),
        whole_story(("pupils: 2", "pupils: 8")),
    ),
    fix=_fix,
    mends=say("Plans with as many sets as are needed."),
)
