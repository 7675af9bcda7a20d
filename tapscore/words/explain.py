"""Say in a sentence why a fit sounds right, or where it goes against the words."""

import itertools
from collections.abc import Sequence
from typing import TypeAlias

from attrs import frozen

from tapscore.model.metre import Metre, beat_strength
from tapscore.wording.catalogue import say
from tapscore.wording.grammar import joined, quoted
from tapscore.words.fit import Fit
from tapscore.words.fit_costs import LOUDER
from tapscore.words.fit_features import heavier
from tapscore.words.line import SungSyllable
from tapscore.words.returning import contrasted

_NAMED = 4
_Places: TypeAlias = dict[tuple[int, int], list[int]]
NO_CHANGE = say("Nothing changes.")


@frozen
class StressClash:
    """A word whose lighter syllable stands on the stronger place.

    ``light`` and ``heavy`` count the line's syllables.
    """

    light: int
    heavy: int


def clashes(syllables: Sequence[SungSyllable], fit: Fit) -> tuple[StressClash, ...]:
    """Neighbours in one word where the less stressed one stands on the stronger place."""
    found = []
    for at, (one, two) in enumerate(itertools.pairwise(syllables)):
        first, second = LOUDER[one.stress], LOUDER[two.stress]
        if one.last or first == second:
            continue
        heavy, light = (at, at + 1) if first > second else (at + 1, at)
        strengths = [_strength(fit.metre, fit, place) for place in (heavy, light)]
        if strengths[1] > strengths[0]:
            found.append(StressClash(light, heavy))
    return tuple(found)


def turned_words(syllables: Sequence[SungSyllable], fit: Fit) -> tuple[StressClash, ...]:
    """Words with a syllable on a stronger place than the one that carries the stress."""
    found = []
    for at, syllable in enumerate(syllables):
        if syllable.stress != 1 or (syllable.first and syllable.last):
            continue
        start, end = _word(syllables, at)
        own = _strength(fit.metre, fit, at)
        strengths = [_strength(fit.metre, fit, other) for other in range(start, end + 1)]
        if max(strengths) > own:
            found.append(StressClash(start + strengths.index(max(strengths)), at))
    return tuple(found)


def explain_fit(syllables: Sequence[SungSyllable], fit: Fit) -> str:
    """One sentence for the teacher about where the stressed syllables fall."""
    if not syllables or not fit.onsets_beats:
        return say("There are no words to fit in this line.")
    start = _pickup(syllables, fit)
    against = turned_words(syllables, fit)
    if against:
        clash = against[0]
        return say(
            "{light} lands on the strong beat, though the word is said {heavy}{start}.",
            light=word_shown(syllables, clash.light),
            heavy=word_shown(syllables, clash.heavy),
            start=start,
        )
    apart = contrasted(tuple(syllables))
    if apart and all(fit.onsets_beats[at].denominator == 1 for at in apart):
        return say(
            "{words} are set against each other, so they come on the beats{start}.",
            words=_listed(syllables, apart),
            start=start,
        )
    heavy = [at for at, syllable in enumerate(syllables) if heavier(syllable.weight)]
    off = [at for at in heavy if fit.onsets_beats[at].denominator > 1]
    on = [at for at in heavy if fit.onsets_beats[at].denominator == 1]
    full = [at for at in off if syllables[at].stress == 1]
    if full:
        return say(
            "Most stressed syllables fall on the beats, but {syllables} {count:comes|come} between "
            "two beats{start}.",
            syllables=_quoted(syllables, full),
            count=len(full),
            start=start,
        )
    if on:
        return say(
            "The stressed syllables fall on the beats: {syllables}{start}.",
            syllables=_listed(syllables, on),
            start=start,
        )
    first = next((at for at, onset in enumerate(fit.onsets_beats) if onset == 0), 0)
    return say(
        "These are light words; the first strong beat is on {syllable}{start}.",
        syllable=_quoted(syllables, [first]),
        start=start,
    )


