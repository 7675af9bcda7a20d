"""Every prop in the list is used."""

from collections.abc import Iterator

from tapscore.checks.examples import TAPS, example, whole_story
from tapscore.checks.rule import HOUSE_RULE, Found, Rule, Scene, found, once_a_scene
from tapscore.model.edits import without_prop
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Line, Offer, Story
from tapscore.model.walk import written_items
from tapscore.wording.catalogue import say


def used_props(story: Story) -> frozenset[str]:
    """Props that some line or offering names."""
    used: set[str] = set()
    for _, item in written_items(story):
        if isinstance(item, Line):
            if item.props_in or item.props_out:
                used.update(entrance.prop for entrance in item.props_in)
                used.update(item.props_out)
        elif isinstance(item, Offer):
            used.add(item.prop)
    return frozenset(used)


@once_a_scene
def used_in(scene: Scene) -> frozenset[str]:
    """The same of a scene's story."""
    return used_props(scene.story)


def _find(scene: Scene) -> Iterator[Found]:
    used = used_in(scene)
    for prop in scene.story.props:
        if prop.name not in used:
            yield found(("props", prop.name), prop=prop.name)


def _fix(story: Story, finding: Finding) -> Story | None:
    match finding.path:
        case ("props", str(name)):
            return without_prop(story, name)
    return None


RULE = Rule(
    id="props-are-used",
    title=say("Every prop in the list is used"),
    why=say("A prop that is packed and never comes is looked for and worried about."),
    source=HOUSE_RULE,
    severity=Severity.ADVICE,
    find=_find,
    good=whole_story(),
    bad=whole_story(("spoon}\n", "spoon}\n  cloth: {what: red cloth, instead: a red jumper}\n")),
    more_good=(
        example(TAPS),
        example("- offer: bell\n  look for: a look", extra="props: {bell: {what: a bell}}\n"),
    ),
    more_bad=(
        example(TAPS, extra="props: {bell: {what: a bell}}\n"),
        example(
            "- offer: bell\n  look for: a look",
            extra="props: {bell: {what: a bell}, cup: {what: a cup}}\n",
        ),
    ),
    fix=_fix,
    mends=say("Takes the prop out of the list."),
)
