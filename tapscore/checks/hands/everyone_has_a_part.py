"""Every role has something to do."""

from collections.abc import Iterator

from tapscore.checks.hands.jobs import job_counts, works_elsewhere
from tapscore.checks.rule import HOUSE_RULE, Rule, Scene, Trouble
from tapscore.checks.whole_example import whole_story
from tapscore.model.edits import without_role
from tapscore.model.finding import Severity
from tapscore.model.story import Story


def _find(scene: Scene) -> Iterator[Trouble]:
    roles = [role.name for role in scene.story.roles if not works_elsewhere(role.name)]
    if not roles or not scene.told:
        return
    jobs = job_counts(scene)
    for role in roles:
        if not jobs[role]:
            yield Trouble(
                ("roles", role),
                f"The {role} neither taps nor brings a prop anywhere.",
                "Give them lines with `by:`, or take the role out.",
            )


def _fix(story: Story, trouble: Trouble) -> Story | None:
    match trouble.path:
        case ("roles", str(name)):
            return without_role(story, name)
    return None


RULE = Rule(
    id="everyone-has-a-part",
    title="Every role has something to do",
    why="An adult with an empty card sits at the board and fills the silence.",
    source=HOUSE_RULE,
    severity=Severity.ADVICE,
    find=_find,
    good=whole_story(),
    bad=whole_story(
        ("  prop handler: {seat: west}\n", "  prop handler: {seat: west}\n  drummer: \n")
    ),
    fix=_fix,
    mends="Takes the role out.",
)
