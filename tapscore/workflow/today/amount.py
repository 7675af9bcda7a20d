"""How much of a story can be told by those who are here: adults to pupils first, parts second."""

from tapscore.model.day import Staff, Telling
from tapscore.model.story import RefrainUse, Story
from tapscore.model.walk import section_items
from tapscore.wording.catalogue import say

ALONE_PUPILS = 2
"""With more pupils one adult alone does not begin: common practice, no source."""


def suggested(story: Story, staff: Staff, adults: int) -> tuple[Telling, str]:
    """How much to tell with so many adults, and why, in a sentence.

    Somebody beside each pupil who has somebody beside comes first: they count as free for the
    story only if others are.
    """
    roles = len(story.role_names)
    places = story.board.places if story.board else ()
    beside = sum(place.partner is not None for place in places)
    pupils = story.pupil_count
    if not adults:
        return Telling.NOT_TODAY, say("Nobody is here.")
    if not staff.away:
        return Telling.WHOLE, ""
    if adults == 1:
        return _alone(story, pupils, beside)
    said = say("{adults:1 adult|# adults} for {roles:1 role|# roles}", adults=adults, roles=roles)
    if beside and adults - beside <= 1:
        return Telling.SHORT, say(
            "{said}, and {pupils} with somebody beside.", said=said, pupils=_pupils(beside)
        )
    if 2 * adults <= roles:
        return Telling.SHORT, f"{said}."
    return Telling.LIGHTER, f"{said}."


def _alone(story: Story, pupils: int, beside: int) -> tuple[Telling, str]:
    returns = any(isinstance(item, RefrainUse) for _, item in section_items(story))
    said = say("One adult and {pupils}", pupils=_pupils(pupils))
    if beside:
        return Telling.NOT_TODAY, (
            say(
                "{said}, {beside} of them with somebody beside: nobody would be left to tap.",
                said=said,
                beside=beside,
            )
        )
    if pupils > ALONE_PUPILS:
        return Telling.NOT_TODAY, say("{said}: nobody would have a hand free.", said=said)
    if not returns:
        return Telling.NOT_TODAY, say(
            "{said}, and the story has no refrain to tell by itself.", said=said
        )
    return Telling.REFRAIN, f"{said}."


def _pupils(count: int) -> str:
    return say("{count:1 pupil|# pupils}", count=count)


TOLD = {
    Telling.WHOLE: say("Told whole."),
    Telling.LIGHTER: say("Told lighter: fewer taps and things, all that is left is whole."),
    Telling.SHORT: say("Told short: greeting, refrain, one prop, finish."),
    Telling.REFRAIN: say("The refrain only, with its waits; nothing else is needed."),
    Telling.NOT_TODAY: say(
        "Not today. Its best-loved words can be said softly beside the pupils,"
        " without the board. Never fewer than two adults to a hoist; your school's own rules come"
        " first."
    ),
}
"""What is said of a day's telling."""
