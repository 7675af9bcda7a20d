"""Adults as they are typed: one on a line, or with commas between."""

import re

from tapscore.model.day import Day
from tapscore.model.story import Story
from tapscore.storyfile.day_file import read_day
from tapscore.workflow.today.day_beside import day_text

NOBODY = "Write who is here first: initials are enough, one adult on each line."


def typed_adults(text: str) -> tuple[str, ...]:
    """The names in a text, as often as they stand there."""
    return tuple(name for part in re.split(r"[,;\n]", text) if (name := " ".join(part.split())))


def trouble_with(story: Story, adults: tuple[str, ...], takes: dict[str, str]) -> str | None:
    """What must be put right before a day can be used, in a sentence; None if nothing."""
    if not adults:
        return NOBODY
    seen: dict[str, str] = {}
    for name in adults:
        if name.casefold() in seen:
            return (
                f"“{name}” is there twice. If they are two people, write them differently, "
                f"such as {name} 1 and {name} 2."
            )
        seen[name.casefold()] = name
    for role, adult in takes.items():
        if adult not in adults:
            return f"{adult} takes {role} but is not here: choose somebody else for {role}."
    found = read_day(day_text(Day(adults, tuple(takes.items()))), story).findings
    return f"{found[0].message} {found[0].remedy}" if found else None
