"""What is done, or done to warn, hides no hazard that no prop's caution speaks of."""

from collections.abc import Iterator

from tapscore.checks.examples import TAPS, example, whole_story
from tapscore.checks.hazard_words import hazards_in
from tapscore.checks.props.coming_and_going import props_there
from tapscore.checks.rule import NO_SOURCE, Found, Rule, Scene, found
from tapscore.model.cautions import CAUTIONS
from tapscore.model.finding import Severity
from tapscore.model.story import Prop
from tapscore.wording.catalogue import say


def _find(scene: Scene) -> Iterator[Found]:
    for segment, there in props_there(scene):
        line = segment.line
        if line is None or segment.refrain_time > 1:
            continue
        for key, text in (("do", line.do), ("warn", line.warn_first)):
            if not text:
                continue
            carried = _carried(scene.story.props, there, text)
            for caution, word in hazards_in(text):
                if caution not in carried:
                    reminder = CAUTIONS[caution]
                    yield found(
                        (*segment.path, "do" if key == "do" else "warn first"),
                        line=scene.called[segment.path],
                        key=key,
                        word=word,
                        caution=caution,
                        reminder=reminder.reminder,
                        ask=reminder.ask,
                    )


def _carried(props: tuple[Prop, ...], there: frozenset[str], text: str) -> set[str]:
    """Cautions of the props on the board, and of those that the text names."""
    said = text.casefold()
    near = [prop for prop in props if prop.name in there or prop.name.casefold() in said]
    return {caution for prop in near for caution in prop.cautions}


_LAMP = "props: {{lamp: {{what: a lamp, cautions: [{}]}}}}\n"

RULE = Rule(
    id="dangers-in-doings",
    title=say("What is done carries no danger unseen"),
    why=say(
        "A torch may be in the list of props with its caution, and still be flicked on and off in "
        "a line. What hands do matters as much as what they hold."
    ),
    source=say("{no_source}; flashing: WCAG 2.2", no_source=NO_SOURCE),
    severity=Severity.LOOK_AGAIN,
    find=_find,
    good=whole_story(),
    bad=whole_story(
        ("do: hold up the picture of the hill", "do: drape a scarf over every head"),
    ),
    more_good=(
        example(TAPS + "\n  do: hold up the picture of the lamp"),
        example(TAPS + "\n  do: hold the lamp low", extra=_LAMP.format("light")),
    ),
    more_bad=(
        example(TAPS + "\n  do: flick the lamp on and off", extra=_LAMP.format("light")),
        example(TAPS + "\n  warn first: blow the whistle"),
    ),
)
