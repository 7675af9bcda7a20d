"""Syllables and stress of a word, for British voices.

What the teacher wrote goes first: hyphens in the word, then the story's glossary; then
the British exceptions, the dictionary, words made of known words, and at last a guess
from the letters.
"""

import re
from collections.abc import Mapping

from attrs import frozen

from tapscore.words.derive import Shape
from tapscore.words.guess import guess_nuclei, guess_stresses, shipped_weights
from tapscore.words.letters import plain_word
from tapscore.words.lookup import shape_of
from tapscore.words.split import VOWELS, apart, cut
from tapscore.words.weak_words import is_unstressed

WRITTEN = "written"
GLOSSARY = "glossary"


_NO_GLOSSARY: Mapping[str, str] = {}


@frozen
class Pronunciation:
    """A word's syllables, their stresses and where they come from.

    ``syllables`` are the written letters; joined they give the word back, without the
    hyphens that only cut.  ``stresses``: 0 none, 1 primary, 2 secondary.  ``source`` is one
    of written, glossary, british, dictionary, derived, guess, sound (``Shhh``) and unread
    (a script whose syllables cannot be seen).
    """

    syllables: tuple[str, ...]
    stresses: tuple[int, ...]
    source: str


def pronounce(word: str, glossary: Mapping[str, str] = _NO_GLOSSARY) -> Pronunciation:
    """Syllables and stresses of one written word (no spaces).

    ``glossary`` maps words in small letters to their syllables, the stressed one in
    capitals: ``{"higgledy": "HIG-gle-dy"}``.  An empty word gives no syllables.
    """
    if not word:
        return Pronunciation((), (), WRITTEN)
    inside = word.strip("-=")
    if "-" in inside or "=" in inside:
        return _hyphenated(word, glossary)
    key = plain_word(word)
    bare = key.strip("'")
    said = glossary.get(key) or glossary.get(bare) or glossary.get(word.lower())
    if said:
        return _respelt(word, said, GLOSSARY)
    shape, source = shape_of(key, capitals=word.isupper())
    if len(shape) == 1 and (is_unstressed(key) or is_unstressed(bare)):
        shape = ((shape[0][0], 0),)
    return _as_written(word, shape, source)


def _as_written(word: str, shape: Shape, source: str) -> Pronunciation:
    cuts: list[int] = []
    at = 0
    for letters, _stress in shape[:-1]:
        at += letters
        cuts.append(at)
    return Pronunciation(apart(word, cuts), tuple(stress for _, stress in shape), source)


# --- what the teacher wrote -------------------------------------------------------------


def _hyphenated(word: str, glossary: Mapping[str, str]) -> Pronunciation:
    """``lan-tern`` cuts; ``merry=go=round`` cuts and keeps a hyphen at each place."""
    syllables: list[str] = []
    stresses: list[int] = []
    members = [member for part in re.split(r"=+|-{2,}", word) if (member := part.strip("-"))]
    for number, member in enumerate(members):
        said = _override(member) if "-" in member else pronounce(member, glossary)
        parts = list(said.syllables)
        if number + 1 < len(members):
            parts[-1] += "-"
        syllables += parts
        stresses += [2 if stress and number else stress for stress in said.stresses]
    if 1 not in stresses and 2 in stresses:
        stresses[stresses.index(2)] = 1
    return Pronunciation(tuple(syllables), tuple(stresses), WRITTEN)


def _override(member: str) -> Pronunciation:
    pieces = [piece for piece in member.split("-") if piece]
    whole = "".join(pieces)
    marked = marked_stresses(pieces)
    if marked is None:
        known = pronounce(whole)
        if len(known.syllables) == len(pieces):
            marked = known.stresses
        else:
            marked = _stresses_of_pieces(pieces)
    return Pronunciation(tuple(pieces), marked, WRITTEN)


def marked_stresses(pieces: list[str]) -> tuple[int, ...] | None:
    """Stresses shown by capitals, ``ba-NA-na``; None where capitals show nothing."""
    letters = [sum(sign.isalpha() for sign in piece) for piece in pieces]
    loud = [
        piece.isupper() and (letters[at] > 1 or at > 0) for at, piece in enumerate(pieces)
    ]  # a capital that begins a name (``O'-Bri-en``) marks nothing
    if not any(loud) or all(piece.isupper() for piece in pieces):
        return (1,) if len(pieces) == 1 and any(loud) else None
    first = loud.index(True)
    return tuple(1 if at == first else 2 if on else 0 for at, on in enumerate(loud))


def _stresses_of_pieces(pieces: list[str]) -> tuple[int, ...]:
    nuclei = []
    at = 0
    plain = plain_word("".join(pieces))
    for piece in pieces:
        inside = [n for n in range(at, at + len(piece)) if plain[n] in VOWELS]
        nuclei.append(inside[0] if inside else at)
        at += len(piece)
    return guess_stresses(plain, nuclei, shipped_weights())


def _respelt(word: str, said: str, source: str) -> Pronunciation:
    """Use a glossary's syllables; where they are spelt otherwise, their number and stress."""
    pieces = [piece for piece in re.split(r"[-\s]+", said) if piece]
    if not pieces:
        return Pronunciation((word,), (1,), source)
    stresses = marked_stresses(pieces)
    plain = plain_word(word)
    if plain_word("".join(pieces)) == plain:
        cuts = []
        at = 0
        for piece in pieces[:-1]:
            at += len(piece)
            cuts.append(at)
    else:
        count = min(len(pieces), len(word))
        pieces = pieces[:count]
        stresses = stresses[:count] if stresses else None
        cuts = list(cut(plain, guess_nuclei(plain, shipped_weights(), count)))
    if stresses is None:
        stresses = _stresses_of_pieces(pieces)
    return Pronunciation(apart(word, cuts), stresses, source)
