"""Who speaks, who warns and how, who is with whom, and whose turn it is, as paper says it."""

from tapscore.exports.paper import bands
from tapscore.exports.paper.bands import Band
from tapscore.exports.paper.sizes import Sizes
from tapscore.exports.paper.text_flow import own
from tapscore.model.story import Story
from tapscore.model.wordings import joined, seconds_words
from tapscore.rhythm.perform import EVERYONE
from tapscore.rhythm.performance import Segment
from tapscore.rhythm.role_view import (
    LinePart,
    RoleView,
    names_words,
    through_words,
    warners,
)
from tapscore.rhythm.unroll import story_manner


def warning(part: LinePart, sizes: Sizes, width: float) -> Band:
    """A line's warning on one adult's paper: what to do if she gives it, else only who does."""
    through = through_words(part.segment.line.warned_through if part.segment.line else ())
    if part.warns:
        both = len(warners(part.segment)) > 1 or EVERYONE in warners(part.segment)
        who = f"You{' all' if both else ''} warn first{through}"
        return bands.warn_first(part.warn_first or "", who, sizes, width)
    return bands.warn_first("", warned(part.segment), sizes, width)


def warned(segment: Segment) -> str:
    """``"Leader warns first by voice and touch"``."""
    names = warners(segment)
    through = through_words(segment.line.warned_through if segment.line else ())
    who = names_words(names)
    verb = "warn" if len(names) > 1 and EVERYONE not in names else "warns"
    return f"{own(who[:1].upper() + who[1:])} {verb} first{through}"


def spoken(segment: Segment, view: RoleView | None = None) -> str:
    """Who speaks a line, where it is not as usual; empty where it is.

    With a ``view``, as that role is told it.
    """
    names = segment.manner.says
    if names == segment.usual.says:
        return ""
    if view is None or not view.says(segment):
        return (
            f"{own(names_words(names))} says it"
            if len(names) < 2
            else (f"{own(names_words(names))} say it")
        )
    if EVERYONE in names:
        return "all say it, you too"
    others = tuple(name for name in names if name != view.role)
    return f"you say it with {own(joined(others))}" if others else "you say it"


def usual_speaker(story: Story, role: str | None = None) -> str:
    """``"leader speaks the words"``, or ``"you speak the words"``."""
    names = story_manner(story).says
    if EVERYONE in names:
        return "all speak the words"
    if role in names and len(names) == 1:
        return "you speak the words"
    return f"{own(names_words(names))} speak{'s' if len(names) == 1 else ''} the words"


def with_whom(view: RoleView) -> str:
    """A partner's first task, in a sentence; empty for whoever is with nobody."""
    places = view.places()
    if not places:
        return ""
    return f"You are with {joined(places)}: that comes first. Tap only while you have a hand free."


def turns_words(story: Story, segment: Segment) -> str:
    """How many turns an offering has in all, and how long they take."""
    name = segment.prop or ""
    pupils = story.pupil_count
    at_a_time = story.turns_at_once(name)
    each = seconds_words(segment.turn_sec)
    if pupils == 1:
        return f"One turn, {each} or more, if the pupil wants it."
    at_once = f"{at_a_time} pupils" if at_a_time > 1 else "one pupil"
    turns = f"{segment.turns} turn{'s' if segment.turns != 1 else ''}"
    whole = seconds_words(segment.length_sec)
    return (
        f"{turns}, {at_once} at a time, {each} or more each turn: {whole} or more for all {pupils}."
        " Nobody has to."
    )
