"""File names made from a story's title or a role: plain letters, figures and hyphens; endings."""

import re
import unicodedata

STORY_ENDINGS = (".tapscore", ".yaml", ".yml")
"""The first is tapscore's own: a double click on it opens the story; inside all are the same."""
_MOST_CHARACTERS, _MOST_BYTES = 60, 75
"""Two such names and an ending stay under the 255 bytes that discs take, whatever the script."""
_RESERVED = re.compile(r"(?:con|prn|aux|nul|conin|conout|com[0-9]|lpt[0-9])\Z")
"""Devices on Windows, with any ending ("Naming Files, Paths, and Namespaces", Microsoft)."""

_SIGNS = re.compile(r'[<>:"/\\|?*]')


def is_for_every_system(name: str) -> bool:
    """Whether a file or folder may be called so on Windows, too."""
    if not name.isprintable() or _SIGNS.search(name) or name.endswith((" ", ".")):
        return False
    return not _RESERVED.match(name.split(".", maxsplit=1)[0].strip().casefold())


def slug(text: str, otherwise: str = "story") -> str:
    """``"The Lantern Boat"`` as ``"the-lantern-boat"``; other scripts keep their letters.

    Fit for every system: no marks, bounded in letters and in bytes, no device's name.
    """
    folded = unicodedata.normalize("NFKD", text).casefold()
    bare = "".join(c for c in folded if not unicodedata.combining(c))
    name = re.sub(r"[\W_]+", "-", bare).strip("-")[:_MOST_CHARACTERS]
    while len(name.encode("utf-8", "replace")) > _MOST_BYTES:
        name = name[:-1]
    name = name.strip("-") or otherwise
    return f"{name}-{otherwise}" if _RESERVED.match(name) else name
