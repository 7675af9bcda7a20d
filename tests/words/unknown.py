"""Scores of words that the dictionary and all training are kept from.

CMUdict (Carnegie Mellon University) is the source of the right answers; one word in twenty
is held out by checksum (``training.cmu.held_out``).
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from unittest import mock

from attrs import frozen

from tapscore.words import lookup
from tapscore.words.guess import guess_nuclei, guess_stresses, shipped_weights
from tapscore.words.stress_table import StressTable, shipped_table
from tests.training.cmu import held_out

Stresses = tuple[int, ...]


@frozen
class WordScores:
    """Shares of 1.

    ``counts``: words with the right count of syllables; ``primary``: of those with two
    syllables or more, words with the primary stress where it belongs.
    """

    words: int
    counts: float
    primary: float


def all_words(table: StressTable) -> list[str]:
    """Every word of a table, from its groups."""
    words = []
    for key, (start, end) in table.groups.items():
        for record in table.block[start:end].split(b"\n"):
            if record:
                words.append((key + record.split(b"\t")[0]).decode())
    return words


def first_stresses(words: Iterable[str]) -> dict[str, frozenset[Stresses]]:
    """What the table says of every word: the first pronunciation that CMUdict lists."""
    table = shipped_table()
    return {
        word: frozenset([tuple(stress for _, stress in shape)])
        for word in words
        if (shape := table.find(word)) is not None
    }


def score_words(
    right: Mapping[str, frozenset[Stresses]], say: Callable[[str], Stresses]
) -> WordScores:
    """Score what is said of words; where several answers are right, any of them will do."""
    counts = several = primary = 0
    for word, answers in right.items():
        said = say(word)
        fitting = [answer for answer in answers if len(answer) == len(said)]
        if not fitting:
            continue
        counts += 1
        places = {answer.index(1) for answer in fitting if 1 in answer}
        if len(said) > 1 and places:
            several += 1
            primary += 1 in said and said.index(1) in places
    return WordScores(len(right), counts / len(right), primary / several)


def by_letters(word: str) -> Stresses:
    """The guess from letters alone."""
    weights = shipped_weights()
    return guess_stresses(word, guess_nuclei(word, weights), weights)


@contextmanager
def held_out_hidden() -> Iterator[None]:
    """Take the held-out words from the dictionary, and the British file away."""
    table = shipped_table()

    class Hidden:
        def find(self, word: str) -> tuple[tuple[int, int], ...] | None:
            return None if held_out(word) else table.find(word)

    lookup.shape_of.cache_clear()
    with (
        mock.patch.object(lookup, "shipped_table", Hidden),
        mock.patch.object(lookup, "british_exceptions", dict),
    ):
        yield
    lookup.shape_of.cache_clear()
