"""English: the texts of all findings, and how English joins, counts and names."""

from fractions import Fraction

from tapscore.wording.about import LineName
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
from tapscore.wording.text import Language

KEYS: dict[str, tuple[str, str]] = {
    "key.accepted_where": ("`where:`", "the place it is kept for"),
    "key.areas": ("`areas:`", "areas of learning"),
    "key.by": ("`by:`", "“Who taps”"),
    "key.cautions": ("`cautions:`", "“Mind”"),
    "key.ceiling": ("`comfort:`", "“Nothing above”"),
    "key.handed_by": ("`handed by:`", "“Handed round by”"),
    "key.do": ("`do:`", "“What to do”"),
    "key.instead": ("`instead:`", "“Instead of it”"),
    "key.lane": ("`lane:`", "a rhythm"),
    "key.look_for": ("`look for:`", "“Look for”"),
    "key.prop_by": ("`by:` of the prop", "“Brought by”"),
    "key.prop_in": ("`prop in:`", "“Props in”"),
    "key.prop_out": ("`prop out:`", "“Props out”"),
    "key.seat": ("`seat:`", "“Sits”"),
    "key.sets": ("`sets:`", "“Sets”"),
    "key.stage": ("`stage:`", "“Pupils are”"),
    "key.warn_first": ("`warn first:`", "“Warn first”"),
    "key.warned_through": ("`warned through:`", "“Warned through”"),
    "mark.bar": ("bar line `|`", "bar line"),
    "mark.brackets": (
        "`[` with `]` and every `{` with `}`",
        "bracket with one of its own kind",
    ),
    "mark.silence": ("`.`", "an empty step"),
}
"""What the story file calls a thing, and what the window does."""

LOUDNESS = ("very quiet", "quiet", "medium", "loud", "very loud")


def _plural(number: int | float | Fraction) -> int:
    return 0 if number == 1 else 1


def _joined(names: tuple[str, ...], how: str) -> str:
    if how not in ("and", "or") or len(names) < 2:
        return ", ".join(names)
    return f"{', '.join(names[:-1])} {how} {names[-1]}"


def _quoted(name: str) -> str:
    return f"“{name}”"


def _line_name(name: LineName, inside: bool) -> str:
    if name.refrain is None:
        said = f"Line {name.number}"
    elif name.place is None:
        said = f"The refrain “{name.refrain}”"
    else:
        said = f"Line {name.place} of the refrain “{name.refrain}”"
    return said[0].lower() + said[1:] if inside else said


ENGLISH = Language(
    texts={
        **metre.TEXTS,
        **hands.TEXTS,
        **comfort.TEXTS,
        **shape.TEXTS,
        **props.TEXTS,
        **story.TEXTS,
        **making.TEXTS,
        **reader.TEXTS,
        **rehearsal.TEXTS,
    },
    keys=KEYS,
    loudness=LOUDNESS,
    plural=_plural,
    joined=_joined,
    quoted=_quoted,
    more_here=" There {more_here:is one more|are # more} of this kind in the line.",
    line_name=_line_name,
)
