"""Syllables of words in other scripts than Latin, counted the plain way.

Greek and Cyrillic have vowel letters; Hangul, kana and Chinese characters are a syllable
each; where the script writes no vowels (Hebrew, Arabic) the word stays whole, and the
teacher can cut it with hyphens.
"""

import itertools
import unicodedata

_VOWELS = frozenset("аеёиоуыэюяієїαεηιουω")
_NO_VOWELS = frozenset("йў")
"""Consonants that are written as a vowel with a mark."""
_SMALL_KANA = frozenset("ゃゅょャュョぁぃぅぇぉァィゥェォっッー")


def _base(letter: str) -> str:
    small = letter.lower()
    return small if small in _NO_VOWELS else unicodedata.normalize("NFD", letter)[0].lower()


def _stands_alone(letter: str) -> bool:
    if letter in _SMALL_KANA:
        return False
    name = unicodedata.name(letter, "")
    return name.startswith(("CJK UNIFIED", "HANGUL SYLLABLE", "HIRAGANA", "KATAKANA"))


def script_cuts(word: str) -> tuple[int, ...] | None:
    """Where the later syllables begin, or None where the script does not show them."""
    if any(_stands_alone(letter) for letter in word):
        return tuple(at for at in range(1, len(word)) if _stands_alone(word[at]))
    places = [at for at, letter in enumerate(word) if _base(letter) in _VOWELS]
    nuclei = [
        at for at in places if "CYRILLIC" in unicodedata.name(word[at], "") or at - 1 not in places
    ]
    if not nuclei:
        return None
    cuts = []
    for left, right in itertools.pairwise(nuclei):
        cuts.append(right if right == left + 1 else right - 1)
    return tuple(cuts)
