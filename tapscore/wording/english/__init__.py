"""The texts of all findings, in English: what the catalogue is asked for."""

from tapscore.wording.catalogue import say
from tapscore.wording.english import (
    comfort,
    hands,
    making,
    metre,
    props,
    reader,
    rehearsal,
    shape,
    story,
)
from tapscore.wording.grammar import quoted
from tapscore.wording.text import Text

LABELS: dict[str, str] = {
    "areas": say("areas of learning"),
    "by": say("Who taps"),
    "cautions": say("Mind"),
    "comfort": say("Nothing above"),
    "do": say("What to do"),
    "handed by": say("Handed round by"),
    "instead": say("Instead of it"),
    "lane": say("a rhythm"),
    "look for": say("Look for"),
    "prop in": say("Props in"),
    "prop out": say("Props out"),
    "seat": say("Sits"),
    "sets": say("Sets"),
    "stage": say("Pupils are"),
    "warn first": say("Warn first"),
    "warned through": say("Warned through"),
    "where": say("the place it is kept for"),
}
"""What the window calls what the story file calls a key."""


def _key(name: str) -> tuple[str, str]:
    return f"`{name}:`", quoted(LABELS[name])


KEYS: dict[str, tuple[str, str]] = {
    "key.accepted_where": ("`where:`", LABELS["where"]),
    "key.areas": ("`areas:`", LABELS["areas"]),
    "key.by": _key("by"),
    "key.cautions": _key("cautions"),
    "key.ceiling": _key("comfort"),
    "key.handed_by": _key("handed by"),
    "key.do": _key("do"),
    "key.instead": _key("instead"),
    "key.lane": ("`lane:`", LABELS["lane"]),
    "key.look_for": _key("look for"),
    "key.prop_by": (say("`by:` of the prop"), quoted(say("Brought by"))),
    "key.prop_in": _key("prop in"),
    "key.prop_out": _key("prop out"),
    "key.seat": _key("seat"),
    "key.sets": _key("sets"),
    "key.stage": _key("stage"),
    "key.warn_first": _key("warn first"),
    "key.warned_through": _key("warned through"),
    "mark.bar": (say("bar line `|`"), say("bar line")),
    "mark.brackets": (
        say("`[` with `]` and every `{` with `}`"),
        say("bracket with one of its own kind"),
    ),
    "mark.silence": ("`.`", say("an empty step")),
}
"""Keys and marks by their names in texts: in the file, in the window."""

TEXTS: dict[str, Text] = {
    **metre.TEXTS,
    **hands.TEXTS,
    **comfort.TEXTS,
    **shape.TEXTS,
    **props.TEXTS,
    **story.TEXTS,
    **making.TEXTS,
    **reader.TEXTS,
    **rehearsal.TEXTS,
}
"""By code, or ``code/case`` where a code has several cases."""
