"""Make ``resources/words/stress_table.txt`` from CMUdict: ``python -m`` this module.

Syllables are traced to letters by alignment.  Cuts come from whole words (``cup-board``
is ``cup`` + ``board``, sounds included), then from the hyphenation patterns of the package
``pyphen`` where these cut inside the window, then from the rules of ``words.split``.
"""

import hashlib
import itertools
import re
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path

from tapscore.words import split
from tapscore.words.stress_table import FIRST, GROUP
from tests.training.align import LetterSounds
from tests.training.cmu import Entry, entries
from tests.training.guess_model import to_sample

_ENDINGS = {"ing": "IH NG", "est": "AH S T", "ish": "IH SH"}


_NOT_WORDS = frozenset((*_ENDINGS, "ling", "lings", "king", "ring", "tin", "son", "ton"))
_STUMP = re.compile(r"[^aeiouylrw](?:ling|ler)s?\Z")
_SINGLE = re.compile(r"[aeiouy]+(?:[bcdfghjklmnprstvz]|th|sh|ph|ch)\Z")
_SHORT = frozenset(("AE", "EH", "IH", "AH", "UH"))


class Cutter:
    """Knows all entries, to find words inside words."""

    def __init__(self, listed: Iterable[Entry]) -> None:
        import pyphen  # type: ignore[import-untyped]

        self._sounds: Mapping[str, str] = {entry.word: _plain(entry) for entry in listed}
        self._patterns = pyphen.Pyphen(lang="en_US", left=2, right=2)

    def cuts(self, entry: Entry, nuclei: tuple[int, ...]) -> tuple[int, ...]:
        """Where the later syllables of an entry begin."""
        word = entry.word
        if len(nuclei) == 1:
            return ()
        inner = self._inner_words(entry, nuclei)
        patterns = self._patterns.positions(word)
        short = self._short_vowels(entry, nuclei)
        found = []
        for left, right in itertools.pairwise(nuclei):
            window = range(left + 1, right + 1)
            known = [at for at in inner if at in window]
            hyphens = [int(at) for at in patterns if at in window]
            if known:
                found.append(known[0])
            elif _STUMP.search(word) and right > len(word) - 5:
                found.append(split.cut_window(word, left, right))
            elif word.startswith("as") and right > 2 and left == 0 and not entry.stresses[0]:
                found.append(1)
            elif left in short and _SINGLE.match(word[left:right]):
                found.append(right)
            elif len(hyphens) == 1:
                found.append(hyphens[0])
            else:
                found.append(split.cut_window(word, left, right))
        return tuple(found)

    @staticmethod
    def _short_vowels(entry: Entry, nuclei: tuple[int, ...]) -> frozenset[int]:
        """Letters that say a short stressed vowel, which closes its syllable: ``rob-in``."""
        vowels = [phone for phone in entry.phones if phone[-1].isdigit()]
        return frozenset(
            place
            for place, phone in zip(nuclei, vowels, strict=True)
            if phone[-1] != "0"
            and (phone[:2] in _SHORT or (phone[:2] in ("AA", "AO") and entry.word[place] == "o"))
        )

    def _inner_words(self, entry: Entry, nuclei: tuple[int, ...]) -> list[int]:
        word, sounds = entry.word, _plain(entry)
        heavy = [at for at, stress in zip(nuclei, entry.stresses, strict=True) if stress]

        def stressed(at: int) -> bool:
            following = min((place for place in nuclei if place >= at), default=-1)
            return following in heavy

        found = []
        for at in range(3, len(word) - 2):
            first, second = self._sounds.get(word[:at]), self._sounds.get(word[at:])
            if first is None:
                continue
            compound = (
                stressed(at)
                and second is not None
                and word[at:] not in _NOT_WORDS
                and f"{first} {second}" == sounds
            )
            ending = _ENDINGS.get(word[at:])
            if compound or (ending is not None and f"{first} {ending}" == sounds):
                doubled = word[at - 1] == word[at - 2] and word[at - 1] not in "lsfz"
                if compound or not doubled:
                    found.append(at)
        return found


def syllable_char(letters: int, stress: int) -> str:
    """Pack one syllable: how many letters it has and its stress (0, 1, 2)."""
    return chr(FIRST + 3 * letters + stress)


def _plain(entry: Entry) -> str:
    return " ".join(phone.rstrip("012") for phone in entry.phones)


def records(every: int = 1) -> list[tuple[str, tuple[str, ...], tuple[int, ...]]]:
    """Word, syllables, stresses of all entries whose syllables fit their letters.

    Of all that are read only one in so many is divided, where ``every`` is not 1.
    """
    listed = list(entries())
    sounds = LetterSounds()
    sounds.learn(listed[::12])
    cutter = Cutter(listed)
    result = []
    for entry in listed[::every]:
        sample = to_sample(entry, sounds)
        if sample is None:
            continue
        syllables = split.apart(entry.word, cutter.cuts(entry, sample.nuclei))
        if all(0 < len(syllable) < 20 for syllable in syllables):
            result.append((entry.word, syllables, sample.stresses))
    return result


def table_bytes(listed: Iterable[tuple[str, tuple[str, ...], tuple[int, ...]]]) -> bytes:
    """The file's bytes."""
    groups: dict[str, list[str]] = {}
    for word, syllables, stresses in listed:
        codes = "".join(
            syllable_char(len(syllable), stress)
            for syllable, stress in zip(syllables, stresses, strict=True)
        )
        groups.setdefault(word[:GROUP], []).append(f"{word[GROUP:]}\t{codes}\n")
    blocks = {key: "".join(lines) for key, lines in sorted(groups.items())}
    header = " ".join(f"{key} {len(block)}" for key, block in blocks.items())
    return (header + "\n\n" + "".join(blocks.values())).encode("ascii")


def main(target: str = "resources/words/stress_table.txt") -> None:
    """Build the table and write it."""
    listed = records()
    table = table_bytes(listed)
    Path(target).write_bytes(table)
    print(f"{len(listed)} words, {len(table)} bytes, sum {hashlib.sha256(table).hexdigest()}")


if __name__ == "__main__":
    main(*sys.argv[1:])
