"""Letters as the dictionary knows them: small, plain a-z, straight apostrophes."""

import unicodedata

_APOSTROPHES = str.maketrans({"’": "'", "‘": "'", "ʼ": "'", "`": "'", "´": "'", "＇": "'"})
_WITHOUT_MARKS = str.maketrans(
    {
        "ł": "l",
        "Ł": "L",
        "ø": "o",
        "Ø": "O",
        "đ": "d",
        "Đ": "D",
        "ð": "d",
        "Ð": "D",
        "ı": "i",
    }
)
INVISIBLE = frozenset(
    "\u200b\u200c\u200d\u2060\ufeff\u00ad\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
)


def plain(letter: str) -> str:
    """One letter without accents, small: ``é`` to ``e``; one character stays one.

    Ligatures such as ``æ`` give their first letter; other scripts stay as they are.
    """
    translated = letter.translate(_APOSTROPHES).translate(_WITHOUT_MARKS)
    if translated in ("æ", "Æ"):
        return "a"
    if translated in ("œ", "Œ"):
        return "o"
    if translated == "ß":
        return "s"
    base = unicodedata.normalize("NFKD", translated)[:1].lower()
    if base.isascii() and len(base) == 1:
        return base
    small = translated.lower()
    return small if len(small) == 1 else translated[:1]


def plain_word(written: str) -> str:
    """A word's letters made plain, as many characters as were written."""
    if written.isascii():
        return written.lower().replace("`", "'")
    return "".join(plain(letter) for letter in written)
