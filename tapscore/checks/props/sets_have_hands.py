"""Every set of a prop that is offered has an adult who hands it."""

from collections.abc import Iterator

from tapscore.checks.examples import TAPS, example, whole_story
from tapscore.checks.rule import NO_SOURCE, Found, Rule, Scene, found
from tapscore.model.finding import Severity
from tapscore.model.story import Offer
from tapscore.wording.catalogue import say


def _find(scene: Scene) -> Iterator[Found]:
    story = scene.story
    offered = {item.prop for _, item in scene.waiting if isinstance(item, Offer)}
    for prop in story.props:
        handlers = story.handlers(prop.name)
        wanted = min(prop.sets, story.pupil_count)
        if prop.name in offered and handlers and wanted > len(handlers):
            yield found(
                ("props", prop.name, "sets"),
                prop=prop.name,
                sets=prop.sets,
                handlers=handlers,
                count=len(handlers),
            )


def _sets(sets: int, pupils: int, *keys: str) -> str:
    more = "".join(f", {key}" for key in keys)
    return example(
        TAPS,
        "- offer: cups\n  look for: a reach",
        extra=f"pupils: {pupils}\nroles: {{leader: {{}}, helper: {{}}}}\n"
        f"props: {{cups: {{what: wooden cups, sets: {sets}{more}}}}}\n",
    )


RULE = Rule(
    id="sets-have-hands",
    title=say("Every set has a hand"),
    why=say(
        "Two sets in the hands of one adult are one turn after the other, and the story lasts "
        "twice as long as it was planned."
    ),
    source=NO_SOURCE,
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=whole_story(),
    bad=whole_story(("spoon}", "spoon, sets: 2}")),
    more_good=(_sets(2, 4, "handed by: [leader, helper]"), _sets(2, 1), _sets(1, 4)),
    more_bad=(_sets(2, 4), _sets(3, 4, "handed by: [leader, helper]")),
)
