"""Lines of one section fitted together; rhymes that the weights have not seen."""

from fractions import Fraction

from tapscore.model.metre import Metre
from tapscore.words.fit import fit_line
from tapscore.words.fit_costs import FitWeights
from tapscore.words.line import read_line
from tapscore.words.stanza import fit_stanza
from tests.words.rhymes import (
    SONGS_UNSEEN,
    STORIES_UNSEEN,
    STORIES_UNSEEN_LATER,
    UNSEEN,
    Rhyme,
    read_rhymes,
)
from tests.words.scoring import Scores, score

SIX = Metre(6, 8)


def together(
    rhymes: tuple[Rhyme, ...], weights: FitWeights | None = None, *, given: bool = True
) -> Scores:
    found = []
    for rhyme in rhymes:
        lines = [read_line(line.words) for line in rhyme.lines]
        bars = [line.bars for line in rhyme.lines] if given else None
        fits = fit_stanza(lines, rhyme.metre, bars=bars, weights=weights)
        found += [(rhyme, line, fit) for line, fit in zip(rhyme.lines, fits, strict=True)]
    return score(found)


def test_unseen_rhymes_with_given_bars() -> None:
    """Shipped weights on rhymes kept apart (from memory; see the file's head)."""
    scores = together(read_rhymes(UNSEEN))
    assert scores.lines >= 40
    assert scores.whole >= 0.80
    assert scores.downbeats >= 0.82  # one verse of thirteen moved by a beat counts for 0.06
    assert scores.strong >= 0.92


def test_unseen_everyday_lines() -> None:
    """Stanzas of our own kept apart from all choices, bars free: see DEVELOPERS.md."""
    stories = read_rhymes(STORIES_UNSEEN, by_steps=True)
    free, given = together(stories, given=False), together(stories)
    assert free.lines >= 80
    assert free.downbeats >= 0.90
    assert free.whole >= 0.83
    assert given.downbeats >= 0.94
    assert given.whole >= 0.88


def test_everyday_lines_written_later() -> None:
    """Shorter and less regular than those above; nothing was chosen on them either."""
    stories = read_rhymes(STORIES_UNSEEN_LATER, by_steps=True)
    free, given = together(stories, given=False), together(stories)
    assert free.lines == 60
    assert free.whole >= 0.73
    assert min(free.downbeats, given.downbeats) >= 0.87
    assert given.whole >= 0.76


def test_unseen_songs() -> None:
    """Traditional songs kept apart (from memory; see the file's head), bars free."""
    scores = together(read_rhymes(SONGS_UNSEEN, by_steps=True), given=False)
    assert scores.lines >= 80
    assert scores.whole >= 0.74
    assert scores.downbeats >= 0.81
    assert scores.strong >= 0.91


def test_lines_of_a_verse_agree() -> None:
    verse = ["Jack and Jill went up the hill", "to fetch a pail of water"]
    verse += ["Jack fell down and broke his crown", "and Jill came tumbling after"]
    fits = fit_stanza([read_line(line) for line in verse], SIX)
    assert {fit.bars for fit in fits} == {2}
    assert fits[3].onsets_beats[:4] == (Fraction(-1, 3), Fraction(0), Fraction(2, 3), Fraction(1))


def test_an_empty_line_keeps_its_place() -> None:
    fits = fit_stanza([read_line("Row the boat"), (), read_line("row the boat")], SIX)
    assert [len(fit.onsets_beats) for fit in fits] == [3, 0, 3]


def test_nothing_to_fit() -> None:
    assert fit_stanza([], SIX) == ()


def test_the_same_line_is_fitted_the_same() -> None:
    line = read_line("Row the lantern, row the lantern")
    fits = fit_stanza([line] * 6, SIX)
    assert len({fit.onsets_beats for fit in fits}) == 1


def test_one_line_alone_is_its_best_fit() -> None:
    line = read_line("Out on the water the little boat lay")
    assert fit_stanza([line], SIX)[0].onsets_beats == fit_line(line, SIX)[0].onsets_beats


def test_sixty_lines_are_fitted() -> None:
    lines = [read_line(line.words) for rhyme in read_rhymes() for line in rhyme.lines][:60]
    fits = fit_stanza(lines, SIX)
    assert [len(fit.onsets_beats) for fit in fits] == [len(line) for line in lines]
