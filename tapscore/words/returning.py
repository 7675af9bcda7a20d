"""Words that return within a line return in their rhythm: *one for me and one for you*.

So do numbers counted aloud, one word said three times and more (they are even), and the parts
of a list that begin alike (*hands up, hands down*).  A fit judges each syllable with its
neighbours alone; whether two stretches that have the same words are said alike is looked at
afterwards, on whole placements.  The amounts were chosen on lines that the weights had not
seen (four folds of stanzas).
"""

import itertools
from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import lru_cache

from attrs import frozen

from tapscore.model.metre import Metre
from tapscore.words.line import SungSyllable
from tapscore.words.phrasing import phrasing_of, words_of

_UNLIKE = 6.0
"""Words that return with other lengths between them."""
_SHIFTED = (0.0, 1.5, 3.0, 4.5)
"""Words that return in the same place of the bar, half a bar on, on another beat, elsewhere."""
_PAIRED = 4.0
"""Stretches of a list that begin alike, with other lengths between their syllables."""
_PAIRED_SHIFT = 0.6
"""How much of ``_SHIFTED`` a list costs for its place in the bar."""
_UNEVEN = 8.0
"""A word in a count that comes sooner or later than most of its words do; set by hand."""
_COUNT_LED_IN = 5.0
"""A line that is a count and begins before the first downbeat."""
_CONTRASTED = 4.0
"""Each of two small words set against each other that comes beside a beat."""
_CONTRASTABLE = frozenset(
    f"{name}1" for name in ("owner", "pronoun", "subject", "pointing", "question", "particle")
) | {"preposition1"}
_MOST = 10.0
"""Less than a turned stress costs (``fit_costs.TURNED``), however much returns."""


@frozen
class Returning:
    """Syllables from ``first`` on that stand again from ``again`` on; ``count`` of them."""

    first: int
    again: int
    count: int


def _words_and_starts(syllables: tuple[SungSyllable, ...]) -> tuple[list[str], list[int]]:
    """A line's words, and the syllable on which each begins; the line's end comes last."""
    words, _word_of = words_of(syllables)
    starts = [at for at, syllable in enumerate(syllables) if syllable.first]
    return words, [*starts, len(syllables)]


@lru_cache(maxsize=512)
def returning(syllables: tuple[SungSyllable, ...]) -> tuple[Returning, ...]:
    """Stretches of words that stand twice in a line, each as long as it can be.

    They have two syllables at least and a stressed one among them.
    """
    words, starts = _words_and_starts(syllables)
    heavy = phrasing_of(syllables).heavy
    found = []
    for one, two in itertools.combinations(range(len(words)), 2):
        if words[one] != words[two] or (one and words[one - 1] == words[two - 1]):
            continue
        size = 1
        while (
            two + size < len(words) and one + size < two and words[one + size] == words[two + size]
        ):
            size += 1
        count = starts[two + size] - starts[two]
        if count > 1 and any(heavy[starts[one] : starts[one] + count]):
            found.append(Returning(starts[one], starts[two], count))
    return tuple(found)


@lru_cache(maxsize=512)
def paired(syllables: tuple[SungSyllable, ...]) -> tuple[Returning, ...]:
    """Stretches beside each other that begin with the same word and are stressed alike.

    *Hands up | hands down*, *umbrella up | umbrella down*: each ends where the next begins, or
    with the line.
    """
    words, starts = _words_and_starts(syllables)
    heavy = phrasing_of(syllables).heavy
    found = []
    for one, two in itertools.combinations(range(len(words)), 2):
        end = two + (two - one)
        if words[one] != words[two] or two - one < 2 or end > len(words):
            continue
        first, again, last = starts[one], starts[two], starts[end]
        alike = heavy[first:again] == heavy[again:last]
        whole = end == len(words) or words[end] == words[one]
        if alike and whole and any(heavy[first:again]):
            found.append(Returning(first, again, again - first))
    found += [one for one in _between_stops(syllables, heavy) if one not in found]
    return tuple(found)


