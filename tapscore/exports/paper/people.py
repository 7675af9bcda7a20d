"""Who speaks, who warns and how, who is with whom, and whose turn it is, as paper says it."""

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.sizes import Sizes
from tapscore.exports.paper.text_flow import own
from tapscore.model.manner import EVERYONE
from tapscore.model.story import Story
from tapscore.model.wordings import joined, seconds_words
from tapscore.rhythm.performance import Segment
from tapscore.rhythm.role_view import (
    LinePart,
    RoleView,
    names_words,
    offering,
    through_words,
    warners,
)
from tapscore.rhythm.unroll import story_manner
from tapscore.wording.catalogue import say


def who_words(names: tuple[str, ...]) -> str:
    """Roles in a sentence, each of them somebody's own word."""
    return names_words(tuple(map(own, names)))


def warning(part: LinePart, role: str, sizes: Sizes, width: float) -> Band:
    """A line's warning on a role's paper: what to do if she gives it, else only who does."""
    through = through_words(part.segment.line.warned_through if part.segment.line else ())
    if part.warns:
        others = tuple(own(name) for name in warners(part.segment) if name != role)
        if EVERYONE in others:
            who = say("You all warn first{through}", through=through)
        elif others:
            who = say("You and {others:and} warn first{through}", others=others, through=through)
        else:
            who = say("You warn first{through}", through=through)
        return bands.warn_first(part.warn_first or "", who, sizes, width)
    return bands.warn_first("", warned(part.segment), sizes, width)


def warned(segment: Segment) -> str:
    """``"Leader warns first by voice and touch"``."""
    names = warners(segment)
    through = through_words(segment.line.warned_through if segment.line else ())
    who = who_words(names)
    who = who[:1].upper() + who[1:]
    if len(names) > 1 and EVERYONE not in names:
        return say("{roles} warn first{through}", roles=who, through=through)
    return say("{role} warns first{through}", role=who, through=through)


def spoken(segment: Segment, view: RoleView | None = None) -> str:
    """Who speaks a line, where it is not as usual; empty where it is.

    With a ``view``, as that role is told it.
    """
    names = segment.manner.says
    if names == segment.usual.says:
        return ""
    if view is None or not view.says(segment):
        return (
            say("{role} says it", role=who_words(names))
            if len(names) < 2
            else say("{roles} say it", roles=who_words(names))
        )
    if EVERYONE in names:
        return say("all say it, you too")
    others = tuple(name for name in names if name != view.role)
    return (
        say("you say it with {roles}", roles=joined(map(own, others)))
        if others
        else say("you say it")
    )


def offered(story: Story, segment: Segment) -> str:
    """``"helper offers beads"``, or ``"leader and helper offer beads"``."""
    name = segment.prop or ""
    names = offering(story, name)
    if len(names) == 1:
        return say("{role} offers {prop}", role=who_words(names), prop=own(name))
    return say("{roles} offer {prop}", roles=who_words(names), prop=own(name))


def usual_speaker(story: Story, role: str | None = None) -> str:
    """``"leader speaks the words"``, or ``"you speak the words"``."""
    names = story_manner(story).says
    if EVERYONE in names:
        return say("all speak the words")
    if role in names and len(names) == 1:
        return say("you speak the words")
    if len(names) == 1:
        return say("{role} speaks the words", role=who_words(names))
    return say("{roles} speak the words", roles=who_words(names))


def with_whom(view: RoleView) -> str:
    """A partner's first task, in a sentence; empty for whoever is with nobody."""
    places = view.places()
    if not places:
        return ""
    return say(
        "You are with {places:and}: that comes first. Tap only while you have a hand free.",
        places=places,
    )


def turns_words(story: Story, segment: Segment) -> str:
    """How many turns an offering has in all, and how long they take."""
    name = segment.prop or ""
    pupils = story.pupil_count
    at_a_time = story.turns_at_once(name)
    each = seconds_words(segment.turn_sec)
    if pupils == 1:
        return say("One turn, {each} or more, if the pupil wants it.", each=each)
    whole = seconds_words(segment.length_sec)
    return say(
        "{turns:1 turn|# turns}, {at_once:one pupil|# pupils} at a time, {each} or more each "
        "turn: {whole} or more for all {pupils}. Nobody has to.",
        turns=segment.turns,
        at_once=max(at_a_time, 1),
        each=each,
        whole=whole,
        pupils=pupils,
    )
