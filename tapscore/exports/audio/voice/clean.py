"""Text as it is given to a voice: no syllable marks, numbers as words, letters alone."""

import re
import unicodedata

from tapscore.model.words import printed
from tapscore.words.spoken import needs_words, spoken_words

_PAUSES = ",.;:!?"
_APOSTROPHES = str.maketrans({"\u2019": "'", "\u2018": "'", "\u02bc": "'"})
_EDGES = re.compile(rf"[^\w'{_PAUSES}]+")
_CLOSING = re.compile(rf"[^\w{_PAUSES}]\Z")


def cleaned(written: str, *, english: bool = True) -> str:
    """What a voice says for a written line; empty if there is nothing to say.

    Only letters, accents, apostrophes, figures (in other languages than English) and the
    marks of pauses are left, so nothing can be taken for a command to the program.
    """
    words = (_word(word, english=english) for word in printed(written).split())
    said = " ".join(word for word in words if word)
    return said if any(letter.isalnum() for letter in said) else ""


def _word(word: str, *, english: bool) -> str:
    word = unicodedata.normalize("NFC", word).translate(_APOSTROPHES)
    if any(c.isalnum() for c in word):
        # a sign that is said stays, as in “5°”
        while _CLOSING.search(word) and not needs_words(word[-1]):
            word = word[:-1]
    pause = word[-1] if word and word[-1] in _PAUSES else ""
    core = word.rstrip(_PAUSES)
    if english and pause == "." and core.isalpha() and needs_words(core):
        pause = ""  # “Mr.” ends no sentence
    if english and needs_words(core):
        core = " ".join(spoken_words(core))
    kept = _EDGES.sub(" ", core).replace("_", " ").strip(f" '{_PAUSES}" if not pause else " ")
    return " ".join(kept.split()) + pause if any(c.isalnum() for c in kept) else ""
