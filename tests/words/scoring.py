"""Scores of fits against texts with known rhythm."""

from collections.abc import Iterable
from fractions import Fraction

from attrs import frozen

from tapscore.model.metre import Metre, beat_strength
from tapscore.words.fit import Fit
from tests.training.rhymes import Rhyme, RhymeLine, Setting


@frozen
class Scores:
    """Shares of 1, each line against that of its settings that it comes nearest to.

    ``whole``: lines with the right syllables on the downbeats, no other and none less;
    ``downbeats``: of the syllables that stand on a downbeat, how many were put on that
    downbeat; ``strong``: of those on strong beats (strength 1/2 or more by
    ``beat_strength``: all felt beats but 2 and 4 of 4/4), how many were put on some strong
    beat; ``strong_meant``: of those put on strong beats, how many belong there; ``bars``:
    lines with the right number of bars; ``exact``: lines with every syllable right.
    """

    whole: float
    downbeats: float
    strong: float
    strong_meant: float
    bars: float
    exact: float
    lines: int


@frozen
class _Counts:
    whole: bool
    exact: bool
    bars: bool
    down: int
    downs: int
    strong: int
    strongs: int
    put: int


def score(found: Iterable[tuple[Rhyme, RhymeLine, Fit]]) -> Scores:
    """Score fits; a line whose syllables were miscounted has nothing right."""
    counts = [
        max(
            (_count(setting, fit, text.metre) for setting in line.settings),
            key=lambda one: (one.exact, one.whole, one.down / max(1, one.downs), one.bars),
        )
        for text, line, fit in found
    ]
    total = len(counts)
    return Scores(
        sum(one.whole for one in counts) / total,
        sum(one.down for one in counts) / sum(one.downs for one in counts),
        sum(one.strong for one in counts) / sum(one.strongs for one in counts),
        sum(one.strong for one in counts) / max(1, sum(one.put for one in counts)),
        sum(one.bars for one in counts) / total,
        sum(one.exact for one in counts) / total,
        total,
    )


def _count(setting: Setting, fit: Fit, metre: Metre) -> _Counts:
    same = len(fit.onsets_beats) == len(setting.onsets_beats)
    got = fit.onsets_beats if same else (None,) * len(setting.onsets_beats)
    down = downs = strong = strongs = put = 0
    for right, placed in zip(setting.onsets_beats, got, strict=True):
        if right % metre.beats == 0:
            downs += 1
            down += right == placed
        meant = beat_strength(metre, right) >= Fraction(1, 2)
        taken = placed is not None and beat_strength(metre, placed) >= Fraction(1, 2)
        strongs += meant
        put += taken
        strong += meant and taken
    on_downbeats = [
        [at for at, onset in enumerate(onsets) if onset % metre.beats == 0]
        for onsets in (setting.onsets_beats, fit.onsets_beats)
    ]
    whole = same and on_downbeats[0] == on_downbeats[1]
    exact = fit.onsets_beats == setting.onsets_beats
    return _Counts(whole, exact, fit.bars == setting.bars, down, downs, strong, strongs, put)
