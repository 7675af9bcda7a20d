"""Every role that has something to do has somebody today."""

from collections.abc import Iterator

from tapscore.checks.examples import TAPS, example, whole_story
from tapscore.checks.hands.jobs import part_counts
from tapscore.checks.rule import NO_SOURCE, Found, Rule, Scene, found
from tapscore.model.day import staff_of
from tapscore.model.finding import Severity
from tapscore.wording.catalogue import say

BAD_DAY = "here: [leader]\n"
"""The day file that the examples are looked at with."""


def _find(scene: Scene) -> Iterator[Found]:
    if scene.day is None:
        return
    staff = staff_of(scene.story, scene.day)
    jobs = part_counts(scene)
    for role in staff.away:
        if jobs[role]:
            yield found(("roles", role), role=role, jobs=jobs[role])


RULE = Rule(
    id="role-has-somebody",
    title=say("Somebody is there for every role"),
    why=say("When an adult is away, her lines go uncovered and nobody notices until they come."),
    source=NO_SOURCE,
    severity=Severity.MUST_MEND,
    find=_find,
    good=whole_story(),
    bad=f"# with a day file that says: {BAD_DAY}{whole_story()}",
    more_good=(
        example(TAPS),
        example(TAPS, extra="roles: {leader: , beat-keeper: }\nby: leader\n"),
    ),
    more_bad=(
        example(TAPS, extra="roles: {leader: , beat-keeper: }\n"),
        example(
            f"{TAPS}\n  prop in: bell",
            extra="roles: {leader: , prop handler: }\nprops: {bell: {what: a bell}}\n",
        ),
    ),
)
