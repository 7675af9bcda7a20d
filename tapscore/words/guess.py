"""Syllables and stress of words that stand in no dictionary, from their letters alone.

Three linear models, trained by ``tests.training.guess_model``: which letters carry a
syllable (a chain, each letter judged with the two before it: Lafferty, McCallum and Pereira
2001, "Conditional random fields"), which of these has the primary stress, which a secondary
one.  What is seen around a letter has no name but a checksum, and its weight is one byte in
a table at that place (Weinberger and others 2009, "Feature hashing").
"""

import zlib
from collections.abc import Sequence
from functools import cache
from zlib import crc32

from attrs import frozen

from tapscore.resources import resource_path
from tapscore.words.split import VOWELS

Table = Sequence[int]
"""One small number for every checksum; its length is a power of two."""

SLOTS = (1 << 20, 1 << 20, 1 << 17)
"""How many weights the three tables have."""

HISTORIES = 4
"""Whether the last two letters judged carry a syllable, as a number of two bits."""

_EDGE = "^^^^^^"
_WINDOWS = tuple(
    (start, end, crc32(f"window {start} {end}".encode()))
    for start in range(-4, 2)
    for end in range(7)
    if 2 <= end - start <= 6 and (start <= 0 <= end or start == 1)
)
_NEAR = (
    *((-1, 1), (-2, 1), (-3, 1), (-1, 2), (0, 2), (0, 3)),
    *((-2, 3), (-3, 3), (0, 4), (-1, 4), (-2, 4), (0, 5)),
)


@frozen
class Weights:
    """The tables of the three models."""

    nuclei: Table
    primary: Table
    secondary: Table


@cache
def _seeds(what: str, where: int, number: int) -> tuple[int, ...]:
    """Checksums to begin with, so that the same letters in another role weigh otherwise."""
    return tuple(crc32(f"{what} {where} {index}".encode()) for index in range(number))


def candidates(word: str) -> list[int]:
    """Places of letters that may carry a syllable: vowels, and consonants with none beside.

    So may the second letter of ``mcallister``.
    """
    vowels = [letter in VOWELS for letter in (" " + word + " ")]
    found = [
        place
        for place in range(len(word))
        if vowels[place + 1]
        or not (vowels[place] or vowels[place + 2])
        or (place == 1 and word[0] == "m")
    ]
    return found or list(range(len(word)))


def nucleus_keys(word: str, places: Sequence[int]) -> list[tuple[list[int], list[int]]]:
    """For every candidate what is seen around it, and what is weighed with its history.

    Of the latter the checksum XOR the history (0 to 3) is the key.
    """
    padded = (_EDGE + word + _EDGE).encode("ascii", "replace")
    count = len(places)
    alone, whole, behind, where = _seeds("letter", 0, 4)
    said = _seeds("history", 0, 8)
    found = []
    before, last = len(_EDGE) - 1, len(_EDGE) - 1
    for which, place in enumerate(places):
        at = place + len(_EDGE)
        letter = padded[at : at + 1]
        keys = [crc32(padded[at + start : at + end], seed) for start, end, seed in _WINDOWS]
        role = bytes((min(6, len(word) - place), min(4, which), min(4, count - which)))
        keys += (
            crc32(letter, alone),
            crc32(padded[at : -len(_EDGE)], whole),
            crc32(padded[len(_EDGE) : at + 1], behind),
            crc32(letter + role, where),
        )
        swayed = [
            crc32(letter, said[0]),
            crc32(padded[at - 1 : at + 2], said[1]),
            crc32(padded[last : at + 1], said[2]),
            crc32(padded[last : at + 2], said[3]),
            crc32(padded[last : at + 3], said[4]),
            crc32(bytes((min(5, at - last), which + 1 == count)), said[5]),
            crc32(padded[before : at + 1], said[6]),
            crc32(padded[at - 2 : at + 1], said[7]),
        ]
        found.append((keys, swayed))
        before, last = last, at
    return found


def primary_keys(word: str, nuclei: Sequence[int]) -> list[list[int]]:
    """For every nucleus what speaks for the primary stress on it."""
    count = len(nuclei)
    padded = (_EDGE + word + _EDGE).encode("ascii", "replace")
    letters = padded[len(_EDGE) : -len(_EDGE)]
    ends = (*nuclei[1:], len(word), len(word))
    near = _seeds("near", 0, len(_NEAR))
    begin = 0
    found = []
    for which, start in enumerate(nuclei):
        after, beyond = ends[which], ends[which + 1]
        left = min(5, count - which)
        front = which * 8 + count if count < 5 else 64 + min(which, 3) * 8 + min(left, 4)
        here = _seeds("front", front, 19)
        to_end = _seeds("rest", left, 3)
        from_start = _seeds("which", which, 6)
        at = start + len(_EDGE)
        sizes = bytes((min(9, after - start), min(9, start - begin)))
        keys = [
            here[0],
            crc32(letters[start:after], here[1]),
            crc32(letters[begin:start], here[2]),
            crc32(letters[start:beyond], here[3]),
            crc32(sizes, here[4]),
            crc32(letters[begin:after], to_end[0]),
            crc32(letters[after:beyond], to_end[1]),
            crc32(letters[start:], to_end[2]),
            crc32(letters[:after], from_start[0]),
        ]
        keys += [crc32(letters[:size], here[4 + size]) for size in (1, 2, 3, 4, 5, 6, 7)]
        keys += [crc32(letters[-size:], here[11 + size]) for size in (1, 2, 3, 4, 5, 6)]
        keys += [crc32(letters[:size], from_start[size - 1]) for size in (2, 3, 4, 5, 6)]
        keys += [
            crc32(padded[at + one : at + other], seed)
            for (one, other), seed in zip(_NEAR, near, strict=True)
        ]
        found.append(keys)
        begin = start + 1
    return found


