"""The work is shared out among those who tap."""

from collections import Counter
from collections.abc import Iterator

from tapscore.checks.examples import TAPS, example, tapped, whole_story
from tapscore.checks.hands.jobs import job_counts, works_elsewhere
from tapscore.checks.rule import HOUSE_RULE, Found, Rule, Scene, found
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say

LEAST_JOBS = 8
MOST_PERCENT = 80


def _find(scene: Scene) -> Iterator[Found]:
    jobs = job_counts(scene)
    total = sum(jobs.values())
    others = [r for r in scene.story.roles if not works_elsewhere(r.name)]
    if total < LEAST_JOBS or len(others) < 2:
        return
    role, most = Counter(jobs).most_common(1)[0]
    if 100 * most > MOST_PERCENT * total:
        yield found(("roles", role), role=role, jobs=most, all_jobs=total)


_THREE = "roles: {leader: , beat-keeper: , second tapper: }\nby: beat-keeper\n"

RULE = Rule(
    id="work-shared",
    title=say("No adult does everything"),
    why=say("If one adult does nearly everything, the story stops on the day that adult is away."),
    source=say(
        "{house_rule}: at most {most_percent} of 100 taps, props and turns for one adult",
        house_rule=HOUSE_RULE,
        most_percent=MOST_PERCENT,
    ),
    severity=Severity.ADVICE,
    find=_find,
    good=whole_story(),
    bad=whole_story(
        ("  prop handler: {seat: west}\n", "  second tapper: {seat: west}\n"),
        ("instead: a tin and a spoon}", "instead: a tin and a spoon, by: beat-keeper}"),
        ("        prop out:", "        by: second tapper\n        prop out:"),
        (
            "        prop in: {bell: mat}\n",
            "        by: second tapper\n        prop in: {bell: mat}\n",
        ),
    ),
    more_good=(
        example(*[TAPS] * 7, extra=_THREE),
        example(
            *[TAPS] * 7,
            tapped("Row the boat", "| X . x X . . |", "by: second tapper"),
            tapped("Row the net", "| X . x X . . |", "by: second tapper"),
            extra=_THREE,
        ),
    ),
    more_bad=(
        example(*[TAPS] * 8, extra=_THREE),
        example(
            *[TAPS] * 9,
            tapped("Row the boat", "| X . x X . . |", "by: second tapper"),
            extra=_THREE,
        ),
    ),
)