def what_changes(syllables: Sequence[SungSyllable], before: Fit, after: Fit) -> str:
    """One sentence on what a listener would hear differently in the second fit.

    The fits may be in different metres; what comes on the first beat of a bar matters most.
    """
    was, now = _first_beats(before), _first_beats(after)
    come = _by_word(syllables, sorted(now - was))
    # Where one syllable of a word takes another's place the word is named once.
    others = {at for at in was - now if _word(syllables, at) not in come}
    gone = _by_word(syllables, sorted(others))
    parts = []
    if come:
        shown = _and(_shown(syllables, come)[:_NAMED])
        parts.append(
            say("{words} {count:comes|come} on the strong beat", words=shown, count=len(come))
        )
    if gone:
        shown = _and(_shown(syllables, gone)[:_NAMED])
        parts.append(
            say("{words} no longer {count:does|do}", words=shown, count=len(gone))
            if come
            else say("{words} no longer on the strong beat", words=shown)
        )
    if not parts and before.onsets_beats != after.onsets_beats:
        moved = [
            at
            for at, (one, two) in enumerate(
                zip(before.onsets_beats, after.onsets_beats, strict=False)
            )
            if one != two
        ]
        parts.append(
            say(
                "the strong beats stay, {syllables} between them {count:moves|move}",
                syllables=_quoted(syllables, moved),
                count=len(moved),
            )
        )
    if before.bars != after.bars:
        parts.append(
            say("{after:1 bar|# bars} instead of {before}", after=after.bars, before=before.bars)
        )
    if not parts:
        return NO_CHANGE
    said = "; ".join(parts)
    return f"{said[0].upper()}{said[1:]}."


def strong_beats_move(before: Fit, after: Fit) -> bool:
    """Whether other syllables come on the strong beats."""
    return _first_beats(before) != _first_beats(after)


def _first_beats(fit: Fit) -> set[int]:
    return {at for at, onset in enumerate(fit.onsets_beats) if onset % fit.metre.beats == 0}


def word_shown(syllables: Sequence[SungSyllable], *louds: int) -> str:
    """A word's syllables with hyphens, those that are loud in capitals: ``but-ter-FLY``."""
    first, last = _word(syllables, louds[0])
    return "-".join(
        syllable.text.strip("-").upper() if at in louds else syllable.text.strip("-").lower()
        for at, syllable in enumerate(syllables[first : last + 1], start=first)
    )


def _by_word(syllables: Sequence[SungSyllable], places: Sequence[int]) -> _Places:
    """Places in the line by the first and last syllable of the word they stand in."""
    found: _Places = {}
    for at in places:
        found.setdefault(_word(syllables, at), []).append(at)
    return found


def _shown(syllables: Sequence[SungSyllable], words: _Places) -> list[str]:
    return [word_shown(syllables, *places) for places in words.values()]


def _word(syllables: Sequence[SungSyllable], at: int) -> tuple[int, int]:
    """First and last syllable of the word that a syllable stands in."""
    first = last = at
    while not syllables[first].first:
        first -= 1
    while not syllables[last].last:
        last += 1
    return first, last


def _strength(metre: Metre, fit: Fit, at: int) -> float:
    return float(beat_strength(metre, fit.onsets_beats[at]))


def _listed(syllables: Sequence[SungSyllable], places: Sequence[int]) -> str:
    shown = _shown(syllables, _by_word(syllables, places))
    if len(shown) > _NAMED:
        return say("{words:list} and so on", words=tuple(shown[:_NAMED]))
    return _and(shown)


def _and(shown: Sequence[str]) -> str:
    return joined(tuple(shown), "and")


def _quoted(syllables: Sequence[SungSyllable], places: Sequence[int]) -> str:
    return _and([quoted(syllables[at].text.strip("-")) for at in places[:_NAMED]])


def _pickup(syllables: Sequence[SungSyllable], fit: Fit) -> str:
    early = [at for at, onset in enumerate(fit.onsets_beats) if onset < 0]
    if not early:
        return ""
    words = "".join(
        syllables[at].text + ("" if not syllables[at].last else " ") for at in early
    ).strip()
    return say(
        "; “{words}” {count:leads|lead} in before the first strong beat",
        words=words,
        count=len(early),
    )
