"""Suggested metres."""

import pytest

from tapscore.words.line import read_line
from tapscore.words.suggest_metre import family, suggest_metre, suggest_metres
from tests.words.rhymes import STORIES_UNSEEN, read_rhymes

ROCKING = ["Merrily merrily happily tumbling", "hickory dickory dock", "gallop away on a horse"]
WALKING = ["Mary had a little lamb", "Peter, Peter, pumpkin eater", "Stomp and stomp and stop"]


def said(lines: list[str]):  # type: ignore[no-untyped-def]
    return [read_line(line) for line in lines]


def test_rocking_and_walking_words() -> None:
    assert str(suggest_metre(said(ROCKING))[0].metre) == "6/8"
    assert str(suggest_metre(said(WALKING))[0].metre) == "2/4"
    assert "like walking" in suggest_metre(said(WALKING))[0].reason
    assert "like rocking" in suggest_metre(said(ROCKING))[0].reason


def test_first_two_suggestions_move_in_different_ways() -> None:
    for lines in (ROCKING, WALKING):
        found = suggest_metre(said(lines))
        assert len({family(one.metre) for one in found}) == len(found) == 3


def test_confidences_are_shares_and_reasons_are_sentences() -> None:
    found = suggest_metre([read_line("Row the lantern over the water")])
    assert sum(one.confidence for one in found) == pytest.approx(1.0, abs=0.01)
    assert [one.confidence for one in found] == sorted((o.confidence for o in found), reverse=True)
    assert all(one.reason.endswith(".") for one in found)


def test_no_words_no_suggestion() -> None:
    assert suggest_metre([]) == ()
    assert suggest_metre([read_line("...")]) == ()


def test_sections_keep_one_metre_unless_their_words_speak_much_against_it() -> None:
    found = suggest_metres([said(WALKING), said(ROCKING), said(WALKING), [read_line("Splash!")]])
    assert [family(one[0].metre) for one in found] == ["even", "rocking", "even", "even"]
    assert len({str(one[0].metre) for one in (found[0], found[2], found[3])}) == 1
    assert suggest_metres([[], said(WALKING)])[0] == ()


def test_stanzas_kept_apart() -> None:
    """2/4 and 4/4 count as one; see DEVELOPERS.md for what was measured in folds."""
    ranks = []
    for stanza in read_rhymes(STORIES_UNSEEN, by_steps=True):
        found = suggest_metre([read_line(line.words) for line in stanza.lines])
        ranks.append([family(one.metre) for one in found].index(family(stanza.metre)))
    assert sum(rank == 0 for rank in ranks) / len(ranks) >= 0.85
    assert sum(rank <= 1 for rank in ranks) / len(ranks) >= 0.95
