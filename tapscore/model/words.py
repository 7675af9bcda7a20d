"""Words as the teacher writes them, split where she splits them.

A hyphen divides syllables (``lan-tern``).  An equals sign divides them too and is printed
as a hyphen (``merry=go=round`` prints as merry-go-round), and so is a hyphen beside a part
with figures (``1-2-3``, ``12th-cen-tu-ry``); before a number it is a minus and divides nothing
(``-5``).  Marks without a letter or figure (a dash, a picture) are no syllable and go with the
syllable before them.
"""

import re
from functools import lru_cache

from attrs import frozen

_WORD = re.compile(r"\S+")
_PIECE = re.compile(r"(?:(?<![^\W_])-(?=[£$€]?\d))?[^-=]+|[-=]+")
_CUT = re.compile(r"(?<=[^-=])(?!(?<![^\W_])-[£$€]?\d)-(?=[^-=])")
_MARKS = re.compile(r"[-=]+")
_PAUSES = " ,;:"
_HYPHEN = re.compile(r"(?<=[^-=])-*=[-=]*(?=['’‘“(]*[^\W_])")


@frozen
class Syllable:
    """One spoken syllable with its place in the written line."""

    text: str
    """As printed, with the punctuation that belongs to it."""
    word: int
    """Which word of the line, from 0."""
    start: int
    """Column of its first character in the written line, from 0."""
    ends_word: bool


@lru_cache(maxsize=4096)
def split_words(written: str) -> tuple[Syllable, ...]:
    """Syllables of a written line, in order."""
    syllables: list[Syllable] = []
    word = 0
    for match in _WORD.finditer(written):
        text, start = match[0], match.start()
        if text.isalnum():
            syllables.append(Syllable(text, word, start, True))
            word += 1
            continue
        pieces = _pieces(text, start)
        if not pieces:
            _join_to_last(syllables, " " + text)
            continue
        for i, (text, start) in enumerate(pieces):
            syllables.append(Syllable(text, word, start, i == len(pieces) - 1))
        word += 1
    return tuple(syllables)


@lru_cache(maxsize=4096)
def printed(written: str) -> str:
    """The line as it reads in print: without the marks that divide syllables."""
    return " ".join(_printed_word(match[0]) for match in _WORD.finditer(written))


def quoted(written: str) -> str:
    """A line within a sentence: in quotation marks, without a pause's sign at its end."""
    return f"“{printed(written).rstrip(_PAUSES)}”"


def printed_words(syllables: tuple[Syllable, ...]) -> tuple[tuple[Syllable, ...], ...]:
    """Syllables gathered into their words."""
    words: list[list[Syllable]] = []
    for syllable in syllables:
        if not words or words[-1][-1].word != syllable.word:
            words.append([])
        words[-1].append(syllable)
    return tuple(tuple(word) for word in words)


def _printed_word(word: str) -> str:
    if not _is_said(word):
        return word
    cut = _CUT.sub(lambda hyphen: "-" if beside_figures(word, *hyphen.span()) else "", word)
    return _HYPHEN.sub("-", cut)


def beside_figures(word: str, start: int, end: int) -> bool:
    """Whether hyphens at those columns of a word part figures from what is beside them."""
    parts = (_MARKS.split(word[:start])[-1], _MARKS.split(word[end:])[0])
    return all(map(_is_said, parts)) and any(sign.isdigit() for part in parts for sign in part)


def _pieces(word: str, start: int) -> list[tuple[str, int]]:
    pieces: list[tuple[str, int]] = []
    for match in _PIECE.finditer(word):
        text, at = match[0], start + match.start()
        if not text.strip("-="):
            if pieces and (text != "-" or beside_figures(word, *match.span())):
                hyphen = "-" if _HYPHEN.match(word, match.start()) else text
                pieces[-1] = (pieces[-1][0] + hyphen, pieces[-1][1])
        elif _is_said(text):
            pieces.append((text, at))
        elif pieces:
            pieces[-1] = (pieces[-1][0] + text, pieces[-1][1])
        else:
            pieces.append((text, at))
    if len(pieces) > 1 and not _is_said(pieces[0][0]):
        pieces[:2] = [(pieces[0][0] + pieces[1][0], pieces[0][1])]
    return pieces if pieces and any(_is_said(text) for text, _ in pieces) else []


def _is_said(text: str) -> bool:
    return text.isalnum() or any(character.isalnum() for character in text)


def _join_to_last(syllables: list[Syllable], text: str) -> None:
    if syllables:
        last = syllables[-1]
        syllables[-1] = Syllable(last.text + text, last.word, last.start, last.ends_word)
