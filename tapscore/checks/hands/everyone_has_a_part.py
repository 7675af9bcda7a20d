"""Every role has something to do."""

from collections.abc import Iterator

from tapscore.checks.examples import example, tapped, whole_story
from tapscore.checks.hands.jobs import part_counts, works_elsewhere
from tapscore.checks.rule import HOUSE_RULE, Found, Rule, Scene, found
from tapscore.model.edits import without_role
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Line, Story
from tapscore.model.walk import written_items, written_manners
from tapscore.wording.catalogue import say


def _find(scene: Scene) -> Iterator[Found]:
    roles = [role.name for role in scene.story.roles if not works_elsewhere(role.name)]
    if not scene.told:
        return
    jobs = part_counts(scene)
    for role in roles:
        if not jobs[role]:
            yield found(("roles", role), role=role)


def _fix(story: Story, finding: Finding) -> Story | None:
    match finding.path:
        case ("roles", str(name)) if not _named(story, name):
            return without_role(story, name)
    return None


def _named(story: Story, role: str) -> bool:
    """Whether anything, heard or not, says that the role does it."""
    named = {prop.by for prop in story.props}
    named |= {handler for prop in story.props for handler in prop.handed_by}
    named.update(name for _, each in written_manners(story) for name in (*each.by, *each.says))
    named.update(place.partner for place in (story.board.places if story.board else ()))
    for _, item in written_items(story):
        if isinstance(item, Line):
            named.update((*item.done_by, *item.warned_by))
            for bar in item.lane.all_bars if item.lane else ():
                named.update(
                    name
                    for step in bar
                    for cell in step
                    if cell.detail
                    for name in cell.detail.adults
                )
    return role in named


RULE = Rule(
    id="everyone-has-a-part",
    title=say("Every role has something to do"),
    why=say("An adult with an empty card sits at the board and fills the silence."),
    source=HOUSE_RULE,
    severity=Severity.ADVICE,
    find=_find,
    good=whole_story(),
    bad=whole_story(
        ("  prop handler: {seat: west}\n", "  prop handler: {seat: west}\n  drummer: \n")
    ),
    more_good=(
        whole_story(
            ("  prop handler: {seat: west}\n", "  prop handler: {seat: west}\n  observer: \n")
        ),
        whole_story(
            ("  prop handler: {seat: west}\n", "  prop handler: {seat: west}\n  drummer: \n"),
            (
                "        do: rest both hands on the board\n",
                "        by: drummer\n        do: rest both hands on the board\n",
            ),
        ),
        example(
            tapped("Row the lan-tern", "| X . x X . x |", "by: leader", "says: drummer"),
            extra="roles: {leader: , drummer: }\n",
        ),
    ),
    more_bad=(
        example(
            tapped("Row the lan-tern", "| X . x X . x |", "by: leader"),
            extra="roles: {leader: , beat-keeper: }\n",
        ),
        whole_story(("instead: a tin and a spoon}", "instead: a tin and a spoon, by: leader}")),
    ),
    fix=_fix,
    mends=say("Takes the role out."),
)
