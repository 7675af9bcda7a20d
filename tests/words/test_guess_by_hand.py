"""What the guess sees, held by sums, since a key that changes loses its weight; how it chooses.

Train anew where a key is changed on purpose, then write the sums here.
"""

from zlib import crc32

import pytest

from tapscore.words.guess import (
    HISTORIES,
    SLOTS,
    Weights,
    candidates,
    guess_nuclei,
    guess_stresses,
    nucleus_keys,
    packed,
    primary_keys,
    secondary_keys,
    unpacked,
)

SEEN = {
    "mcallister": (2753234012, 1180529316, 3476462185),
    "higgledy": (1435705152, 493326586, 3775534119),
    "tree": (1621839484, 3594146122, 2637179755),
}


def _sum(keys: object) -> int:
    return crc32(repr(keys).encode())


@pytest.mark.parametrize("word", SEEN)
def test_what_is_seen_around_letters(word: str) -> None:
    places = candidates(word)
    some = (places[0], places[1] if len(places) > 3 else places[-2])
    found = _sum(nucleus_keys(word, places)), _sum(primary_keys(word, places))
    assert (*found, _sum(primary_keys(word, some))) == SEEN[word]


def test_what_is_seen_for_a_second_stress() -> None:
    places = candidates("higgledy")
    pairs = [(one, other) for one in range(4) for other in range(4) if one != other]
    assert [_sum(secondary_keys("higgledy", places, *pair)) for pair in pairs] == [
        *(1056205013, 109194200, 3849958912, 1939125459, 3423709886, 532339863),
        *(2506914970, 955332018, 582838946, 583551630, 2890361379, 3774639233),
    ]


@pytest.mark.parametrize(
    ("word", "places"),
    [
        *(("tree", [0, 2, 3]), ("higgledy", [1, 3, 5, 7]), ("mcallister", [0, 1, 2, 5, 8])),
        *(("brr", [0, 1, 2]), ("a", [0]), ("strng", [0, 1, 2, 3, 4]), ("ab", [0])),
    ],
)
def test_letters_that_may_carry_a_syllable(word: str, places: list[int]) -> None:
    """Vowels, consonants with none beside them, and the second letter of Mc."""
    assert candidates(word) == places


def _liking(word: str, liked: dict[int, int]) -> Weights:
    """Weights by the first key alone that is seen around each letter."""
    size = 1 << 20
    table = [0] * size
    for place, (keys, _) in zip(
        candidates(word), nucleus_keys(word, candidates(word)), strict=True
    ):
        table[keys[0] & (size - 1)] = liked.get(place, -5)
    return Weights(table, [0] * size, [0] * (1 << 17))


def test_letters_are_chosen_by_their_weights() -> None:
    weights = _liking("banana", {1: 4, 5: 2})
    assert guess_nuclei("banana", weights) == (1, 5)
    assert guess_nuclei("banana", weights, 1) == (1,)
    assert guess_nuclei("banana", weights, 3) == (1, 3, 5)
    assert guess_nuclei("banana", weights, 9) == (0, 1, 2, 3, 4, 5), "no more than letters"
    none = _liking("banana", {})
    assert len(guess_nuclei("banana", none)) == 1, "one at least"


def test_the_best_weight_has_the_stress() -> None:
    size = 1 << 20
    nuclei = (1, 3, 5)
    for best in range(3):
        primary = [0] * size
        for which, keys in enumerate(primary_keys("banana", nuclei)):
            for key in keys:
                primary[key & (size - 1)] -= which != best
        found = guess_stresses("banana", nuclei, Weights([], primary, [0] * (1 << 17)))
        assert found == tuple(int(which == best) for which in range(3))
    assert guess_stresses("row", (1,), Weights([], [], [])) == (1,)


def test_a_second_stress_needs_weight_and_a_place() -> None:
    """Two away from the first, or at the word's beginning or end."""
    size, small = 1 << 20, 1 << 17
    nuclei = (1, 3, 5, 7)
    primary = [0] * size
    for keys in primary_keys("bananana", nuclei)[1:2]:
        for key in keys:
            primary[key & (size - 1)] += 1
    every = Weights([], primary, [1] * small)
    assert guess_stresses("bananana", nuclei, every) == (2, 1, 0, 2)
    assert guess_stresses("bananana", nuclei, Weights([], primary, [0] * small)) == (0, 1, 0, 0)


def test_weights_are_packed_and_read_back() -> None:
    tables = [[0] * size for size in SLOTS]
    tables[0][0], tables[0][-1], tables[1][0], tables[1][-1] = -128, 127, 5, -6
    tables[2][0], tables[2][-1] = 7, -8
    read = unpacked(packed(Weights(*tables)))
    assert [list(each) for each in (read.nuclei, read.primary, read.secondary)] == tables
    assert HISTORIES == 4
