"""Two versions of a story file, and the lines in which they differ."""

from difflib import SequenceMatcher

from tapscore.wording.catalogue import say

MOST = 16


def differences(mine: str, theirs: str) -> str:
    """Lines that differ, each with whose it is; the first few, and how many more there are."""
    ours, others = mine.splitlines(), theirs.splitlines()
    found: list[str] = []
    for what, i1, i2, j1, j2 in SequenceMatcher(None, ours, others, False).get_opcodes():
        if what != "equal":
            found += [
                say("yours, line {number}: {words}", number=n + 1, words=ours[n].strip())
                for n in range(i1, i2)
            ]
            found += [
                say("the file's, line {number}: {words}", number=n + 1, words=others[n].strip())
                for n in range(j1, j2)
            ]
    if not found:
        return say("They say the same.")
    more = len(found) - MOST
    return "\n".join(
        found[:MOST] + ([say("... and {more} more lines", more=more)] if more > 0 else [])
    )
