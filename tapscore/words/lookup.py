"""What is known of a word without marks of the teacher's: its syllables and their stress.

British exceptions, the dictionary, words made of known words, and at last a guess from the
letters; with apostrophes, drawn-out letters and sounds that have no vowel.
"""

import re
from collections.abc import Mapping
from functools import cache, lru_cache

from tapscore.resources import resource_path
from tapscore.words.derive import Shape, british_twins, derive
from tapscore.words.guess import guess_nuclei, guess_stresses, shipped_weights
from tapscore.words.scripts import script_cuts
from tapscore.words.split import VOWELS, apart, cut
from tapscore.words.stress_table import shipped_table

BRITISH = "british"
DICTIONARY = "dictionary"
DERIVED = "derived"
GUESS = "guess"
SOUND = "sound"
UNREAD = "unread"

_SOUNDS = re.compile(
    r"(?:p?s+h+|m+|h+m+|m+h+m+|b+r+|g+r+|p+s+t+|p+f+t*|p+h+t*|z+|t+s+k*|n+g*|h+|v+r+m*)\Z"
)
_STRETCHED = re.compile(r"(.)\1{2,}")
_CLEAN = re.compile(r"'*[a-z]+(?:'+[a-z]*)*\Z")
_HISS = ("s", "x", "z", "ch", "sh", "ce", "ge", "se", "ze")


@cache
def british_exceptions() -> Mapping[str, str]:
    """The readable file ``resources/words/british.txt``: word to syllables."""
    lines = resource_path("words/british.txt").read_text(encoding="utf-8").splitlines()
    pairs = (line.partition(":") for line in lines if line.strip() and not line.startswith("#"))
    return {word.strip(): said.strip() for word, _, said in pairs}


def _british(key: str) -> Shape | None:
    said = british_exceptions().get(key)
    if said is None:
        return None
    return tuple((len(piece), int(piece.isupper())) for piece in said.split("-"))


def _known(key: str) -> Shape | None:
    return _british(key) or shipped_table().find(key)


@lru_cache(maxsize=8192)
def shape_of(key: str, *, capitals: bool = False) -> tuple[Shape, str]:
    """Shape of a plain word (small letters) and where it comes from.

    ``capitals``: the word was written in capitals, as ``TV`` is.
    """
    found = _looked_up(key)
    if found is not None:
        return found
    if not (key.isascii() and key.isalpha()):
        return _with_apostrophe(key) if _CLEAN.match(key) else _mixed(key)
    if not any(letter in VOWELS for letter in key):
        return _vowelless(key, capitals=capitals)
    return _squeezed(key) if _STRETCHED.search(key) else _unknown(key)


def _looked_up(key: str) -> tuple[Shape, str] | None:
    shape = _british(key)
    if shape:
        return shape, BRITISH
    shape = shipped_table().find(key)
    return (shape, DICTIONARY) if shape else None


def _unknown(key: str) -> tuple[Shape, str]:
    shape = derive(key, _known)
    if shape:
        return shape, DERIVED
    weights = shipped_weights()
    for twin in british_twins(key):
        shape = shipped_table().find(twin)
        if shape and len(shape) <= len(key):
            cuts = cut(key, guess_nuclei(key, weights, len(shape)))
            return _shaped(key, cuts, [stress for _, stress in shape]), DERIVED
    nuclei = guess_nuclei(key, weights)
    return _shaped(key, cut(key, nuclei), guess_stresses(key, nuclei, weights)), GUESS


def _shaped(key: str, cuts: tuple[int, ...], stresses: tuple[int, ...] | list[int]) -> Shape:
    pieces = apart(key, cuts)
    return tuple((len(piece), stress) for piece, stress in zip(pieces, stresses, strict=True))


def _vowelless(key: str, *, capitals: bool) -> tuple[Shape, str]:
    """``Shhh`` is one sound; ``TV`` is two letters' names; Welsh ``cwm`` is one syllable."""
    if capitals and 2 <= len(key) <= 5 and not _SOUNDS.match(key):
        return (*((1, 2) for _ in key[:-1]), (1, 1)), SOUND
    return ((len(key), 1),), SOUND


def _squeezed(key: str) -> tuple[Shape, str]:
    """``Sooo`` as ``so``, ``wheee`` as ``whee``: long letters are one sound."""
    for size in (1, 2):
        short, places = _shorten(key, size)
        found = _looked_up(short)
        if found:
            break
    else:
        short, places = _shorten(key, 2)
        found = shape_of(short)
    cuts: list[int] = []
    at = 0
    for letters, _stress in found[0][:-1]:
        at += letters
        cuts.append(places[at])
    return _shaped(key, tuple(cuts), [stress for _, stress in found[0]]), found[1]


def _shorten(key: str, size: int) -> tuple[str, list[int]]:
    short: list[str] = []
    places: list[int] = []
    run = 0
    for at, letter in enumerate(key):
        run = run + 1 if at and key[at - 1] == letter else 1
        stretched = key[max(0, at - run + 1) :].startswith(letter * 3)
        if run <= size or not stretched:
            short.append(letter)
            places.append(at)
    return "".join(short), places


def _with_apostrophe(key: str) -> tuple[Shape, str]:
    """``Jack's``, ``fox's``, ``o'clock``, ``runnin'``: the mark goes with a syllable."""
    start = len(key) - len(key.lstrip("'"))
    if start:
        shape, source = shape_of(key[start:]) if key[start:] else (((0, 1),), SOUND)
        return ((shape[0][0] + start, shape[0][1]), *shape[1:]), source
    if key.endswith("'"):
        shape, source = shape_of(key.rstrip("'"))
        return _longer(shape, len(key) - len(key.rstrip("'"))), source
    stem, _, tail = key.rpartition("'")
    shape, source = shape_of(stem)
    if tail == "s" and stem.endswith(_HISS):
        return (*shape, (2, 0)), source
    if any(letter in VOWELS for letter in tail):
        after, _ = shape_of(tail)
        return (*_longer(shape, 1), *((n, 0) for n, _ in after)), source
    if tail == "t" and len(stem) > 2 and stem[-1] == "n" and stem[-2] not in VOWELS:
        shape, source = shape_of(stem[:-1])
        return (*shape, (3, 0)), source
    if tail in ("ll", "d", "re", "ve") and stem[-1] not in VOWELS:
        return (*shape, (1 + len(tail), 0)), source
    return _longer(shape, 1 + len(tail)), source


def _longer(shape: Shape, letters: int) -> Shape:
    return (*shape[:-1], (shape[-1][0] + letters, shape[-1][1]))


def _mixed(key: str) -> tuple[Shape, str]:
    """Marks or digits among the letters, or another script than a-z."""
    places = [at for at, letter in enumerate(key) if "a" <= letter <= "z"]
    if places:
        shape, source = shape_of("".join(key[at] for at in places))
        cuts = []
        at = 0
        for letters, _stress in shape[:-1]:
            at += letters
            cuts.append(places[at])
        return _shaped(key, tuple(cuts), [stress for _, stress in shape]), source
    found = script_cuts(key)
    if found is None:
        return ((len(key), 1),), UNREAD
    return _shaped(key, found, [1] + [0] * len(found)), GUESS
