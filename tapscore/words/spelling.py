"""British spelling: which words the dictionary lacks, and what may have been meant.

The dictionary is the free en_GB one (``resources/spelling/``), read by Hunspell's own library.
What is no word of a dictionary is let be: figures, initials, drawn-out sounds (``Shhhh``).
"""

import re
from collections.abc import Collection, Iterable
from functools import cache
from threading import Lock
from typing import Any

from tapscore.resources import resource_path
from tapscore.words.word_classes import word_classes

MOST_SUGGESTED = 5
_WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)*")
_DRAWN_OUT = re.compile(r"(\w)\1\1", re.IGNORECASE)
_LEAST_LETTERS = 2
_ONE_AT_A_TIME = Lock()
"""Hunspell is no work for two threads at once: the window's asks for suggestions."""


def words_in(text: str) -> tuple[str, ...]:
    """The words of a text that a dictionary may know, as they are written there."""
    return tuple(
        word
        for word in _WORD.findall(text)
        if len(word) >= _LEAST_LETTERS and not _DRAWN_OUT.search(word)
    )


def plain_word(word: str) -> str:
    """A word as it is compared: small letters, a straight apostrophe."""
    return word.replace("’", "'").casefold()


def unknown_words(texts: Iterable[str], own: Collection[str] = ()) -> frozenset[str]:
    """The words (plain) of these texts that neither the dictionary nor ``own`` has.

    Nothing where the dictionary can't be read: then nothing is marked.  Sounds that stories
    are full of (*pitter*, *plip*) are no dictionary's words and right all the same.
    """
    known = {plain_word(word) for word in own}
    known |= {word for word, kind in word_classes().items() if kind == "sound"} | _nursery()
    found: set[str] = set()
    right: set[str] = set()
    for text in texts:
        for word in words_in(text):
            plain = plain_word(word)
            if plain in known or plain in right or word in right:
                continue
            if _is_right(word):
                right.add(word)
            else:
                found.add(plain)
    # Written with a capital a word may be a name, and right in that way alone.
    return frozenset(found - {plain_word(word) for word in right})


@cache
def _nursery() -> frozenset[str]:
    text = resource_path("spelling/nursery.txt").read_text(encoding="utf-8")
    lines = (line for line in text.splitlines() if not line.startswith("#"))
    return frozenset(word for line in lines for word in line.split())


@cache
def suggestions(word: str) -> tuple[str, ...]:
    """What may have been meant, the likeliest first; with a capital where the word has one."""
    hunspell = _hunspell()
    with _ONE_AT_A_TIME:
        return () if hunspell is None else tuple(hunspell.suggest(word))[:MOST_SUGGESTED]


def _is_right(word: str) -> bool:
    hunspell = _hunspell()
    if hunspell is None:
        return True
    straight = word.replace("’", "'")
    with _ONE_AT_A_TIME:
        return _spelt(hunspell, straight)


def _spelt(hunspell: Any, straight: str) -> bool:
    return bool(hunspell.spell(straight)) or bool(hunspell.spell(straight.removesuffix("'s")))


@cache
def _hunspell() -> Any:
    """Hunspell with the dictionary; None where either is missing."""
    try:
        from hunspell import Hunspell  # type: ignore[import-untyped]

        folder = resource_path("spelling/en_GB.dic").parent
        return Hunspell("en_GB", hunspell_data_dir=str(folder))
    except (ImportError, OSError):
        return None
