"""File names made from a story's title or a role: plain letters, figures and hyphens."""

import re
import unicodedata


def slug(text: str, otherwise: str = "story") -> str:
    """``"The Lantern Boat"`` as ``"the-lantern-boat"``; other scripts keep their letters."""
    folded = unicodedata.normalize("NFKD", text).casefold()
    bare = "".join(c for c in folded if not unicodedata.combining(c))
    return re.sub(r"[\W_]+", "-", bare).strip("-")[:60].strip("-") or otherwise
