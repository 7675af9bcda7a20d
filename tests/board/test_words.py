"""Levels as words."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tapscore.board.contours import word_index
from tapscore.board.words import WORDS, level_word, step_db


@pytest.mark.parametrize(
    ("level_db", "step", "word"),
    [
        (12.0, 12, "much stronger"),
        (7.6, 9, "much stronger"),
        (7.4, 6, "stronger"),
        (1.6, 3, "stronger"),
        (1.4, 0, "like the reference"),
        (-1.4, 0, "like the reference"),
        (-1.6, -3, "weaker"),
        (-13.4, -12, "weaker"),
        (-13.6, -15, "hardly"),
        (float("-inf"), -60, "hardly"),
        (float("inf"), 60, "much stronger"),
    ],
)
def test_steps_and_words(level_db: float, step: int, word: str) -> None:
    assert (step_db(level_db), level_word(level_db)) == (step, word)


@pytest.mark.parametrize("edge_db", [-13.5, -1.5, 1.5, 7.5])
def test_at_an_edge_it_is_the_stronger_word_in_sentences_and_on_maps(edge_db: float) -> None:
    below, here = WORDS.index(level_word(edge_db - 0.01)), WORDS.index(level_word(edge_db))
    assert here == below + 1
    assert word_index(np.array([edge_db - 0.01, edge_db])).tolist() == [below, here]


@given(st.floats(-80, 80), st.floats(0, 40))
def test_more_is_never_a_weaker_word(level_db: float, more_db: float) -> None:
    assert step_db(level_db) % 3 == 0
    assert WORDS.index(level_word(level_db + more_db)) >= WORDS.index(level_word(level_db))


@given(st.floats(-59, 59).filter(lambda v: abs(abs(v) % 3 - 1.5) > 1e-6))
def test_a_level_has_the_word_of_its_step(level_db: float) -> None:
    assert level_word(level_db) == level_word(step_db(level_db))
    assert abs(step_db(level_db) - level_db) <= 1.5
