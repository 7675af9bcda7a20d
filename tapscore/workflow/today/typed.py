"""Adults as they are typed: one on a line, or with commas between."""

import re

from tapscore.model.day import Day
from tapscore.model.story import Story
from tapscore.storyfile.day_file import read_day
from tapscore.wording.catalogue import say
from tapscore.workflow.today.day_beside import day_text

LONGEST_COUNT = 6
NOBODY = say("Write who is here first: initials are enough, one adult on each line.")


def typed_adults(text: str) -> tuple[str, ...]:
    """The names in a text, as often as they stand there."""
    return tuple(name for part in re.split(r"[,;\n]", text) if (name := " ".join(part.split())))


def typed_pupils(text: str) -> tuple[tuple[str, ...] | None, int | None]:
    """Places, or a number of pupils, in a text: ``A, C`` or ``3``; neither where it is empty."""
    names = tuple(dict.fromkeys(re.split(r"[\s,;]+", text.strip()))) if text.strip() else ()
    match names:
        case ():
            return None, None
        case (count,) if count.isdecimal() and len(count) < LONGEST_COUNT:
            return None, int(count)
    return names, None


def pupils_text(day: Day) -> str:
    """How ``typed_pupils`` would have been typed."""
    if day.places is not None:
        return ", ".join(day.places)
    return "" if day.pupils is None else str(day.pupils)


def trouble_with(story: Story, day: Day) -> str | None:
    """What must be put right before a day can be used, in a sentence; None if nothing."""
    adults, takes = day.here, dict(day.takes)
    if not adults:
        return NOBODY
    seen: dict[str, str] = {}
    for name in adults:
        if name.casefold() in seen:
            return say(
                "“{name}” is there twice. If they are two people, write them differently, such as "
                "{name} 1 and {name} 2.",
                name=name,
            )
        seen[name.casefold()] = name
    for role, adult in takes.items():
        if adult not in adults:
            return say(
                "{adult} takes {role} but is not here: choose somebody else for {role}.",
                adult=adult,
                role=role,
            )
    found = read_day(day_text(day), story).findings
    return f"{found[0].message} {found[0].remedy}" if found else None
