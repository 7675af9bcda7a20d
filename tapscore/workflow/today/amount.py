"""How much of a story can be told by those who are here: adults to pupils first, parts second."""

from tapscore.model.day import Staff, Telling
from tapscore.model.story import RefrainUse, Story
from tapscore.model.walk import section_items

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
        return Telling.NOT_TODAY, "Nobody is here."
    if not staff.away:
        return Telling.WHOLE, ""
    if adults == 1:
        return _alone(story, pupils, beside)
    said = f"{adults} adults for {roles} roles"
    if beside and adults - beside <= 1:
        return Telling.SHORT, f"{said}, and {_pupils(beside)} with somebody beside."
    if 2 * adults <= roles:
        return Telling.SHORT, f"{said}."
    return Telling.LIGHTER, f"{said}."


def _alone(story: Story, pupils: int, beside: int) -> tuple[Telling, str]:
    returns = any(isinstance(item, RefrainUse) for _, item in section_items(story))
    said = f"One adult and {_pupils(pupils)}"
    if beside:
        return Telling.NOT_TODAY, (
            f"{said}, {beside} of them with somebody beside: nobody would be left to tap."
        )
    if pupils > ALONE_PUPILS:
        return Telling.NOT_TODAY, f"{said}: nobody would have a hand free."
    if not returns:
        return Telling.NOT_TODAY, f"{said}, and the story has no refrain to tell by itself."
    return Telling.REFRAIN, f"{said}."


def _pupils(count: int) -> str:
    return f"{count} pupil{'s' if count != 1 else ''}"


TOLD = {
    Telling.WHOLE: "Told whole.",
    Telling.LIGHTER: "Told lighter: fewer taps and things, all that is left is whole.",
    Telling.SHORT: "Told short: greeting, refrain, one prop, finish.",
    Telling.REFRAIN: "The refrain only, with its waits; nothing else is needed.",
    Telling.NOT_TODAY: "Not today. Its best-loved words can be said softly beside the pupils,"
    " without the board. Never fewer than two adults to a hoist; your school's own rules come"
    " first.",
}
"""What is said of a day's telling."""
