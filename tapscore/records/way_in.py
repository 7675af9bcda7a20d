"""What a way-in sheet asks: how one pupil meets the story.  No diagnosis stands on it.

The questions are common practice in special schools (no source).
"""

from attrs import frozen


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
    "Position",
    "Greeting and cues",
    "What answers look like",
    "To mind",
    "Agreed",
)
WAY_IN = (
    WayField("on", "On the board", POSITION, hint="lying on the back, head to the door"),
    WayField("beside", "Beside the board", POSITION),
    WayField("table", "On a table or tray", POSITION),
    WayField("frame", "In a standing frame or chair", POSITION),
    WayField("change", "When to change position", POSITION, hint="after the second refrain"),
    WayField("sits_with", "Who sits with the pupil", POSITION),
    WayField("touch", "By touch", GREETING, hint="a hand on the left shoulder, then wait"),
    WayField("sound", "By sound", GREETING),
    WayField("sight", "By sight", GREETING),
    WayField("hands", "Hands under, not over", GREETING, hint="offer a hand palm up, underneath"),
    WayField("wait", "Usual wait", GREETING, hint="20 seconds, sometimes a minute"),
    WayField("yes", "“Yes” looks like", ANSWERS),
    WayField("more", "“More” looks like", ANSWERS),
    WayField("stop", "“Stop” looks like", ANSWERS),
    WayField("no_more", "“No more” looks like", ANSWERS),
    WayField("likes", "Likes", ANSWERS, 2),
    WayField("not_today", "Not today", CARE, 2, "no silk on the face"),
    WayField("equipment", "Equipment to mind", CARE, 2, "the tube on the left stays clear"),
    WayField("agreed_with", "Agreed with", AGREED),
    WayField("agreed_on", "Agreed on", AGREED),
    WayField("review", "Look at it again on", AGREED),
)
GROUPS = tuple(dict.fromkeys(field.group for field in WAY_IN))
