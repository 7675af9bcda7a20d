"""Suggested metres."""

import pytest

from tapscore.words.line import read_line
from tapscore.words.suggest_metre import confidences, suggest_metre, text_features
from tests.training.metre_weights import learn
from tests.words.rhymes import read_rhymes


def test_rocking_and_walking_words() -> None:
    rocking = [read_line("Merrily merrily happily tumbling"), read_line("hickory dickory dock")]
    walking = [read_line("Mary had a little lamb"), read_line("Peter, Peter, pumpkin eater")]
    assert str(suggest_metre(rocking)[0].metre) == "6/8"
    assert str(suggest_metre(walking)[0].metre) == "2/4"


def test_confidences_are_shares_and_reasons_are_sentences() -> None:
    found = suggest_metre([read_line("Row the lantern over the water")])
    assert sum(one.confidence for one in found) == pytest.approx(1.0, abs=0.01)
    assert [one.confidence for one in found] == sorted((o.confidence for o in found), reverse=True)
    assert all(one.reason.endswith(".") for one in found)


def test_no_words_no_suggestion() -> None:
    assert suggest_metre([]) == ()
    assert suggest_metre([read_line("...")]) == ()


def test_rhymes_scored_with_weights_of_other_rhymes() -> None:
    """Five folds; the prototype in the language notes had 10 of 21."""
    examples = [
        (text_features([read_line(line.words) for line in rhyme.lines]), str(rhyme.metre))
        for rhyme in read_rhymes()
    ]
    right = 0
    for fold in range(5):
        weights = learn([one for at, one in enumerate(examples) if at % 5 != fold])
        for found, choice in examples[fold::5]:
            shares = confidences(found, weights)
            right += max(shares, key=shares.__getitem__) == choice
    assert right / len(examples) >= 0.6
