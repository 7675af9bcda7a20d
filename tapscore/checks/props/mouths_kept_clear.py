"""Nobody looks for a mouth on what must stay away from mouths."""

import re
from collections.abc import Iterable, Iterator

from tapscore.checks.cautions import prop_hazards
from tapscore.checks.examples import TAPS, example, whole_story
from tapscore.checks.props.coming_and_going import props_there
from tapscore.checks.rule import NO_SOURCE, Found, Rule, Scene
from tapscore.model.cautions import CAUTIONS
from tapscore.model.finding import Severity
from tapscore.model.story import Prop
from tapscore.model.walk import said_before
from tapscore.wording.about import About
from tapscore.wording.catalogue import say

_MOUTH = re.compile(
    r"\b(mouth(?:ed|ing|s)?|lips?|lick\w*|suck\w*|bit(?:e|es|ing)|chew\w*|tast(?:e|es|ing)|tongue|"
    r"gums?|teeth|eats?|eating)\b",
    re.IGNORECASE,
)
_AWAY = re.compile(
    r"\b(?:away|clear|far|out) (?:from|of) (?:\w+ )?(?:mouths?|lips)\b", re.IGNORECASE
)


def _find(scene: Scene) -> Iterator[Found]:
    story = scene.story
    looked = {path: item.look_for for path, item in scene.waiting}
    for segment, there in props_there(scene):
        line, path = segment.line, segment.path
        props = [prop for prop in story.props if prop.name in there] if there else []
        if line is not None:
            doings = (("do", line.do), ("warn first", line.warn_first))
            for key, text in doings if segment.refrain_time <= 1 else ():
                for about in _together(text, props):
                    name = scene.called[path]
                    yield Found((*path, key), about.and_also(case="do", line=name))
        elif path in looked:
            if segment.prop is not None:
                props = [prop for prop in props if prop.name == segment.prop]
            for about in _together(looked.pop(path), props):
                after = said_before(story, path)
                yield Found((*path, "look for"), about.and_also(case="look-for", after=after))


def _together(text: str | None, props: Iterable[Prop]) -> Iterator[About]:
    """The word for a mouth and each prop that must stay away from it, one caution a prop."""
    match = _MOUTH.search(_AWAY.sub("", text)) if text else None
    if match is None:
        return
    for prop in props:
        carried = dict.fromkeys((*prop.cautions, *(hazard for hazard, _, _ in prop_hazards(prop))))
        kept = [CAUTIONS[name] for name in carried if name in CAUTIONS and CAUTIONS[name].mouth]
        if kept:
            yield About(
                word=match.group().lower(),
                prop=prop.name,
                called=kept[0].title,
                ask=kept[0].ask,
            )


_BEADS = "props: {beads: {what: wooden beads, cautions: [small parts]}}\n"
_SPOON = "props: {spoon: {what: large wooden spoon}}\n"
_OFFER = "- offer: {}\n  look for: {}"

RULE = Rule(
    id="mouths-kept-clear",
    title=say("Nobody looks for a mouth on what must stay away from mouths"),
    why=say(
        "The card of one adult says to look for the mouth, the card of another to keep the thing "
        "away from it. The pupil gets both."
    ),
    source=say("{no_source}; small parts: 16 CFR 1501 and EN 71-1", no_source=NO_SOURCE),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=whole_story(),
    bad=whole_story(
        ("what: brass hand bell", "what: small brass jingle bell, cautions: small parts"),
        ("look for: fingers that close", "look for: fingers that close, mouth"),
    ),
    more_good=(
        example(TAPS, _OFFER.format("spoon", "mouth"), extra=_SPOON),
        example(TAPS, _OFFER.format("beads", "hands kept away from the mouth"), extra=_BEADS),
    ),
    more_bad=(
        example(TAPS, _OFFER.format("beads", "licking"), extra=_BEADS),
        example(TAPS + "\n  prop in: beads\n  do: touch it to the lips", extra=_BEADS),
    ),
)
