"""Say in a sentence why a fit sounds right, or where it goes against the words."""

import itertools
from collections.abc import Sequence

from attrs import frozen

from tapscore.model.metre import Metre, beat_strength
from tapscore.words.fit import Fit
from tapscore.words.fit_features import heavier
from tapscore.words.line import SungSyllable

_NAMED = 4
NO_CHANGE = "Nothing changes."


@frozen
class Clash:
    """A word whose lighter syllable stands on the stronger place.

    ``light`` and ``heavy`` count the line's syllables.
    """

    light: int
    heavy: int


def clashes(syllables: Sequence[SungSyllable], fit: Fit) -> tuple[Clash, ...]:
    """Neighbours in one word where the unstressed one stands on the stronger place."""
    found = []
    for at, (one, two) in enumerate(itertools.pairwise(syllables)):
        if one.last or (one.stress == 1) == (two.stress == 1):
            continue
        heavy, light = (at, at + 1) if one.stress == 1 else (at + 1, at)
        strengths = [_strength(fit.metre, fit, place) for place in (heavy, light)]
        if strengths[1] > strengths[0]:
            found.append(Clash(light, heavy))
    return tuple(found)


def turned_words(syllables: Sequence[SungSyllable], fit: Fit) -> tuple[Clash, ...]:
    """Words with a syllable on a stronger place than the one that carries the stress."""
    found = []
    for at, syllable in enumerate(syllables):
        if syllable.stress != 1 or (syllable.first and syllable.last):
            continue
        start, end = _word(syllables, at)
        own = _strength(fit.metre, fit, at)
        strengths = [_strength(fit.metre, fit, other) for other in range(start, end + 1)]
        if max(strengths) > own:
            found.append(Clash(start + strengths.index(max(strengths)), at))
    return tuple(found)


def explain_fit(syllables: Sequence[SungSyllable], fit: Fit) -> str:
    """One sentence for the teacher about where the stressed syllables fall."""
    if not syllables or not fit.onsets_beats:
        return "There are no words to fit in this line."
    start = _pickup(syllables, fit)
    against = turned_words(syllables, fit)
    if against:
        clash = against[0]
        return (
            f"{word_shown(syllables, clash.light)} lands on the strong beat, "
            f"though the word is said {word_shown(syllables, clash.heavy)}{start}."
        )
    heavy = [at for at, syllable in enumerate(syllables) if heavier(syllable.weight)]
    off = [at for at in heavy if fit.onsets_beats[at].denominator > 1]
    on = [at for at in heavy if fit.onsets_beats[at].denominator == 1]
    full = [at for at in off if syllables[at].stress == 1]
    if full:
        return (
            f"Most stressed syllables fall on the beats, but {_quoted(syllables, full)} "
            f"{'comes' if len(full) == 1 else 'come'} between two beats{start}."
        )
    if on:
        return f"The stressed syllables fall on the beats: {_listed(syllables, on)}{start}."
    first = next((at for at, onset in enumerate(fit.onsets_beats) if onset == 0), 0)
    return (
        f"These are light words; the first strong beat is on {_quoted(syllables, [first])}{start}."
    )


def what_changes(syllables: Sequence[SungSyllable], before: Fit, after: Fit) -> str:
    """One sentence on what a listener would hear differently in the second fit.

    The fits may be in different metres; what comes on the first beat of a bar matters most.
    """
    was, now = _first_beats(before), _first_beats(after)
    come, gone = sorted(now - was), sorted(was - now)
    parts = []
    if come:
        verb = "comes" if len(come) == 1 else "come"
        parts.append(f"{_and([word_shown(syllables, at) for at in come[:_NAMED]])} {verb} on the")
        parts[-1] += " strong beat"
    if gone:
        shown = _and([word_shown(syllables, at) for at in gone[:_NAMED]])
        loses = ("does" if len(gone) == 1 else "do") if come else ""
        lost = f"no longer {loses}" if come else "no longer on the strong beat"
        parts.append(f"{shown} {lost}")
    if not parts and before.onsets_beats != after.onsets_beats:
        moved = [
            at
            for at, (one, two) in enumerate(
                zip(before.onsets_beats, after.onsets_beats, strict=False)
            )
            if one != two
        ]
        parts.append(f"the strong beats stay, {_quoted(syllables, moved)} between them moves")
        if len(moved) > 1:
            parts[-1] = parts[-1].removesuffix("s")
    if before.bars != after.bars:
        bars = "1 bar" if after.bars == 1 else f"{after.bars} bars"
        parts.append(f"{bars} instead of {before.bars}")
    if not parts:
        return NO_CHANGE
    said = "; ".join(parts)
    return f"{said[0].upper()}{said[1:]}."


def _first_beats(fit: Fit) -> set[int]:
    return {at for at, onset in enumerate(fit.onsets_beats) if onset % fit.metre.beats == 0}


def word_shown(syllables: Sequence[SungSyllable], loud: int) -> str:
    """A word's syllables with hyphens, one of them in capitals: ``but-ter-FLY``."""
    first, last = _word(syllables, loud)
    return "-".join(
        syllable.text.strip("-").upper() if at == loud else syllable.text.strip("-").lower()
        for at, syllable in enumerate(syllables[first : last + 1], start=first)
    )


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
    shown = [word_shown(syllables, at) for at in places[:_NAMED]]
    if len(places) > _NAMED:
        return ", ".join(shown) + " and so on"
    return _and(shown)


def _and(shown: Sequence[str]) -> str:
    return " and ".join([", ".join(shown[:-1]), shown[-1]]) if len(shown) > 1 else shown[0]


def _quoted(syllables: Sequence[SungSyllable], places: Sequence[int]) -> str:
    return _and([f"“{syllables[at].text.strip('-')}”" for at in places[:_NAMED]])


def _pickup(syllables: Sequence[SungSyllable], fit: Fit) -> str:
    early = [at for at, onset in enumerate(fit.onsets_beats) if onset < 0]
    if not early:
        return ""
    words = "".join(
        syllables[at].text + ("" if not syllables[at].last else " ") for at in early
    ).strip()
    return f"; “{words}” {'leads' if len(early) == 1 else 'lead'} in before the first strong beat"
