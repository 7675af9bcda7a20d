"""Two versions of a story file, and the lines in which they differ."""

from difflib import SequenceMatcher

MOST = 16


def differences(mine: str, theirs: str) -> str:
    """Lines that differ, each with whose it is; the first few, and how many more there are."""
    ours, others = mine.splitlines(), theirs.splitlines()
    found: list[str] = []
    for what, i1, i2, j1, j2 in SequenceMatcher(None, ours, others, False).get_opcodes():
        if what != "equal":
            found += [f"yours, line {n + 1}: {ours[n].strip()}" for n in range(i1, i2)]
            found += [f"the file's, line {n + 1}: {others[n].strip()}" for n in range(j1, j2)]
    if not found:
        return "They say the same."
    more = len(found) - MOST
    return "\n".join(found[:MOST] + ([f"... and {more} more lines"] if more > 0 else []))
