"""How a line falls into phrases: which words belong together and where one begins anew.

A break is guessed from the classes of the two words beside it, from stops that are written,
and from words that return: *see you tomorrow | see you soon*.  The strengths are names, not
amounts; what each is worth in a rhythm is learnt (``fit_features``).
"""

from collections.abc import Sequence
from functools import lru_cache

from attrs import frozen

from tapscore.words.clauses import clauses_of
from tapscore.words.letters import plain_word
from tapscore.words.line import SungSyllable, Weight
from tapscore.words.word_classes import (
    DOING,
    PARTICLE,
    PREPOSITION,
    VERB,
    classes_of,
    finer_classes,
)

_LEANING = frozenset(
    ("article", "owner", "preposition", "joining", "be", "helper", "subject", "question")
) | {"let", "pointing"}
_WHOLE = frozenset(
    ("full", "describing", "sound", "number", "particle", "adverb", "somebody", "call")
)
_OBJECTS = frozenset(("article", "owner", "pronoun", "pointing", PARTICLE, PREPOSITION))
_SURE = frozenset(
    (
        "asks",
        "turned",
        "says",
        "there",
        "let",
        "this",
        "call",
        "not",
        "sounds",
        "after",
        "counts",
        "answers",
    )
)
_SELDOM_NEW = frozenset(("article", PREPOSITION, "joining"))

NONE, WEAK, MIDDLE, STRONG, CLAUSE = range(5)
RETURN, EDGE = 5, 6
"""Breaks: inside a phrase ... a new phrase, a beginning that returns, the line's end.

The numbers stand in the names of learnt features, so they stay.
"""

LEANS, PLAIN, VERBAL, COMMAND, WORD_AGAIN, PAIR_AGAIN, LINE_BEGINS, INSIDE = 0, 1, 2, 3, 4, 5, 8, 9
"""What speaks for something new beginning with a word, as in *shake it loud | shake it low*:
nothing, for the word before leans on it; nothing in its class; a verb; a verb with what it is
done to; a word that stood before, or two; that the line begins.  ``INSIDE``: no word begins."""


@frozen(eq=False)
class Phrasing:
    """A line of syllables with what its words say about its rhythm.

    All sequences have one entry a syllable.  ``classes``: class of its word and its part in it
    (``full1`` a word of one syllable, ``full+`` the stressed one of a longer word, ``full=``
    a second stress, ``full-`` the others); ``heavy``: whether it carries weight;
    ``after``: the break after it (-1 inside a word); ``since``: the strongest break since the
    heavy syllable before it; ``run``: light syllables up to the next heavy one (9: none
    comes); ``again``: whether its word stood one or two words before; ``fine``: as
    ``classes`` with the forms of verbs told apart; ``turns``: what speaks for something new
    beginning there (``LEANS`` to ``LINE_BEGINS``); ``clauses``: how something new begins with the
    word that begins there (``clauses.clauses_of``).  ``parting``: the syllable with which the
    second of the line's two parts begins, if it has two.
    """

    syllables: tuple[SungSyllable, ...]
    classes: tuple[str, ...]
    heavy: tuple[bool, ...]
    heavies: tuple[int, ...]
    after: tuple[int, ...]
    since: tuple[int, ...]
    run: tuple[int, ...]
    again: tuple[bool, ...]
    fine: tuple[str, ...]
    turns: tuple[int, ...]
    clauses: tuple[str, ...]
    parting: int | None


@lru_cache(maxsize=512)
def phrasing_of(syllables: tuple[SungSyllable, ...]) -> Phrasing:
    """The phrasing of a line."""
    words, word_of = words_of(syllables)
    pauses = [s.pause for s in syllables if s.last]
    kinds = classes_of(words, pauses)
    fine = finer_classes(words, kinds)
    clauses = clauses_of(words, kinds, fine)
    turns = [_turn(words, kinds, fine, at) for at in range(len(words))]
    breaks = [
        _break(words, kinds, clauses, at, pauses[at]) if at + 1 < len(words) else EDGE
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
        tuple(fine[word_of[at]] + _part(s) for at, s in enumerate(syllables)),
        tuple(turns[word_of[at]] if s.first else INSIDE for at, s in enumerate(syllables)),
        tuple(clauses[word_of[at]] if s.first else "" for at, s in enumerate(syllables)),
        _parting(heavies, after),
    )


def words_of(syllables: Sequence[SungSyllable]) -> tuple[list[str], list[int]]:
    """The plain words of a line, and which of them each syllable stands in."""
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


def _break(
    words: Sequence[str], kinds: Sequence[str], clauses: Sequence[str], at: int, pause: bool
) -> int:
    """The break between a word and the next one."""
    guess = _guess(words, kinds, at)
    if clauses[at + 1] in _SURE and guess < RETURN:
        guess = CLAUSE
    elif clauses[at + 1]:
        guess = max(guess, STRONG)
    # A written stop is as good as the strongest guess; few of the lines learnt from have one.
    return max(guess, CLAUSE) if pause else guess


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


def _turn(words: Sequence[str], kinds: Sequence[str], fine: Sequence[str], at: int) -> int:
    """How surely something new begins with a word."""
    if at == 0:
        return LINE_BEGINS
    if kinds[at - 1] in _LEANING:
        return LEANS
    pair = words[at : at + 2]
    if len(pair) == 2 and any(words[n : n + 2] == pair for n in range(at - 1)):
        return PAIR_AGAIN
    if words[at] in words[: at - 1] and words[at] != words[at - 1] and kinds[at] not in _SELDOM_NEW:
        return WORD_AGAIN
    if fine[at] == VERB and at + 1 < len(kinds) and kinds[at + 1] in _OBJECTS:
        return COMMAND
    return VERBAL if fine[at] in (DOING, VERB) else PLAIN


def _parting(heavies: Sequence[int], after: Sequence[int]) -> int | None:
    """The syllable with which the second of two parts begins: at a strong break near the middle."""
    count = len(after)
    choices = [
        at
        for at in range(1, count)
        if after[at - 1] >= CLAUSE
        or (after[at - 1] > NONE and heavies and heavies[0] < at <= heavies[-1])
    ]
    return max(
        choices,
        key=lambda at: (min(after[at - 1], CLAUSE) - 4 * abs(2 * at - count) / count, at),
        default=None,
    )


def _since(at: int, heavies: Sequence[int], after: Sequence[int]) -> int:
    if at not in heavies:
        return NONE
    rank = heavies.index(at)
    return EDGE if rank == 0 else max(after[heavies[rank - 1] : at])


def _run(at: int, heavies: Sequence[int]) -> int:
    following = next((place for place in heavies if place > at), None)
    return 9 if following is None else min(following - at - 1, 4)
