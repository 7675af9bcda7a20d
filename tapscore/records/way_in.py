"""What a way-in sheet asks: how one pupil meets the story.  No diagnosis stands on it.

The questions are common practice in special schools (no source).
"""

from attrs import frozen

from tapscore.wording.catalogue import say


@frozen
class WayField:
    """One question of the sheet."""

    key: str
    label: str
    group: str
    lines: int = 1
    """Lines to write on where it is blank."""
    hint: str = ""


POSITION, GREETING, ANSWERS, CARE, AGREED = (
    say("Position"),
    say("Greeting and cues"),
    say("What answers look like"),
    say("To mind"),
    say("Agreed"),
)
WAY_IN = (
    WayField("on", say("On the board"), POSITION, hint=say("lying on the back, head to the door")),
    WayField("beside", say("Beside the board"), POSITION),
    WayField("table", say("On a table or tray"), POSITION),
    WayField("frame", say("In a standing frame or chair"), POSITION),
    WayField(
        "change", say("When to change position"), POSITION, hint=say("after the second refrain")
    ),
    WayField("sits_with", say("Who sits with the pupil"), POSITION),
    WayField(
        "touch", say("By touch"), GREETING, hint=say("a hand on the left shoulder, then wait")
    ),
    WayField("sound", say("By sound"), GREETING),
    WayField("sight", say("By sight"), GREETING),
    WayField(
        "hands",
        say("Hands under, not over"),
        GREETING,
        hint=say("offer a hand palm up, underneath"),
    ),
    WayField("wait", say("Usual wait"), GREETING, hint=say("20 seconds, sometimes a minute")),
    WayField("yes", say("“Yes” looks like"), ANSWERS),
    WayField("more", say("“More” looks like"), ANSWERS),
    WayField("stop", say("“Stop” looks like"), ANSWERS),
    WayField("no_more", say("“No more” looks like"), ANSWERS),
    WayField("likes", say("Likes"), ANSWERS, 2),
    WayField("not_today", say("Not today"), CARE, 2, say("no silk on the face")),
    WayField(
        "equipment", say("Equipment to mind"), CARE, 2, say("the tube on the left stays clear")
    ),
    WayField("agreed_with", say("Agreed with"), AGREED),
    WayField("agreed_on", say("Agreed on"), AGREED),
    WayField("review", say("Look at it again on"), AGREED),
)
GROUPS = tuple(dict.fromkeys(field.group for field in WAY_IN))