def secondary_keys(word: str, nuclei: Sequence[int], which: int, primary: int) -> list[int]:
    """What speaks for a secondary stress on the nucleus number ``which``."""
    letters = word.encode("ascii", "replace")
    last = which + 1 == len(nuclei)
    start = nuclei[which]
    after = len(word) if last else nuclei[which + 1]
    begin = nuclei[which - 1] + 1 if which else 0
    away = max(-3, min(3, which - primary))
    seeds = _seeds("away", 2 * away + last, 15)
    keys = [
        seeds[0],
        crc32(letters[start:after], seeds[1]),
        crc32(letters[begin:after], seeds[2]),
        crc32(letters[begin:start], seeds[3]),
        crc32(letters[begin:], _seeds("last", last, 1)[0]),
    ]
    keys += [crc32(letters[-size:], seeds[2 + size]) for size in (2, 3, 4, 5)]
    keys += [crc32(letters[:size], seeds[6 + size]) for size in (2, 3, 4)]
    return keys


@cache
def shipped_weights() -> Weights:
    """The trained weights in ``resources/words``, read once."""
    return unpacked(resource_path("words/guess_model.z").read_bytes())


def packed(weights: Weights) -> bytes:
    """Weights as the file's bytes: the three tables one after the other, deflated."""
    tables = (weights.nuclei, weights.primary, weights.secondary)
    data = b"".join(bytes(weight & 255 for weight in table) for table in tables)
    deflate = zlib.compressobj(9, strategy=zlib.Z_FILTERED)
    return deflate.compress(data) + deflate.flush()


def unpacked(data: bytes) -> Weights:
    """Weights from the file's bytes."""
    numbers = memoryview(zlib.decompress(data)).cast("b")
    one, two = SLOTS[0], SLOTS[0] + SLOTS[1]
    return Weights(numbers[:one], numbers[one:two], numbers[two:])


def _score(table: Table, keys: Sequence[int]) -> int:
    mask = len(table) - 1
    return sum([table[key & mask] for key in keys])


def guess_nuclei(word: str, weights: Weights, count: int | None = None) -> tuple[int, ...]:
    """Places of the letters that carry a syllable, at least one.

    ``word`` is in small letters a-z.  With ``count`` the likeliest so many letters are
    taken (at most as many as there are).
    """
    table = weights.nuclei
    mask = len(table) - 1
    places = candidates(word)
    if count is not None and count > len(places):
        places = list(range(len(word)))
        count = min(count, len(word))
    best: dict[tuple[int, int], tuple[int, tuple[int, ...]]] = {(0, 0): (0, ())}
    for place, (keys, swayed) in zip(places, nucleus_keys(word, places), strict=True):
        alone = _score(table, keys)
        following: dict[tuple[int, int], tuple[int, tuple[int, ...]]] = {}
        for (history, _), (score, nuclei) in best.items():
            added = sum([table[(key ^ history) & mask] for key in swayed])
            for said, total, found in (
                (history * 2 % HISTORIES, score, nuclei),
                (history * 2 % HISTORIES + 1, score + alone + added, (*nuclei, place)),
            ):
                state = (said, 0 if count is None else len(found))
                if state not in following or following[state][0] < total:
                    following[state] = (total, found)
        best = following
    return max(
        (score, nuclei)
        for score, nuclei in best.values()
        if (nuclei if count is None else len(nuclei) == count)
    )[1]


def guess_stresses(word: str, nuclei: Sequence[int], weights: Weights) -> tuple[int, ...]:
    """Stress of every nucleus: 1 for one of them, 2 or 0 for the others."""
    count = len(nuclei)
    if count == 1:
        return (1,)
    scores = [_score(weights.primary, keys) for keys in primary_keys(word, nuclei)]
    primary = scores.index(max(scores))
    stresses = [0] * count
    for which in range(count):
        if which == primary:
            stresses[which] = 1
        elif abs(which - primary) > 1 or which + 1 == count or which == 0:
            keys = secondary_keys(word, nuclei, which, primary)
            if _score(weights.secondary, keys) > 0:
                stresses[which] = 2
    return tuple(stresses)
