"""Text as it is given to a voice: no syllable marks, numbers as words, letters alone."""

import re
import unicodedata

from tapscore.model.words import printed
from tapscore.words.line import written_out

_PAUSES = ",.;:!?"
_APOSTROPHES = str.maketrans({"\u2019": "'", "\u2018": "'", "\u02bc": "'"})
_EDGES = re.compile(rf"[^\w'{_PAUSES}]+")
_CLOSING = re.compile(rf"[^\w{_PAUSES}]\Z")


def cleaned(written: str, *, english: bool = True) -> str:
    """What a voice says for a written line; empty if there is nothing to say.

    Only letters, accents, apostrophes, figures (in other languages than English) and the
    marks of pauses are left, so nothing can be taken for a command to the program.
    """
    text = unicodedata.normalize("NFC", printed(written)).translate(_APOSTROPHES)
    words = (_word(word) for word in (written_out(text) if english else text).split())
    said = " ".join(word for word in words if word)
    return said if any(letter.isalnum() for letter in said) else ""


def _word(word: str) -> str:
    if any(c.isalnum() for c in word):
        while _CLOSING.search(word):
            word = word[:-1]
    pause = word[-1] if word and word[-1] in _PAUSES else ""
    core = word.rstrip(_PAUSES)
    kept = _EDGES.sub(" ", core).replace("_", " ").strip(f" '{_PAUSES}" if not pause else " ")
    return " ".join(kept.split()) + pause if any(c.isalnum() for c in kept) else ""
