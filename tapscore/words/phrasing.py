"""How a line falls into phrases: which words belong together and where one begins anew.

A break is guessed from the classes of the two words beside it, from stops that are written,
and from words that return: *see you tomorrow | see you soon*.  The strengths are names, not
amounts; what each is worth in a rhythm is learnt (``fit_features``).
"""

from collections.abc import Sequence
from functools import lru_cache

from attrs import frozen

from tapscore.words.letters import plain_word
from tapscore.words.line import SungSyllable, Weight
from tapscore.words.word_classes import PREPOSITION, classes_of

_LEANING = frozenset(
    ("article", "owner", "preposition", "joining", "be", "helper", "subject", "question")
) | {"let", "pointing"}
_WHOLE = frozenset(
    ("full", "describing", "sound", "number", "particle", "adverb", "somebody", "call")
)

NONE, WEAK, MIDDLE, STRONG = range(4)
RETURN, EDGE = 5, 6
"""Breaks: inside a phrase ... a new phrase, a beginning that returns, the line's end.

The numbers stand in the names of learnt features, so they stay.
"""


@frozen(eq=False)
class Phrasing:
    """A line of syllables with what its words say about its rhythm.

    All sequences have one entry a syllable.  ``classes``: class of its word and its part in it
    (``full1`` a word of one syllable, ``full+`` the stressed one of a longer word, ``full=``
    a second stress, ``full-`` the others); ``heavy``: whether it carries weight;
    ``after``: the break after it (-1 inside a word); ``since``: the strongest break since the
    heavy syllable before it; ``run``: light syllables up to the next heavy one (9: none
    comes); ``again``: whether its word stood one or two words before.
    """

    syllables: tuple[SungSyllable, ...]
    classes: tuple[str, ...]
    heavy: tuple[bool, ...]
    heavies: tuple[int, ...]
    after: tuple[int, ...]
    since: tuple[int, ...]
    run: tuple[int, ...]
    again: tuple[bool, ...]


@lru_cache(maxsize=512)
def phrasing_of(syllables: tuple[SungSyllable, ...]) -> Phrasing:
    """The phrasing of a line."""
    words, word_of = _words(syllables)
    pauses = [s.pause for s in syllables if s.last]
    kinds = classes_of(words, pauses)
    breaks = [
        _break(words, kinds, at, pauses[at]) if at + 1 < len(words) else EDGE
        for at in range(len(words))
    ]
    heavy = tuple(s.weight in (Weight.SECONDARY, Weight.CONTENT, Weight.PRIMARY) for s in syllables)
    heavies = tuple(at for at, one in enumerate(heavy) if one)
    after = tuple(breaks[word_of[at]] if s.last else -1 for at, s in enumerate(syllables))
    return Phrasing(
        syllables,
        tuple(kinds[word_of[at]] + _part(s) for at, s in enumerate(syllables)),
        heavy,
        heavies,
        after,
        tuple(_since(at, heavies, after) for at in range(len(syllables))),
        tuple(_run(at, heavies) for at in range(len(syllables))),
        tuple(
            any(words[word_of[at]] == word for word in words[max(0, word_of[at] - 2) : word_of[at]])
            for at in range(len(syllables))
        ),
    )


def _words(syllables: Sequence[SungSyllable]) -> tuple[list[str], list[int]]:
    words: list[str] = []
    word_of: list[int] = []
    now = ""
    for syllable in syllables:
        now = ("" if syllable.first else now) + syllable.text.strip("-")
        word_of.append(len(words))
        if syllable.last:
            plain = plain_word(now)
            words.append(plain if plain.startswith("'t") else plain.strip("'"))
    return words, word_of


def _part(syllable: SungSyllable) -> str:
    if syllable.first and syllable.last:
        return "1"
    return {1: "+", 2: "="}.get(syllable.stress, "-")


def _break(words: Sequence[str], kinds: Sequence[str], at: int, pause: bool) -> int:
    """The break between a word and the next one."""
    guess = _guess(words, kinds, at)
    # A written stop is as good as the strongest guess; the lines learnt from have none.
    return max(guess, STRONG) if pause else guess


def _guess(words: Sequence[str], kinds: Sequence[str], at: int) -> int:
    before, following = kinds[at], kinds[at + 1]
    if words[at] == words[at + 1]:
        return MIDDLE if before in _WHOLE or before == "attend" else WEAK
    if at and words[at + 1] == words[0] and (before not in _LEANING or at > 1):
        return RETURN
    if before in _LEANING:
        return NONE
    if following == "subject":
        return STRONG
    if following == "question":
        return STRONG if before in _WHOLE or before == "pronoun" else WEAK
    if following == "pronoun":
        return STRONG if before in _WHOLE and at else WEAK
    if following in ("joining", "let", "call", "attend") or before == "call":
        return MIDDLE
    if before == "sound":
        return WEAK if following in ("light-verb", PREPOSITION, "attend") else MIDDLE
    return WEAK if following in _LEANING or following == "be" else NONE


def _since(at: int, heavies: Sequence[int], after: Sequence[int]) -> int:
    if at not in heavies:
        return NONE
    rank = heavies.index(at)
    return EDGE if rank == 0 else max(after[heavies[rank - 1] : at])


def _run(at: int, heavies: Sequence[int]) -> int:
    following = next((place for place in heavies if place > at), None)
    return 9 if following is None else min(following - at - 1, 4)
