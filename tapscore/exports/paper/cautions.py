"""What each caution of a prop asks of the adults, in plain words: reminders, never clearance."""

from collections.abc import Iterable

from tapscore.exports.paper.text_flow import own
from tapscore.model.cautions import CAUTIONS
from tapscore.model.story import Prop, Story
from tapscore.wording.catalogue import say

REMINDERS = (
    say("Anyone may come away at any time, and comes back when ready."),
    say("If a pupil has a seizure, stop tapping and follow that pupil's own plan."),
    say("Warn before anything louder. Startling is about surprise, not only loudness."),
    say(
        "Hearing aids, implants, shunts, fragile bones, positioning: ask the people who know the"
        " pupil before the first time."
    ),
    say("Your school's own policies and each pupil's plan come before this sheet."),
)


def split_caution(sentence: str) -> tuple[str, str]:
    """The hazard, with its colon, and what to do about it."""
    hazard, colon, rest = sentence.partition(":")
    return hazard + colon, rest


def caution_sentences(cautions: Iterable[str]) -> tuple[str, ...]:
    """Sentences for a prop's cautions, in the order written; an unknown one as written."""
    return tuple(CAUTIONS[word].card_sentence if word in CAUTIONS else word for word in cautions)


def named_cautions(story: Story, props: Iterable[str]) -> tuple[str, ...]:
    """Sentences for some props, each with the prop's name before the hazard."""
    return tuple(
        f"{own(name)} ({hazard[:1].lower()}{hazard[1:]}):{rest}"
        if rest
        else f"{own(name)}: {hazard}"
        for name in props
        for hazard, _, rest in (s.partition(":") for s in prop_cautions(story.prop(name)))
    )


def prop_cautions(prop: Prop | None) -> tuple[str, ...]:
    """Sentences for one prop."""
    return caution_sentences(prop.cautions) if prop else ()
