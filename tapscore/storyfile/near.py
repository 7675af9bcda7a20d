"""A guess at what was meant, for names that are not known."""

from collections.abc import Iterable

from tapscore.wording.catalogue import say

_MEANT = {
    **dict.fromkeys(("soft", "softly", "gentle", "gently", "quietly", "piano", "low"), "quiet"),
    **dict.fromkeys(("whisper", "whispered", "softest", "pianissimo", "silent"), "very quiet"),
    **dict.fromkeys(("normal", "middling", "usual", "moderate", "mezzo"), "medium"),
    **dict.fromkeys(("strong", "hard", "loudly", "forte", "big", "noisy"), "loud"),
    **dict.fromkeys(("loudest", "fortissimo", "hardest"), "very loud"),
    **dict.fromkeys(("fist", "knuckle", "knock", "rap"), "knuckles"),
    **dict.fromkeys(("palm", "slap", "whole hand", "hand", "open hand", "pat"), "flat hand"),
    **dict.fromkeys(("nails", "nail", "fingernails", "claw"), "scratch"),
    **dict.fromkeys(("brush", "rub", "wipe", "slide", "stroke"), "sweep"),
    **dict.fromkeys(("finger", "fingers", "tips", "fingertip", "one finger"), "fingertips"),
    **dict.fromkeys(("heel", "thump", "heel of the hand"), "heel of hand"),
    **dict.fromkeys(("all", "everybody", "both", "all adults", "team"), "everyone"),
}
"""Words that are often written for those that the file knows, however they are spelt."""


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known name that is most like a word; None where none is near."""
    by_folded = {name.casefold(): name for name in known}
    meant = _MEANT.get(word.casefold().strip())
    if meant in by_folded:
        return by_folded[meant]
    from difflib import get_close_matches  # a millisecond, for mistakes alone

    near = get_close_matches(word.casefold()[:80], by_folded, n=1, cutoff=0.6)
    return by_folded[near[0]] if near else None


def did_you_mean(word: str, known: Iterable[str]) -> str:
    """``" Did you mean `quiet`?"``, or nothing where no name is near."""
    near = nearest(word, known)
    return say(" Did you mean `{near}`?", near=near) if near is not None else ""


def listed(words: Iterable[str]) -> str:
    """Words in quotes with commas, for a remedy."""
    return ", ".join(f"`{word}`" for word in words)
