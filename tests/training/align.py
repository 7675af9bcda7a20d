"""Letters aligned to phones by expectation maximisation (hard counts, Viterbi).

Every letter says none, one or two phones; the best alignment of a word is the one whose
letter-to-phones pairs are likeliest over the whole dictionary.
"""

import math
from collections import Counter
from collections.abc import Iterable, Sequence

from tests.training.cmu import Entry

Said = tuple[str, ...]
_VOWELS = frozenset("aeiouy")
_UNSEEN = 12.0


def _plain(phone: str) -> str:
    return phone.rstrip("012")


def _first_guess(letter: str, said: Said) -> float:
    """Cost of a pair before anything is learnt: vowels say vowels, consonants consonants."""
    if not said:
        return 2.0
    vowels = sum(phone[0] in "AEIOU" for phone in said)
    if len(said) == 2:
        return 5.0 if vowels < 2 else 8.0
    return 1.0 if (letter in _VOWELS) == bool(vowels) else 6.0


class LetterSounds:
    """Costs of letter-to-phones pairs, learnt from dictionary entries."""

    def __init__(self) -> None:
        self._costs: dict[tuple[str, Said], float] | None = None

    def cost(self, letter: str, said: Said) -> float:
        """Minus the log probability that a letter says these phones."""
        if self._costs is None:
            return _first_guess(letter, said)
        return self._costs.get((letter, said), _UNSEEN + 4.0 * len(said))

    def align(self, word: str, phones: Sequence[str]) -> tuple[Said, ...] | None:
        """The phones that each letter says; None where the word has too many phones."""
        plain = [_plain(phone) for phone in phones]
        total = len(plain)
        best: list[list[tuple[float, int]]] = []
        row: list[tuple[float, int]] = [(0.0, 0)] + [(math.inf, 0)] * total
        for letter in word:
            following = [(math.inf, 0)] * (total + 1)
            for at in range(total + 1):
                before = row[at][0]
                if before == math.inf:
                    continue
                for size in (0, 1, 2):
                    end = at + size
                    if end > total:
                        break
                    cost = before + self.cost(letter, tuple(plain[at:end]))
                    if cost < following[end][0]:
                        following[end] = (cost, size)
            best.append(following)
            row = following
        if row[total][0] == math.inf:
            return None
        sizes: list[int] = []
        at = total
        for following in reversed(best):
            size = following[at][1]
            sizes.append(size)
            at -= size
        said: list[Said] = []
        at = 0
        for size in reversed(sizes):
            said.append(tuple(phones[at : at + size]))
            at += size
        return tuple(said)

    def learn(self, entries: Iterable[Entry], rounds: int = 5) -> None:
        """Learn the costs from entries by aligning and counting again and again."""
        sample = list(entries)
        for _ in range(rounds):
            pairs: Counter[tuple[str, Said]] = Counter()
            for entry in sample:
                aligned = self.align(entry.word, entry.phones)
                if aligned is None:
                    continue
                for letter, said in zip(entry.word, aligned, strict=True):
                    pairs[letter, tuple(_plain(phone) for phone in said)] += 1
            letters: Counter[str] = Counter()
            for (letter, _said), count in pairs.items():
                letters[letter] += count
            self._costs = {
                pair: -math.log(count / letters[pair[0]]) for pair, count in pairs.items()
            }


def nuclei(word: str, aligned: Sequence[Said]) -> tuple[int, ...]:
    """Places of the letters that carry a syllable, each the first of its run of vowels.

    A letter saying two vowels counts once.
    """
    places: list[int] = []
    for place, said in enumerate(aligned):
        if not any(phone[-1].isdigit() for phone in said):
            continue
        first = place
        while first and not aligned[first - 1] and word[first - 1] in "aeiou":
            first -= 1
        places.append(first if word[place] in "aeiouyw" else place)
    return tuple(places)
