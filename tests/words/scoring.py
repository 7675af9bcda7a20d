"""Scores of fits against rhymes with known rhythm."""

from collections.abc import Iterable, Sequence
from fractions import Fraction

from attrs import frozen

from tapscore.model.metre import beat_strength
from tapscore.words.fit import Fit
from tapscore.words.line import read_line
from tests.training.fit_weights import Lesson, to_lesson
from tests.words.rhymes import Rhyme, RhymeLine


@frozen
class Scores:
    """Shares of 1.

    ``downbeats``: of the syllables that stand on a downbeat, how many were put on that
    downbeat; ``strong``: of those on strong beats (strength 1/2 or more by
    ``beat_strength``: all felt beats but 2 and 4 of 4/4), how many were put on some strong
    beat; ``strong_meant``: of those put on strong beats, how many belong there; ``bars``:
    lines with the right number of bars; ``exact``: lines with every syllable right.
    """

    downbeats: float
    strong: float
    strong_meant: float
    bars: float
    exact: float
    lines: int


def score(found: Iterable[tuple[Rhyme, RhymeLine, Fit]]) -> Scores:
    """Score fits; a line whose syllables were miscounted has nothing right."""
    down = downs = strong = strongs = put = bars = exact = lines = 0
    for rhyme, line, fit in found:
        lines += 1
        bars += fit.bars == line.bars
        exact += fit.onsets_beats == line.onsets_beats
        same = len(fit.onsets_beats) == len(line.onsets_beats)
        got: Sequence[Fraction | None] = fit.onsets_beats if same else [None] * len(line.syllables)
        for right, placed in zip(line.onsets_beats, got, strict=True):
            if right % rhyme.metre.beats == 0:
                downs += 1
                down += right == placed
            meant = beat_strength(rhyme.metre, right) >= Fraction(1, 2)
            taken = placed is not None and beat_strength(rhyme.metre, placed) >= Fraction(1, 2)
            strongs += meant
            put += taken
            strong += meant and taken
    return Scores(down / downs, strong / strongs, strong / put, bars / lines, exact / lines, lines)


def lessons(rhymes: Iterable[Rhyme]) -> list[Lesson]:
    """Lessons of all lines that can be learnt."""
    found = []
    for rhyme in rhymes:
        for line in rhyme.lines:
            lesson = to_lesson(read_line(line.words), rhyme.metre, line.bars, line.onsets_beats)
            if lesson is not None:
                found.append(lesson)
    return found
