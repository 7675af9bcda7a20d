"""A guess at what was meant, for names that are not known."""

from collections.abc import Iterable
from difflib import get_close_matches


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known name that is most like a word; None where none is near."""
    by_folded = {name.casefold(): name for name in known}
    near = get_close_matches(word.casefold()[:80], by_folded, n=1, cutoff=0.6)
    return by_folded[near[0]] if near else None


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """``" Did you mean `quiet`?"``, or nothing where no name is near."""
    near = nearest(word, known)
    return f" Did you mean `{near}`?" if near is not None else ""


def listed(words: Iterable[str]) -> str:
    """Words in quotes with commas, for a remedy."""
    return ", ".join(f"`{word}`" for word in words)
