"""Cut a word's letters into syllables where they are sung apart: but-ter-fly, hick-o-ry.

Given the letters that carry the syllables, one cut falls into each window between two of
them.  The rules follow American dictionaries' word division, which music engravers use.
"""

import itertools
from collections.abc import Sequence

VOWELS = frozenset("aeiouy")
_UNITS = ("tch", "dge", "sch", "ck", "ch", "sh", "th", "ph", "wh", "gh", "ng", "qu")
_ONSET_LETTERS = (
    "bl br ch chr cl cr dr dw fl fr gh gl gn gr kl kn kr ph phr pl pr ps qu rh sc sch scr "
    "sh shr sk sl sm sn sp sph spl spr squ st str sw th thr tr tw wh wr "
)
_ONSETS = frozenset(_ONSET_LETTERS.split())
_KEPT_WHOLE = frozenset(("ck", "ng", "x", "tch", "dge"))
_STEM_ENDINGS = frozenset(("ing", "ings", "ish", "est"))
_OWN_SYLLABLES = (
    "ly",
    "ness",
    "ful",
    "less",
    "ment",
    "some",
    "ward",
    "wards",
    "man",
    "land",
    "board",
    "body",
    "thing",
    "where",
    "time",
)


def units(letters: str) -> list[str]:
    """Consonant letters, with those that say one sound kept together: ``tch``, ``sh``."""
    found: list[str] = []
    at = 0
    while at < len(letters):
        unit = next((unit for unit in _UNITS if letters.startswith(unit, at)), letters[at])
        found.append(unit)
        at += len(unit)
    return found


def cut_window(word: str, left: int, right: int) -> int:
    """Where the syllable of the letter ``right`` begins.

    ``left`` and ``right`` are the places of two letters that carry a syllable, one after
    the other; the answer is greater than ``left`` and at most ``right``.
    """
    if word[right] not in VOWELS:
        return right
    if (
        word[right] == "e"
        and word[right - 1] == "l"
        and right - 1 > left
        and right + 2 >= len(word)
    ):
        return _cut_before_le(word, left, right)
    start = right
    while start > left + 1 and word[start - 1] not in VOWELS:
        start -= 1
    cluster = word[start:right]
    if not cluster:
        consonant_y = word[right - 1] == "y" and right - 2 > left and word[right - 2] not in VOWELS
        return right - 1 if consonant_y else right
    for ending in _OWN_SYLLABLES:
        if word.endswith(ending) and left < len(word) - len(ending) < right:
            return len(word) - len(ending)
    if word[start - 1] == "e" and start - 1 > left and word[start - 2] not in VOWELS:
        return start
    if word[right:] in _STEM_ENDINGS:
        return start + _kept_before_ending(cluster)
    if cluster == "r" and word[start - 1] == "e" and word[right:] in ("y", "ies"):
        return right
    if cluster == "ng" and word[right] in "eiy":
        return start + 1
    return start + _kept(cluster)


def _cut_before_le(word: str, left: int, right: int) -> int:
    """``ta-ble``, ``lit-tle``, ``pick-le``, ``cas-tle``, ``peo-ple``."""
    between = word[left + 1 : right - 1]
    if between.endswith("ck") or not between:
        return right - 1
    if between.endswith(("th", "ch", "ph")) and len(between) > 2:
        return right - 3
    return right - 2 if between[-1] not in VOWELS else right - 1


def _kept_before_ending(cluster: str) -> int:
    """Before ``-ing``: ``hop-ping``, ``fall-ing``, ``jump-ing``, ``tum-bling``, ``row-ing``."""
    if len(cluster) == 2 and cluster[0] == cluster[1]:
        return 2 if cluster in ("ll", "ss", "ff", "zz") else 1
    if len(cluster) > 1 and cluster[-1] == "l" and cluster[-2] not in "lrw":
        return len(cluster) - (1 if cluster.endswith("ckl") else 2)
    return len(cluster)


def _kept(cluster: str) -> int:
    """How many letters of the consonants between two vowels stay with the first."""
    parts = units(cluster)
    if len(parts) == 1:
        return len(cluster) if cluster in _KEPT_WHOLE else 0
    if len(parts) == 3 and parts[0] == parts[1] and parts[2] == "l":
        return 1
    for keep in range(len(parts)):
        onset = "".join(parts[keep:])
        if keep == 0 and (parts[0] == "s" or parts[0] == parts[1]):
            continue
        if onset in _ONSETS or keep == len(parts) - 1:
            return len(cluster) - len(onset)
    return len(cluster)


def cut(word: str, nuclei: Sequence[int]) -> tuple[int, ...]:
    """Places where syllables after the first begin; ``word`` in small letters."""
    return tuple(cut_window(word, left, right) for left, right in itertools.pairwise(nuclei))


def apart(written: str, cuts: Sequence[int]) -> tuple[str, ...]:
    """The written word's syllables, given where the later ones begin."""
    places = (0, *cuts, len(written))
    return tuple(written[a:b] for a, b in itertools.pairwise(places))
