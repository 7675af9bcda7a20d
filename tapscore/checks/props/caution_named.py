"""A prop whose description hints at a hazard carries the caution."""

from collections.abc import Iterator

from attrs import evolve

from tapscore.checks.cautions import prop_hazards
from tapscore.checks.examples import whole_story
from tapscore.checks.rule import Found, Rule, Scene, found
from tapscore.model.cautions import CAUTIONS
from tapscore.model.edits import with_prop
from tapscore.model.finding import Finding, Severity
from tapscore.model.story import Story
from tapscore.wording.catalogue import say


def _find(scene: Scene) -> Iterator[Found]:
    for prop in scene.story.props:
        for caution, word, key in prop_hazards(prop):
            if caution not in prop.cautions:
                reminder = CAUTIONS[caution]
                yield found(
                    ("props", prop.name, "cautions", caution),
                    case=key,
                    prop=prop.name,
                    word=word,
                    caution=caution,
                    reminder=reminder.reminder,
                    ask=reminder.ask,
                )


def _fix(story: Story, finding: Finding) -> Story | None:
    match finding.path:
        case ("props", str(name), "cautions", str(caution)):
            prop = story.prop(name)
            if prop is not None:
                return with_prop(story, evolve(prop, cautions=(*prop.cautions, caution)))
    return None


RULE = Rule(
    id="caution-named",
    title=say("Props carry the cautions they need"),
    why=say(
        "Whoever packs the box is not always whoever wrote the story. A caution that travels "
        "with the prop is read by everybody. It reminds; it is no verdict."
    ),
    source=say(
        "EN 71-1 and 16 CFR 1501 (small parts), EN 71-1 (cords), WCAG 2.2 (flashing); the "
        "others: common practice, no source"
    ),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=whole_story(),
    bad=whole_story(("what: brass hand bell", "what: brass hand bell on a ribbon")),
    more_good=(
        whole_story(("what: brass hand bell", "what: brass hand bell on a ribbon, cautions: cord")),
        whole_story(("what: brass hand bell", "what: brass hand bell on a stand")),
        whole_story(("instead: a tin and a spoon", "instead: a bean bag")),
    ),
    more_bad=(
        whole_story(("what: brass hand bell", "what: torch, cautions: light")),
        whole_story(("what: brass hand bell", "what: wet brass hand bell")),
        whole_story(("instead: a tin and a spoon", "instead: a torch flicked on and off")),
    ),
    fix=_fix,
    mends=say("Adds the caution to the prop."),
)