def _between_stops(
    syllables: tuple[SungSyllable, ...], heavy: Sequence[bool]
) -> Iterator[Returning]:
    """Neighbours between written stops, as long and stressed alike: *shoes off, socks off*."""
    edges = [0, *(at + 1 for at, one in enumerate(syllables) if one.pause), len(syllables)]
    for first, again, end in zip(edges, edges[1:], edges[2:], strict=False):
        size = again - first
        alike = size == end - again and heavy[first:again] == heavy[again:end]
        if size > 1 and alike and any(heavy[first:again]):
            yield Returning(first, again, size)


@lru_cache(maxsize=512)
def contrasted(syllables: tuple[SungSyllable, ...]) -> tuple[int, ...]:
    """Small words set against each other by what is the same behind them: *my turn, your turn*.

    What is new carries the accent, however small, and what was just said carries none (Halliday
    1967).  Between the two may stand one word that joins them.
    """
    words, starts = _words_and_starts(syllables)
    line = phrasing_of(syllables)
    found: set[int] = set()
    for one, two in itertools.combinations(range(len(words)), 2):
        between = two - one - 1
        joined = line.classes[starts[two - 1]] == "joining1" and between > 1
        size = between - joined
        small = {line.classes[starts[one]], line.classes[starts[two]]} <= _CONTRASTABLE
        same = size and words[one + 1 : one + 1 + size] == words[two + 1 : two + 1 + size]
        if small and same and words[one] != words[two]:
            again = line.heavy[starts[two] : starts[two + 1 + size]]
            found |= {starts[one], starts[two]} if any(again) else set()
    return tuple(sorted(found))


@lru_cache(maxsize=512)
def counted(syllables: tuple[SungSyllable, ...]) -> tuple[tuple[int, ...], ...]:
    """Runs of three and more numbers, or of one word, by their first syllables.

    A number that was said in the run counts no more: *one two three, one for you*.
    """
    words, (*starts, _end) = _words_and_starts(syllables)
    classes = phrasing_of(syllables).classes
    kinds = ["number" if classes[start].startswith("number") else "" for start in starts]
    runs: list[list[int]] = [[]]
    said: set[str] = set()
    for at, start in enumerate(starts):
        counts_on = at and kinds[at] == kinds[at - 1] == "number" and words[at] not in said
        if not (counts_on or (at and words[at] == words[at - 1])):
            runs.append([])
            said = set()
        runs[-1].append(start)
        said.add(words[at])
    return tuple(tuple(run) for run in runs if len(run) > 2)


def unlike_again(
    syllables: tuple[SungSyllable, ...], onsets: Sequence[Fraction], metre: Metre
) -> float:
    """What it costs that words return in another rhythm; in the unit of a fit's costs."""
    cost = 0.0
    for run in counted(syllables):
        gaps = [onsets[two] - onsets[one] for one, two in itertools.pairwise(run)]
        cost += _UNEVEN * (len(gaps) - max(map(gaps.count, gaps)))
        cost += _COUNT_LED_IN if run[0] == 0 and onsets[0] < 0 else 0.0
    for one in returning(syllables):
        shifts = [onsets[one.again + at] - onsets[one.first + at] for at in range(one.count)]
        cost += _UNLIKE * sum(shift != shifts[0] for shift in shifts) / one.count
        cost += _SHIFTED[_how_far(shifts[0], metre)]
    for one in paired(syllables):
        shifts = [onsets[one.again + at] - onsets[one.first + at] for at in range(one.count)]
        cost += _PAIRED * sum(shift != shifts[0] for shift in shifts) / one.count
        cost += _PAIRED_SHIFT * _SHIFTED[_how_far(shifts[0], metre)]
    cost += _CONTRASTED * sum(onsets[at].denominator > 1 for at in contrasted(syllables))
    return min(cost, _MOST)


def _how_far(shift: Fraction, metre: Metre) -> int:
    if shift % metre.beats == 0:
        return 0
    if metre.beats % 2 == 0 and 2 * shift % metre.beats == 0:
        return 1
    return 2 if shift.denominator == 1 else 3
