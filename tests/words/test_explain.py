"""Sentences about fits."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from tapscore.model.metre import Metre
from tapscore.words.explain import clashes, explain_fit, word_shown
from tapscore.words.fit import Fit, fit_line
from tapscore.words.line import read_line

TWO = Metre(2, 4)


def placed(*halves: int) -> Fit:
    onsets = tuple(Fraction(half, 2) for half in halves)
    return Fit(onsets, 2, max(Fraction(0), -onsets[0]), 0.0, TWO)


def test_a_word_turned_round_is_named() -> None:
    sentence = explain_fit(read_line("butterfly"), placed(-2, -1, 0))
    assert sentence.startswith(
        "but-ter-FLY lands on the strong beat, though the word is said BUT-ter-fly"
    )


def test_stressed_syllables_on_the_beats() -> None:
    sentence = explain_fit(read_line("Jack and Jill"), placed(0, 1, 2))
    assert sentence == "The stressed syllables fall on the beats: JACK and JILL."


def test_a_pickup_is_told() -> None:
    sentence = explain_fit(read_line("to fetch a pail"), placed(-1, 0, 1, 2))
    assert "“to” leads in before the first strong beat" in sentence


def test_a_stressed_word_between_beats_is_told() -> None:
    sentence = explain_fit(read_line("boat row"), placed(0, 1))
    assert "“row” comes between two beats" in sentence


def test_light_words_and_no_words() -> None:
    assert "light words" in explain_fit(read_line("and it was so"), placed(-1, 0, 1, 2))
    assert explain_fit((), Fit((), 1, Fraction(0), 0.0, TWO)) == (
        "There are no words to fit in this line."
    )


def test_clash_counts_syllables() -> None:
    said = read_line("a lantern")
    (clash,) = clashes(said, placed(-2, -1, 0))
    assert (clash.light, clash.heavy) == (2, 1)
    assert word_shown(said, 2) == "lan-TERN"


@given(
    st.lists(
        st.sampled_from(["row", "the", "lantern", "butterfly", "away", "12", "and"]), min_size=1
    )
)
def test_every_fit_has_one_sentence(words: list[str]) -> None:
    said = read_line(" ".join(words))
    sentence = explain_fit(said, fit_line(said, TWO)[0])
    assert sentence.endswith(".")
    assert sentence.count(". ") == 0
